"""Why a step stands where it does, quick help, and the sequences as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from msgspec.structs import replace

from guidegen import prepare
from guidegen.sequence import SequenceError, plan_sequences, quick_help, sequences_json, short_help, why
from guidegen.sequence.standing import said_together
from guidegen.sequence.terrain import Terrain
from guidegen.trade.load import load_trade
from guidegen.trade.records import SEQUENCES, holds
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.layout_reading import read_layout

TRADE = load_trade()


@pytest.fixture(scope="module")
def vehicle(vehicles_by_chance: ModuleType) -> Any:
    """A full vehicle, with all points placed."""
    import random

    equipment = Equipment.read(
        {
            "gas": {"cylinders": [{"size": "11 kg"}], "crash_protected": True},
            "hob": {"gas": "5 kW"},
            "water_heater": {"water": "10 l", "gas": "2 kW", "mains": ["850 W"]},
            "heating": {"type": "gas-convector", "gas": "3 kW"},
            "fridge": {"type": "absorption", "gas": "15 g/h", "mains": "150 W"},
            "fresh_water": {"tank": "100 l"},
            "waste_water": {"tank": "90 l"},
            "toilet": {},
            "hook_up": {"inlet": "16 A"},
            "leisure_battery": {"capacity": "100 Ah", "type": "lead", "isolator": True},
        }
    )
    layout = read_layout("coachbuilt-rear-lounge")
    points = vehicles_by_chance.random_points(random.Random(1), layout, "motorhome", equipment, 60)
    return vehicles_by_chance.vehicle_of(layout, "motorhome", equipment, points)


# Why


def test_why_names_what_comes_before_what_after_and_what_would_happen(vehicle: Any) -> None:
    text = why(vehicle, TRADE, "pump-on")
    arrive = text.split("\n\n")[0]
    assert arrive.startswith("arrive: Switch the water pump on. (pump-on)")
    assert "(fill) – so that the fresh water is filled up" in arrive
    assert "(master-on) – so that the 12 V supply is on" in arrive
    assert "From the start, the taps are closed." in arrive
    assert "(prime) – so that the water pump is on" in arrive
    assert "A pump that runs dry wears out" in arrive


def test_why_says_what_must_not_yet_be_so(vehicle: Any) -> None:
    assert "(lead-post) – as long as the main switch is off" in why(vehicle, TRADE, "mains-on")


def test_why_gathers_what_one_step_does_for_another(vehicle: Any) -> None:
    told = why(vehicle, TRADE, "drains-check").split("\n\n")[0]
    fill = next(line for line in told.splitlines() if "(fill)" in line)
    assert "so that the fresh tank's drain is closed" in fill and fill.count("so that") == 1


@pytest.mark.parametrize("sequence", SEQUENCES)
def test_every_step_of_a_vehicle_can_be_explained(sequence: Any, vehicle: Any) -> None:
    for step in plan_sequences(vehicle, TRADE).sequences[sequence].steps:
        text = why(vehicle, TRADE, step.step)
        assert step.text in text
        assert "_" not in text.replace(step.step, ""), "conditions are said in words"


def test_an_unknown_step_is_answered_with_the_nearest(vehicle: Any) -> None:
    with pytest.raises(SequenceError, match=r"no step “pump-no”; perhaps pump-on"):
        why(vehicle, TRADE, "pump-no")


# Quick help


def help_texts(vehicle: Any, symptom: str) -> list[str]:
    return [h.text for e in quick_help(vehicle, TRADE) if e.symptom == symptom for h in e.hints]


def test_no_hot_water_on_gas_asks_for_all_that_the_heater_needs(vehicle: Any) -> None:
    found = " ".join(help_texts(vehicle, "no-hot-water-gas"))
    for word in ("gas valve", "reset button", "isolation valve", "flue outlet", "12 V", "wait a few seconds"):
        assert word.lower() in found.lower(), word


def test_the_pump_is_switched_on_before_the_taps_are_run(vehicle: Any) -> None:
    for symptom in ("no-hot-water-gas", "no-hot-water-mains"):
        found = help_texts(vehicle, symptom)
        assert found.index("Switch the water pump on.") < found.index(
            "Run every hot tap until it no longer spits."
        )


def test_a_tank_is_filled_with_its_drain_closed(vehicle: Any) -> None:
    found = help_texts(vehicle, "no-water")
    filled = found.index("Fill up with water. Switch the pump on.")
    assert found.index("Close the fresh tank's drain.") < filled


def test_no_hot_water_on_mains_asks_for_switch_rcd_lead_and_breaker(vehicle: Any) -> None:
    found = " ".join(help_texts(vehicle, "no-hot-water-mains"))
    for word in ("at its 230 V switch", "RCD", "lead", "breaker"):
        assert word in found


SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def help_of(sample: str, symptom: str) -> list[str]:
    return help_texts(prepare(SAMPLES / f"{sample}.yaml").vehicle, symptom)


@pytest.mark.parametrize("symptom", ["no-hot-water-mains", "no-heating-mains", "no-sockets", "fridge-warm"])
def test_an_rcd_is_switched_on_once_only(symptom: str) -> None:
    told = [text for text in help_of("larch", symptom) if "the RCD on" in text]
    assert told and all("RCD on, once only" in text for text in told)


@pytest.mark.parametrize("symptom", ["no-hot-water-mains", "no-heating-mains", "no-sockets"])
def test_a_lead_is_pushed_in_with_the_main_switch_off_and_before_the_heater_is_blamed(symptom: str) -> None:
    text = " ".join(help_of("larch", symptom))
    off, lead = text.index("Switch the main switch off."), text.index("Push the lead in fully")
    assert off < lead < text.index("Switch the main switch ", lead)
    assert text.count(" the lead ") == 1


@pytest.mark.parametrize(
    ("sample", "symptom"),
    [("larch", "no-hot-water-gas"), ("larch", "no-heating-gas"), ("hazel", "no-heating-diesel")],
)
def test_a_burner_that_failed_is_started_again_once_only(sample: str, symptom: str) -> None:
    told = [text for text in help_of(sample, symptom) if "fault" in text]
    assert told and all(text.endswith("Switch it on once more.") for text in told)


def test_gas_that_shut_itself_off_is_let_in_again_once_only_and_where_none_is_smelt() -> None:
    told = [text for text in help_of("larch", "no-hot-water-gas") if "reset" in text]
    assert told == ["If you smell no gas, press the gas reset button, once only."]


@pytest.mark.parametrize(
    ("sample", "told"),
    [
        ("alder", "Switch the water heater on at its 230 V switch."),
        ("willow", "Set the heater to hot water on 230 V."),
    ],
)
def test_a_heater_that_may_be_empty_is_switched_on_last(sample: str, told: str) -> None:
    assert help_of(sample, "no-hot-water-mains")[-2:] == ["Run every hot tap until it no longer spits.", told]


@pytest.mark.parametrize(
    ("sample", "symptom", "other"),
    [("larch", "gas-smell-or-alarm", "gas-smell"), ("alder", "gas-smell", "gas-smell-or-alarm")],
)
def test_where_gas_escapes_nothing_is_switched_or_lit_before_the_valve_is_closed(
    sample: str, symptom: str, other: str
) -> None:
    assert help_of(sample, symptom)[0].startswith("Touch no switch and light no flame.")
    assert not help_of(sample, other)


def test_nobody_is_sent_onto_the_roof_to_a_flue() -> None:
    text = " ".join(help_of("bramble", "no-heating-gas"))
    assert "From the ground, look whether the roof flue is free" in text and "uncover" not in text


def test_nobody_is_sent_onto_the_roof_to_an_aerial() -> None:
    context = prepare(SAMPLES / "juniper.yaml")
    assert [point.where for point in context.vehicle.of_kind("aerial")] == ["roof"]
    said = sequences_json(context.sequences, context.vehicle)["sequences"]
    for sequence, id in (("arrive", "aerial-up"), ("leave", "aerial-down"), ("lay-up", "aerial-down")):
        (step,) = [step for step in said[sequence] if step["step"] == id]
        assert "from inside" in step["text"]


def test_a_diesel_heater_has_an_exhaust_that_cools_before_it_is_cleared() -> None:
    text = " ".join(help_of("hazel", "no-heating-diesel"))
    assert "off and cool, clear its exhaust" in text and "flue" not in text


@pytest.mark.parametrize("sample", ["hazel", "rowan"])
def test_a_lithium_battery_is_not_judged_by_its_voltage(sample: str) -> None:
    assert not any(" V at rest" in text for text in help_of(sample, "no-12v"))


def test_a_battery_that_counts_as_charged_reads_what_is_usual_for_it() -> None:
    """Else first use would pass a battery that the three checks send to the charger."""
    checks = [s for s in TRADE.steps if s.id == "master-on" and " V or more" in s.check]
    assert checks
    for step in checks:
        lithium = "battery.lithium" in step.when
        (usual,) = (
            r.usual
            for r in TRADE.readings
            if r.name == "leisure battery at rest" and ("battery.lithium" in r.when) is lithium
        )
        assert f"shows {usual[0]:g} V or more" in step.check


def test_hints_carry_the_numbers_of_their_points(vehicle: Any) -> None:
    numbers = {p.id: p.number for p in vehicle.points}
    entries = quick_help(vehicle, TRADE)
    assert any(h.numbers for e in entries for h in e.hints)
    for entry in entries:
        for hint in entry.hints:
            assert hint.numbers == tuple(numbers[p] for p in hint.points)


def test_only_the_valve_of_the_appliance_is_named(vehicle: Any) -> None:
    hints = [h for e in quick_help(vehicle, TRADE) if e.symptom == "fridge-warm" for h in e.hints]
    valves = [vehicle.point(p) for h in hints for p in h.points if p.startswith("isolation-valve")]
    assert valves and all("fridge" in v.serves for v in valves)


def test_only_what_the_vehicle_has_is_asked(vehicles_by_chance: ModuleType) -> None:
    bare = vehicles_by_chance.vehicle_of(read_layout("van-short"), "campervan", Equipment())
    assert {e.symptom for e in quick_help(bare, TRADE)} == {"alarm-chirps"}


@pytest.mark.parametrize("seed", range(20))
def test_no_complaint_is_empty_or_too_long(seed: int, vehicles_by_chance: ModuleType) -> None:
    vehicle = vehicles_by_chance.random_vehicle(seed)
    entries = quick_help(vehicle, TRADE)
    assert [e.symptom for e in entries] == [s.id for s in TRADE.symptoms if holds(s.when, vehicle.facts)]
    for entry in entries:
        assert 1 <= len(entry.hints) <= 10
        assert len({h.text for h in entry.hints}) == len(entry.hints)


@pytest.mark.parametrize("seed", range(20))
def test_short_help_is_four_to_six_lines_of_at_most_ninety_characters(
    seed: int, vehicles_by_chance: ModuleType
) -> None:
    vehicle = vehicles_by_chance.random_vehicle(seed)
    known = {e.symptom: e for e in quick_help(vehicle, TRADE)}
    lines = short_help(vehicle, TRADE)
    assert min(4, len(known) - 2) <= len(lines) <= 6
    for line in lines:
        assert line.title and line.checks and len(line.text) <= 90
        shorts = {(h.short, h.numbers) for h in known[line.symptom].hints}
        assert set(line.checks) <= shorts


def test_short_help_reads_as_one_line_with_numbers(vehicle: Any) -> None:
    number = {p.kind: p.number for p in vehicle.points}
    water = next(line for line in short_help(vehicle, TRADE) if line.symptom == "no-water")
    assert water.text.startswith(f"No water: pump switch {number['pump-switch']}, 12 V master ")


def test_no_help_with_what_the_vehicle_cannot_lack(vehicles_by_chance: ModuleType) -> None:
    """Without a crash sensor there is no gas reset to press."""
    for crash in (True, False):
        equipment = Equipment.read(
            {
                "gas": {"cylinders": [{"size": "11 kg"}], "crash_protected": crash},
                "heating": {"type": "gas-convector", "gas": "3 kW"},
                "leisure_battery": {"capacity": "100 Ah", "type": "lead"},
            }
        )
        made = vehicles_by_chance.vehicle_of(read_layout("van-short"), "campervan", equipment)
        assert any("reset" in text for text in help_texts(made, "no-heating-gas")) is crash


# JSON and places


def test_json_has_the_agreed_shape(vehicle: Any) -> None:
    found = plan_sequences(vehicle, TRADE)
    record = json.loads(json.dumps(sequences_json(found, vehicle)))
    assert record["vehicle"] == vehicle.id
    assert list(record["sequences"]) == list(SEQUENCES) == list(record["walk_m"])
    keys = {"step", "points", "numbers", "place", "text", "check", "caution", "needs", "gives"}
    for steps in record["sequences"].values():
        assert len({s["step"] for s in steps}) == len(steps)
        for step in steps:
            assert keys <= set(step)
            assert len(step["points"]) == len(step["numbers"])
            assert step["caution"] is None or step["caution"].endswith(".")


def test_cautions_belong_to_their_steps(vehicle: Any) -> None:
    steps = plan_sequences(vehicle, TRADE).sequences["arrive"]
    expected = {"cylinder-open": "gas-leak", "lead-vehicle": "mains-lead", "rcd-test": "mains-rcd"}
    for id, caution in {**expected, "water-heater-on": "dry-heater", "cowl-clear": "cowl"}.items():
        step = steps.step(id)
        assert step and caution in step.cautions


def test_steps_stand_where_their_points_are(vehicle: Any) -> None:
    """One stands within reach of each outside point that is the only one of its step."""
    terrain = Terrain(vehicle.layout)
    for planned in plan_sequences(vehicle, TRADE).sequences.values():
        for step in planned.steps:
            if len(step.points) == 1 and step.outside and (point := vehicle.point(step.points[0])):
                here = terrain.ring.along(step.x, step.y)
                there = terrain.ring.along(point.x, point.y, point.where)
                assert terrain.ring.distance(here, there) <= 601


def test_places_are_said_without_what_they_share() -> None:
    places = [
        "Inside, kitchen, low",
        "Inside, kitchen, high",
        "Inside, bedroom, low",
        "Outside, rear",
        "Outside, rear",
    ]
    assert said_together(places) == "Inside, kitchen, low; high; bedroom, low; outside, rear"


def test_an_order_that_the_text_names_is_walked_so(vehicle: Any) -> None:
    """The battery isolator first on arriving, last on laying up."""
    found = plan_sequences(vehicle, TRADE).sequences
    on, off = found["arrive"].step("master-on"), found["lay-up"].step("master-off")
    assert on and [vehicle.point(p).kind for p in on.points] == ["battery-isolator", "control-panel"]
    assert off and [vehicle.point(p).kind for p in off.points] == ["control-panel", "battery-isolator"]


def test_an_order_that_the_text_names_holds_at_one_spot_against_the_numbers() -> None:
    """The drain lets the agent out before clean water goes in at the filler, which has the lower number."""
    prepared = prepare(SAMPLES / "willow.yaml")
    rinse = prepared.sequences.sequences["recommission"].step("rinse-fill")
    assert rinse and rinse.points == ("fresh-drain", "fresh-filler")
    drain, filler = map(prepared.vehicle.point, rinse.points)
    assert drain.number > filler.number


def test_places_stand_in_the_order_of_their_numbers(vehicle: Any) -> None:
    for planned in plan_sequences(vehicle, TRADE).sequences.values():
        for step in planned.steps:
            placed = [vehicle.point(p).place for p in step.points]
            assert step.place.startswith(said_together(placed))


def test_what_is_not_placed_is_said(vehicles_by_chance: ModuleType) -> None:
    equipment = Equipment.read({"hook_up": {"inlet": "16 A"}})
    empty = vehicles_by_chance.vehicle_of(read_layout("van-short"), "campervan", equipment)
    arrive = plan_sequences(empty, TRADE).sequences["arrive"]
    lead, post = arrive.step("lead-vehicle"), arrive.step("lead-post")
    assert lead and lead.unlocated and lead.points == () and "still to be located" in lead.place
    assert post and not post.unlocated


def test_the_walk_starts_and_ends_where_it_is_natural(vehicle: Any) -> None:
    found = plan_sequences(vehicle, TRADE).sequences
    assert found["arrive"].steps[0].step == "park-level"
    assert found["leave"].steps[-1].step == "drive"
    assert not found["arrive"].steps[-1].outside or found["arrive"].doors % 2 == 0
    for planned in found.values():
        assert planned.walk_m > 0 and planned.path


def test_a_stop_outside_is_drawn_before_the_point_that_it_begins_with(vehicle: Any) -> None:
    """One place on every map: spots a step or two apart are one for planning, wherever the first of them is."""
    seen = 0
    for planned in plan_sequences(vehicle, TRADE).sequences.values():
        at = None
        for step in planned.steps:
            begins, at = step.stop != at, step.stop
            first = vehicle.point(step.visits[0][0]) if step.visits and step.visits[0] else None
            if not (begins and step.outside and first) or first.furniture or first.opening:
                continue
            if first.where in ("nearside", "offside"):
                seen += 1
                assert abs(step.x - first.x) <= 250 + 1, (planned.name, step.step)
                assert (round(step.x), round(step.y)) in planned.path
    assert seen > 3


def test_arriving_ends_inside_and_leaving_at_the_wheel(vehicle: Any) -> None:
    found = plan_sequences(vehicle, TRADE).sequences
    layout = vehicle.layout
    x, y = found["arrive"].path[-1]
    assert 0 < x < layout.length and 0 < y < layout.width
    door = next(d for d in layout.doors if d.kind == "cab" and d.side == "offside")
    x, y = found["leave"].path[-1]
    assert door.start <= x <= door.start + door.width and y > layout.width / 2


def test_a_text_names_the_number_of_a_switch_that_must_be_off() -> None:
    """Once the points have numbers, wherever the sequences were planned; without a bracket where there is none."""
    prepared = prepare(SAMPLES / "sorrel.yaml")
    (switch,) = prepared.vehicle.of_kind("consumer-unit")
    lead = prepared.sequences.sequences["arrive"].step("lead-vehicle")
    assert lead and f"main switch ({switch.number}) off" in lead.text
    bare = replace(prepared.vehicle, points=tuple(replace(p, number=0) for p in prepared.vehicle.points))
    early = plan_sequences(bare, TRADE)
    later = plan_sequences(prepared.vehicle, TRADE, known=early.sequences)
    assert later.sequences["arrive"].step("lead-vehicle") == lead
    none = replace(prepared.vehicle, points=tuple(p for p in prepared.vehicle.points if p is not switch))
    alone = plan_sequences(none, TRADE).sequences["arrive"].step("lead-vehicle")
    assert alone and "main switch off" in alone.text


def test_of_a_diesel_heater_beside_a_gas_heater_no_cover_is_taken() -> None:
    """Its exhaust has none; the caution about covers is of the other."""
    prepared = prepare(SAMPLES / "sorrel.yaml")
    clear = prepared.sequences.sequences["arrive"].step("cowl-clear")
    assert clear and [prepared.vehicle.point(p).kind for p in clear.points] == [
        "water-heater-cowl",
        "diesel-heater-exhaust",
    ]
    assert "cover. Clear the diesel heater's exhaust." in clear.text


def test_the_battery_is_charged_before_the_mains_goes_off_for_the_winter() -> None:
    for sample in ("sorrel", "fern", "larch"):
        steps = prepare(SAMPLES / f"{sample}.yaml").sequences.sequences["lay-up"].steps
        told = next(
            n for n, step in enumerate(steps) if {"battery-winter", "battery-rest"} & {*step.cautions}
        )
        off = next(n for n, step in enumerate(steps) if step.step == "mains-off")
        assert told <= off
        assert sum("battery-winter" in step.cautions for step in steps) <= 1


def test_all_is_done_only_with_the_last_step() -> None:
    """A fridge that waits for the engine comes after it."""
    for sample in ("sorrel", "larch", "fern", "hazel"):
        steps = prepare(SAMPLES / f"{sample}.yaml").sequences.sequences["leave"].steps
        said = [step.step for step in steps if "all of this is done" in step.text]
        assert said == ([] if steps[-1].step == "fridge-12v" else [steps[-1].step]), sample
