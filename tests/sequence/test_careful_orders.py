"""Orders that a careful owner keeps; common practice, no source. The simulator knows them on its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen import prepare
from guidegen.vehicle.layout_reading import read_layout

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def order(sample: str, sequence: str) -> list[str]:
    planned = prepare(SAMPLES / f"{sample}.yaml").sequences.sequences[sequence]
    return [step.step for step in planned.steps]


def in_turn(steps: list[str], *wanted: str) -> bool:
    return [s for s in steps if s in wanted] == list(wanted)


@pytest.mark.parametrize("sample", ["fern", "bramble"])
def test_a_caravan_is_braked_and_chocked_before_it_is_uncoupled(sample: str) -> None:
    assert in_turn(order(sample, "arrive"), "park-level", "chocks-set", "uncouple", "steadies-down")


@pytest.mark.parametrize("sample", ["fern", "bramble"])
def test_gas_lead_and_step_wait_until_the_tow_car_is_off(sample: str) -> None:
    steps = order(sample, "arrive")
    for waits in ("cylinder-open", "lead-vehicle", "step-out"):
        assert steps.index("uncouple") < steps.index(waits)


@pytest.mark.parametrize("sample", ["fern", "bramble"])
def test_nobody_goes_into_a_caravan_that_could_tip(sample: str) -> None:
    steps = order(sample, "arrive")
    for inside in ("master-on", "isolators-check", "mains-on", "pump-on", "alarms-test"):
        assert steps.index("steadies-down") < steps.index(inside)
    steps = order(sample, "leave")
    for inside in ("taps-close", "windows-close", "mains-off", "fridge-travel"):
        assert steps.index(inside) < steps.index("steadies-up")


@pytest.mark.parametrize("sequence", ["arrive", "recommission"])
def test_no_burner_is_lit_before_the_alarms_are_tested(sequence: str) -> None:
    """Hazel's heater burns diesel on the hook-up too."""
    assert in_turn(order("hazel", sequence), "alarms-test", "heating-on")


@pytest.mark.parametrize("sample", ["fern", "bramble"])
def test_brake_and_chocks_come_off_only_behind_the_tow_car(sample: str) -> None:
    steps = order(sample, "leave")
    assert steps.index("couple") < steps.index("chocks-stow") < steps.index("drive")


@pytest.mark.parametrize("sample", ["hazel", "bramble"])
def test_an_outside_water_container_does_not_hang_on_a_vehicle_that_drives_off(sample: str) -> None:
    assert in_turn(order(sample, "leave"), "pump-off", "container-away", "walk-round", "drive")


@pytest.mark.parametrize("sequence", ["arrive", "recommission"])
@pytest.mark.parametrize("sample", ["juniper", "rowan"])
def test_a_combined_heater_heats_the_rooms_only_with_water_in_it(sample: str, sequence: str) -> None:
    assert in_turn(order(sample, sequence), "drains-check", "prime", "heating-on")


@pytest.mark.parametrize("sample", ["juniper", "rowan"])
def test_a_combined_heater_cools_with_its_heating_off(sample: str) -> None:
    steps = order(sample, "lay-up")
    assert steps.index("heating-off") < steps.index("heater-cool") < steps.index("heater-drain-open")


@pytest.mark.parametrize("sample", ["larch", "juniper", "willow", "bramble"])
def test_first_use_looks_before_it_opens_and_under_pressure(sample: str) -> None:
    steps = order(sample, "recommission")
    assert max(steps.index("gas-date-check"), steps.index("hoses-check")) < steps.index("cylinder-open")
    assert steps.index("master-on") < steps.index("leaks-check") < steps.index("sanitise")


@pytest.mark.parametrize("sample", ["larch", "alder", "juniper", "rowan", "willow"])
def test_at_lay_up_the_electric_step_goes_in_from_within_and_the_way_down_is_said(sample: str) -> None:
    """It needs the 12 V supply, which is switched off inside after it."""
    steps = {
        step.step: step for step in prepare(SAMPLES / f"{sample}.yaml").sequences.sequences["lay-up"].steps
    }
    assert in_turn(list(steps), "step-in", "master-off")
    assert "outside" not in steps["step-in"].text and "take care when you get down" in steps["step-in"].text


def test_the_tap_of_the_outside_shower_that_lay_up_opens_is_closed_before_water_comes() -> None:
    assert "outside-shower-drain" in order("larch", "lay-up")
    assert in_turn(order("larch", "recommission"), "outside-shower-close", "fill-little", "leaks-check")


@pytest.mark.parametrize("sample", ["juniper", "fern"])
def test_the_look_for_leaks_names_the_switch_of_the_pump(sample: str) -> None:
    context = prepare(SAMPLES / f"{sample}.yaml")
    (switch,) = context.vehicle.of_kind("pump-switch")
    steps = context.sequences.sequences["recommission"].steps
    assert [step.points for step in steps if step.step == "leaks-check"] == [(switch.id,)]


@pytest.mark.parametrize("sample", ["hazel", "bramble", "larch"])
def test_cleaning_agent_runs_into_the_waste_water_not_onto_the_ground(sample: str) -> None:
    steps = order(sample, "recommission")
    assert steps.index("waste-check") < steps.index("sanitise")


@pytest.mark.parametrize("sample", ["willow", "sorrel"])
def test_gas_behind_a_rear_door_is_reached_from_outside(sample: str) -> None:
    vehicle = prepare(SAMPLES / f"{sample}.yaml").vehicle
    (cylinder,) = vehicle.of_kind("gas-cylinder")
    assert cylinder.place.startswith("Outside, through the offside rear door, in the gas locker")


def test_a_locker_that_faces_the_aisle_is_reached_from_inside() -> None:
    layout = read_layout("coachbuilt-rear-lounge")
    assert all(layout.door_before(piece) is None for piece in layout.furniture)
