"""Orders that a careful owner keeps; common practice, no source."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from guidegen import prepare
from guidegen.sequence.model import PlannedStep
from guidegen.vehicle.layout_reading import read_layout

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
ALL = sorted(path.stem for path in SAMPLES.glob("*.yaml"))
every_sample = pytest.mark.parametrize("sample", ALL)
coming = pytest.mark.parametrize("sequence", ["arrive", "recommission"])


def order(sample: str, sequence: str) -> list[str]:
    planned = prepare(SAMPLES / f"{sample}.yaml").sequences.sequences[sequence]
    return [step.step for step in planned.steps]


@cache
def orders(sample: str, sequence: str) -> list[list[PlannedStep]]:
    """The steps in each variant."""
    known = prepare(SAMPLES / f"{sample}.yaml").sequences.variants
    return [list(known[key].steps) for key in known if key[0] == sequence]


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


@coming
@every_sample
def test_no_burner_is_lit_before_the_alarms_are_tested(sample: str, sequence: str) -> None:
    """Nor a fridge on gas; hazel's heater burns diesel on the hook-up too."""
    for steps in orders(sample, sequence):
        ids = [step.step for step in steps]
        lit = [s.step for s in steps if any(g.endswith(("=gas", "=diesel")) for g in s.gives)]
        assert all(ids.index("alarms-test") < ids.index(step) for step in lit)
        assert lit or sample != "hazel"


@coming
@every_sample
def test_flue_covers_come_off_before_any_heater_is_started_on_whatever_energy(
    sample: str, sequence: str
) -> None:
    for steps in orders(sample, sequence):
        ids = [step.step for step in steps]
        for heater in {"heating-on", "water-heater-on"} & set(ids):
            assert ids.index("cowl-clear") < ids.index(heater)


@coming
@pytest.mark.parametrize("sample", [s for s in ALL if s not in ("hazel", "sorrel")])
def test_the_entry_step_is_out_before_the_work_inside(sample: str, sequence: str) -> None:
    """An electric one once the 12 V supply that it needs is on."""
    for steps in orders(sample, sequence):
        ids = [step.step for step in steps]
        inside = [s.step for s in steps if not s.outside and s.step not in ("battery-on", "master-on")]
        assert inside[0] == "step-out" or ids.index("step-out") < ids.index(inside[0])


@coming
@every_sample
def test_gas_is_opened_at_the_cylinder_before_the_appliances(sample: str, sequence: str) -> None:
    """So that what leaks is smelt where one stands; the danger is told at the first step of it."""
    for steps in orders(sample, sequence):
        gas = [s for s in steps if s.step in ("hoses-check", "cylinder-open", "isolators-check")]
        assert [s.step for s in gas][-2:] == (["cylinder-open", "isolators-check"] if gas else [])
        assert not gas or gas[0].cautions[0] == "gas-leak"


@coming
@every_sample
def test_carbon_monoxide_is_warned_of_at_the_heater(sample: str, sequence: str) -> None:
    for steps in orders(sample, sequence):
        assert [s.step for s in steps if "co" in s.cautions] == ["heating-on"]


@pytest.mark.parametrize("sample", ["fern", "bramble"])
def test_a_caravan_is_held_before_anything_is_done_at_it_and_laid_up_with_its_brake_off(sample: str) -> None:
    """Brake shoes that stay on for months stick to their drums."""
    for steps in orders(sample, "recommission"):
        assert [s.step for s in steps[:2]] == ["park-level", "chocks-set"]
    for steps in orders(sample, "lay-up"):
        assert (steps[0].step, steps[-1].step) == ("stand-firm", "brake-release")
        assert all(word in steps[0].text for word in ("brake", "chocks", "steadies"))


@pytest.mark.parametrize("sample", [s for s in ALL if s not in ("fern", "bramble")])
def test_what_drives_itself_is_parked_before_anything_is_done_at_it(sample: str) -> None:
    for sequence in ("arrive", "lay-up", "recommission"):
        for steps in orders(sample, sequence):
            assert [s.step for s in steps if s.place == "Driver's seat"] == ["park-level"]
            assert steps[0].step == "park-level"


@pytest.mark.parametrize("sample", ["alder", "juniper", "larch", "rowan", "sorrel"])
def test_the_fridge_gets_12_v_at_the_wheel_once_the_engine_runs(sample: str) -> None:
    for steps in orders(sample, "leave"):
        assert [s.step for s in steps[-2:]] == ["drive", "fridge-12v"]
        assert steps[-1].stop == steps[-2].stop == "seat"
        assert not any("12 V" in s.text or "automatic" in s.text for s in steps[:-1])


@pytest.mark.parametrize("sample", ["fern", "bramble"])
def test_the_fridge_of_a_caravan_is_set_for_the_road_while_one_is_inside(sample: str) -> None:
    for steps in orders(sample, "leave"):
        assert [s.text.split(".")[0] for s in steps if s.step == "fridge-travel"] == [
            "Turn the fridge to 12 V"
        ]


@every_sample
def test_no_locker_is_opened_again_after_all_were_locked(sample: str) -> None:
    for sequence in ("leave", "lay-up"):
        for steps in orders(sample, sequence):
            ids = [s.step for s in steps]
            for step in steps:
                if "Stow" in step.text or "hatch" in step.place or "locker" in step.place:
                    assert ids.index(step.step) <= ids.index("lockers-shut"), step.text


@every_sample
def test_the_tag_of_a_drained_system_is_off_before_its_heater_is_started(sample: str) -> None:
    for steps in orders(sample, "recommission"):
        ids = [s.step for s in steps]
        assert "water-heater-on" not in ids or in_turn(ids, "tag-off", "water-heater-on")
        if sample in ("fern", "juniper", "rowan", "larch", "willow"):  # one heater makes both
            assert in_turn(ids, "tag-off", "heating-on")


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
