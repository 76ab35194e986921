"""The simulator catches what must be caught. What is expected is written here by hand from the rules:

1 heater on while not primed · 2 gas appliance on without gas or outlet · 3 mains and lead · 4 pump dry,
drains open or no 12 V · 5 filling with the drain open · 6 opening drains · 7 cassette out with the blade
open · 8 fridge on gas or 12 V · 9 driving off · 10 lay-up.
"""

from __future__ import annotations

import pytest

from guidegen.sequence.conditions import variants_of
from guidegen.sequence.planner import make_plan
from guidegen.sequence.simulator import Breach, simulate
from guidegen.sequence.simulator_tables import EFFECTS
from guidegen.trade.load import load_trade
from guidegen.trade.records import SequenceName
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import facts_of

FULL = Equipment.read(
    {
        "gas": {"cylinders": [{"size": "11 kg"}], "crash_protected": True},
        "hob": {"gas": "5 kW"},
        "water_heater": {"water": "10 l", "gas": "2 kW", "mains": ["850 W"]},
        "heating": {"type": "gas-convector", "gas": "3 kW", "mains": ["1 kW"]},
        "fridge": {"type": "absorption", "gas": "15 g/h", "mains": "150 W", "dc": "130 W"},
        "fresh_water": {"tank": "100 l", "filter": True, "outside_shower": True},
        "waste_water": {"tank": "90 l"},
        "toilet": {},
        "hook_up": {"inlet": "16 A", "charger": "200 W", "charger_switch": True},
        "leisure_battery": {"capacity": "100 Ah", "type": "lead"},
        "entry_step": {"type": "manual"},
        "awning": {"type": "wind-out"},
        "aerial": {"type": "directional"},
        "roof_lights": 2,
        "steadies": 2,
        "drop_down_bed": True,
    }
)
FACTS = facts_of("motorhome", FULL, frozenset({"low-point-drain"}))


def good(sequence: SequenceName, variant: str = "") -> list[str]:
    """A safe order, in which the cases below make one thing wrong."""
    chosen = variant or variants_of(sequence, FACTS)[0]
    plan = make_plan(load_trade(), sequence, chosen, FACTS)  # type: ignore[arg-type]
    before: dict[str, set[str]] = {id: set() for id in plan.ids}
    for reason in plan.precedences:
        before[reason.after].add(reason.before)
    order: list[str] = []
    while len(order) < len(before):
        order.append(next(i for i in plan.ids if i not in order and before[i] <= set(order)))
    return order


def judged(sequence: SequenceName, steps: list[str], variant: str = "") -> tuple[Breach, ...]:
    return simulate(sequence, variant or variants_of(sequence, FACTS)[0], FACTS, steps)


def without(steps: list[str], *dropped: str) -> list[str]:
    return [s for s in steps if s not in dropped]


def moved_before(steps: list[str], step: str, other: str) -> list[str]:
    rest = without(steps, step)
    rest.insert(rest.index(other), step)
    return rest


@pytest.mark.parametrize("variant", ["hook-up", "no-hook-up"])
@pytest.mark.parametrize("sequence", ["arrive", "leave", "recommission"])
def test_good_orders_pass(sequence: SequenceName, variant: str) -> None:
    assert judged(sequence, good(sequence, variant), variant) == ()


@pytest.mark.parametrize("variant", ["outdoors", "heated-store"])
def test_good_lay_ups_pass(variant: str) -> None:
    assert judged("lay-up", good("lay-up", variant), variant) == ()


SWAPPED = [  # sequence, variant, step, moved before, rule
    ("arrive", "hook-up", "water-heater-on", "prime", "1"),
    ("arrive", "hook-up", "water-heater-on", "fill", "1"),
    ("arrive", "no-hook-up", "water-heater-on", "regulator-reset", "2"),
    ("arrive", "no-hook-up", "heating-on", "cylinder-open", "2"),
    ("arrive", "no-hook-up", "heating-on", "isolators-check", "2"),
    ("arrive", "no-hook-up", "heating-on", "cowl-clear", "2"),
    ("arrive", "no-hook-up", "fridge-choose", "fridge-vents-clear", "2"),
    ("arrive", "hook-up", "mains-on", "lead-post", "3"),
    ("arrive", "hook-up", "lead-post", "lead-vehicle", "3"),
    ("arrive", "hook-up", "charger-on", "mains-on", "3"),
    ("arrive", "hook-up", "heating-on", "mains-on", "3"),
    ("arrive", "hook-up", "fridge-choose", "mains-on", "3"),
    ("arrive", "hook-up", "pump-on", "fill", "4"),
    ("arrive", "hook-up", "pump-on", "drains-check", "4"),
    ("arrive", "hook-up", "pump-on", "master-on", "4"),
    ("arrive", "hook-up", "fill", "drains-check", "5"),
    ("arrive", "no-hook-up", "fridge-choose", "park-level", "8"),
    ("arrive", "no-hook-up", "fridge-choose", "alarms-test", "2"),
    ("arrive", "no-hook-up", "water-heater-on", "alarms-test", "2"),
    ("arrive", "hook-up", "heating-on", "cowl-clear", "2"),
    ("recommission", "hook-up", "water-heater-on", "cowl-clear", "2"),
    ("arrive", "hook-up", "alarms-test", "step-out", "step"),
    ("recommission", "hook-up", "taps-close", "step-out", "step"),
    ("leave", "hook-up", "step-in", "windows-close", "step"),
    ("lay-up", "outdoors", "step-in", "cushions-up", "step"),
    ("leave", "hook-up", "lockers-shut", "lead-stow", "9"),
    ("leave", "hook-up", "fridge-12v", "drive", "8"),
    ("arrive", "hook-up", "lead-vehicle", "park-level", "parked"),
    ("arrive", "hook-up", "toilet-ready", "park-level", "parked"),
    ("arrive", "hook-up", "water-heater-on", "rcd-test", "3"),
    ("arrive", "hook-up", "charger-on", "rcd-test", "3"),
    ("recommission", "hook-up", "flush", "rinse-fill", "goal"),
    ("recommission", "hook-up", "rinse-fill", "sanitise", "goal"),
    ("recommission", "hook-up", "cylinder-open", "hoses-check", "2"),
    ("recommission", "hook-up", "tag-off", "prime", "1"),
    ("leave", "hook-up", "walk-round", "lockers-shut", "9"),
    ("leave", "hook-up", "walk-round", "windows-close", "9"),
    ("leave", "hook-up", "drive", "walk-round", "9"),
    ("leave", "hook-up", "lead-post-off", "mains-off", "3"),
    ("leave", "hook-up", "lead-vehicle-off", "mains-off", "3"),
    ("leave", "hook-up", "lead-vehicle-off", "lead-post-off", "3"),
    ("leave", "hook-up", "mains-off", "heating-off", "3"),
    ("leave", "hook-up", "mains-off", "water-heater-off", "3"),
    ("leave", "hook-up", "mains-off", "fridge-travel", "3"),
    ("leave", "hook-up", "mains-off", "charger-off", "3"),
    ("leave", "no-hook-up", "cylinder-close", "heating-off", "2"),
    ("leave", "no-hook-up", "cylinder-close", "fridge-travel", "2"),
    ("leave", "hook-up", "cassette-empty", "toilet-blade-close", "7"),
    ("leave", "hook-up", "waste-check", "waste-empty", "9"),
    ("leave", "hook-up", "drive", "lead-vehicle-off", "9"),
    ("lay-up", "outdoors", "fresh-drain-open", "pump-off", "6"),
    ("lay-up", "outdoors", "fresh-drain-open", "pump-off", "4"),
    ("lay-up", "outdoors", "heater-drain-open", "pump-off", "6"),
    ("lay-up", "outdoors", "low-drains-open", "pump-off", "6"),
    ("lay-up", "outdoors", "water-filter-out", "pump-off", "6"),
    ("lay-up", "outdoors", "heater-drain-open", "water-heater-off", "6"),
    ("lay-up", "outdoors", "heater-drain-open", "heater-cool", "6"),
    ("lay-up", "outdoors", "cassette-empty", "toilet-blade-close", "7"),
    ("lay-up", "outdoors", "blade-care", "cassette-empty", "7"),
    ("lay-up", "outdoors", "mains-off", "fridge-off", "3"),
    ("lay-up", "outdoors", "heater-cool", "water-heater-off", "6"),
    ("arrive", "hook-up", "rcd-test", "mains-on", "3"),
    ("lay-up", "outdoors", "lead-post-off", "mains-off", "3"),
    ("recommission", "hook-up", "fill-little", "drains-check", "5"),
    ("recommission", "hook-up", "sanitise", "fill-little", "4"),
    ("recommission", "hook-up", "sanitise", "master-on", "4"),
    ("recommission", "hook-up", "water-heater-on", "prime", "1"),
    ("recommission", "no-hook-up", "heating-on", "cylinder-open", "2"),
    ("lay-up", "outdoors", "taps-open-middle", "pump-off", "6"),
    ("lay-up", "outdoors", "taps-open-middle", "heater-cool", "6"),
    ("lay-up", "outdoors", "outside-shower-drain", "pump-off", "6"),
    ("lay-up", "outdoors", "pump-off", "heater-cool", "1"),
    ("lay-up", "outdoors", "cassette-empty", "toilet-run-dry", "10"),
    ("lay-up", "outdoors", "tag", "fresh-drain-open", "10"),
    ("lay-up", "outdoors", "tag", "taps-open-middle", "10"),
    ("lay-up", "outdoors", "tag", "heater-drain-open", "10"),
    ("lay-up", "outdoors", "tag", "low-drains-open", "10"),
    ("lay-up", "outdoors", "lead-stow", "lead-vehicle-off", "3"),
    ("leave", "hook-up", "lead-stow", "lead-post-off", "3"),
    ("arrive", "hook-up", "regulator-reset", "cylinder-open", "2"),
    ("arrive", "hook-up", "prime", "waste-check", "goal"),
    ("arrive", "hook-up", "heating-on", "master-on", "goal"),
    ("recommission", "hook-up", "master-on", "battery-on", "goal"),
    ("recommission", "hook-up", "fill-little", "taps-close", "4"),
    ("recommission", "hook-up", "fill-little", "outside-shower-close", "4"),
    ("recommission", "hook-up", "leaks-check", "filter-in", "4"),
    ("recommission", "hook-up", "sanitise", "waste-check", "goal"),
    ("recommission", "hook-up", "water-heater-on", "tag-off", "1"),
    ("recommission", "hook-up", "toilet-ready", "toilet-blade-close", "7"),
]


@pytest.mark.parametrize(("sequence", "variant", "step", "other", "rule"), SWAPPED)
def test_a_step_too_early_is_caught(
    sequence: SequenceName, variant: str, step: str, other: str, rule: str
) -> None:
    steps = moved_before(good(sequence, variant), step, other)
    found = judged(sequence, steps, variant)
    assert rule in {b.rule for b in found}, f"{step} before {other}: {found}"


DROPPED = [  # sequence, variant, step left out, rule
    ("arrive", "hook-up", "prime", "1"),
    ("arrive", "no-hook-up", "regulator-reset", "2"),
    ("arrive", "no-hook-up", "isolators-check", "2"),
    ("arrive", "no-hook-up", "cowl-clear", "2"),
    ("arrive", "no-hook-up", "fridge-vents-clear", "2"),
    ("arrive", "hook-up", "lead-post", "3"),
    ("arrive", "hook-up", "mains-on", "3"),
    ("arrive", "hook-up", "fill", "4"),
    ("arrive", "hook-up", "master-on", "4"),
    ("arrive", "hook-up", "drains-check", "5"),
    ("arrive", "no-hook-up", "park-level", "8"),
    ("arrive", "hook-up", "rcd-test", "goal"),
    ("arrive", "hook-up", "alarms-test", "goal"),
    ("arrive", "hook-up", "waste-check", "goal"),
    ("arrive", "hook-up", "steadies-down", "goal"),
    ("arrive", "hook-up", "step-out", "goal"),
    ("leave", "hook-up", "loose-items-stow", "9"),
    ("leave", "hook-up", "bed-up", "9"),
    ("leave", "hook-up", "heating-off", "9"),
    ("leave", "hook-up", "water-heater-off", "9"),
    ("leave", "hook-up", "pump-off", "9"),
    ("leave", "no-hook-up", "fridge-travel", "9"),
    ("leave", "hook-up", "waste-check", "9"),
    ("leave", "hook-up", "aerial-down", "9"),
    ("leave", "hook-up", "awning-in", "9"),
    ("leave", "hook-up", "roof-lights-close", "9"),
    ("leave", "hook-up", "windows-close", "9"),
    ("leave", "hook-up", "blinds-cab-open", "9"),
    ("leave", "hook-up", "lead-vehicle-off", "9"),
    ("leave", "hook-up", "cylinder-close", "9"),
    ("leave", "hook-up", "steadies-up", "9"),
    ("leave", "hook-up", "step-in", "9"),
    ("leave", "hook-up", "lockers-shut", "9"),
    ("leave", "hook-up", "mains-off", "3"),
    ("leave", "hook-up", "charger-off", "3"),
    ("leave", "hook-up", "toilet-blade-close", "7"),
    ("leave", "hook-up", "lead-stow", "goal"),
    ("leave", "hook-up", "walk-round", "goal"),
    ("leave", "hook-up", "drive", "goal"),
    ("leave", "hook-up", "fridge-12v", "goal"),
    *(
        ("lay-up", "outdoors", step, "10")
        for step in (
            "fresh-drain-open", "heater-drain-open", "low-drains-open", "taps-open-middle", "waste-empty",
            "blade-care", "water-filter-out", "outside-shower-drain", "fridge-off", "cylinder-close", "master-off", "charger-off",
            "lead-vehicle-off", "lead-stow", "tag", "windows-close", "roof-lights-close", "heating-off", "lockers-shut",
        )
    ),
    ("lay-up", "heated-store", "charger-leave", "10"),
    ("recommission", "hook-up", "hoses-check", "goal"),
    ("recommission", "hook-up", "gas-date-check", "goal"),
    ("recommission", "hook-up", "flush", "goal"),
    ("recommission", "hook-up", "rinse-fill", "goal"),
    ("recommission", "hook-up", "sanitise", "goal"),
    ("recommission", "hook-up", "fill", "goal"),
    ("arrive", "hook-up", "regulator-reset", "goal"),
    ("recommission", "hook-up", "leaks-check", "goal"),
    ("recommission", "hook-up", "tag-off", "goal"),
    ("recommission", "hook-up", "filter-in", "goal"),
]  # fmt: skip


@pytest.mark.parametrize(("sequence", "variant", "step", "rule"), DROPPED)
def test_a_step_left_out_is_caught(sequence: SequenceName, variant: str, step: str, rule: str) -> None:
    steps = good(sequence, variant)
    assert step in steps
    assert rule in {b.rule for b in judged(sequence, without(steps, step), variant)}


def test_a_step_done_twice_is_caught() -> None:
    steps = good("arrive")
    assert "twice" in {b.rule for b in judged("arrive", [*steps, steps[3]])}


def test_a_step_that_nobody_knows_is_caught_unless_it_is_the_dealers_own() -> None:
    steps = [*good("arrive"), "book-look-over"]
    assert "unknown" in {b.rule for b in judged("arrive", steps)}
    assert not simulate("arrive", variants_of("arrive", FACTS)[0], FACTS, steps, own={"book-look-over"})


def test_it_knows_what_every_step_of_the_trade_does() -> None:
    assert set(EFFECTS) == {step.id for step in load_trade().steps}


@pytest.mark.parametrize(("step", "sequence"), [("step-out", "arrive"), ("step-in", "lay-up")])
def test_an_electric_step_moves_on_12_v(step: str, sequence: SequenceName) -> None:
    facts = FACTS - {"step.manual"} | {"step.electric"}
    variant = variants_of(sequence, facts)[0]
    found = simulate(
        sequence, variant, facts, ["park-level", *(["master-off"] if step == "step-in" else []), step]
    )
    assert f"at “{step}”, the electric step is to move without 12 V" in {b.message for b in found}


def test_a_step_for_equipment_that_is_not_fitted_is_caught() -> None:
    bare = facts_of("motorhome", Equipment())
    found = simulate("leave", "no-hook-up", bare, ["awning-in"])
    assert "not fitted" in {b.rule for b in found}


def test_an_absorption_fridge_on_12_v_needs_the_engine() -> None:
    """Rule 8, by a vehicle whose fridge has no other energy left: the act is not in any sequence."""
    facts = FACTS | {"fridge.compressor"} | {"fridge.absorption"}
    found = simulate("arrive", "no-hook-up", facts, ["park-level", "fridge-choose"])
    assert "8" in {b.rule for b in found}


@pytest.mark.parametrize(
    ("facts", "caught"),
    [({"heating.approved-on-road"}, False), (set(), True)],
)
def test_a_heater_may_run_on_the_road_only_where_it_is_approved(facts: set[str], caught: bool) -> None:
    steps = without(good("leave"), "heating-off")
    found = simulate("leave", "no-hook-up", FACTS | facts, without(steps, "mains-off"))
    assert any("drives while the heating" in b.message for b in found) == caught


@pytest.mark.parametrize(("facts", "caught"), [({"gas.open-on-road"}, False), (set(), True)])
def test_gas_may_stay_open_on_the_road_only_where_it_is_marked(facts: set[str], caught: bool) -> None:
    steps = without(good("leave"), "cylinder-close")
    found = simulate("leave", "hook-up", FACTS | facts, steps)
    assert any("drives while the gas" in b.message for b in found) == caught


def caravan_order(sequence: SequenceName, variant: str) -> tuple[frozenset[str], list[str]]:
    equipment = Equipment.read(
        {
            "steadies": 4,
            "leisure_battery": {"capacity": "100 Ah", "type": "lead"},
            "fresh_water": {"tank": "40 l"},
        }
    )
    facts = facts_of("caravan", equipment, frozenset())
    plan = make_plan(load_trade(), sequence, variant, facts)  # type: ignore[arg-type]
    before: dict[str, set[str]] = {id: set() for id in plan.ids}
    for reason in plan.precedences:
        before[reason.after].add(reason.before)
    found: list[str] = []
    while len(found) < len(before):
        found.append(next(i for i in plan.ids if i not in found and before[i] <= set(found)))
    return facts, found


@pytest.mark.parametrize(
    ("sequence", "variant", "step", "other"),
    [
        ("recommission", "no-hook-up", "steadies-down", "chocks-set"),
        ("recommission", "no-hook-up", "drains-check", "park-level"),
        ("recommission", "no-hook-up", "taps-close", "steadies-down"),
        ("arrive", "no-hook-up", "pump-on", "steadies-down"),
        ("lay-up", "outdoors", "pump-off", "stand-firm"),
        ("lay-up", "outdoors", "brake-release", "fresh-drain-open"),
    ],
)
def test_nobody_works_at_a_caravan_that_can_roll_or_tip(
    sequence: SequenceName, variant: str, step: str, other: str
) -> None:
    facts, steps = caravan_order(sequence, variant)
    assert simulate(sequence, variant, facts, steps) == ()
    found = simulate(sequence, variant, facts, moved_before(steps, step, other))
    assert "parked" in {b.rule for b in found}


def test_a_caravan_is_laid_up_on_its_chocks_with_the_brake_off() -> None:
    facts, steps = caravan_order("lay-up", "outdoors")
    found = simulate("lay-up", "outdoors", facts, without(steps, "brake-release"))
    assert [b.message for b in found] == ["at the end, caravan brake should be off but is on"]


def test_a_caravan_is_not_pulled_off_uncoupled() -> None:
    facts = facts_of("caravan", Equipment(), frozenset())
    plan = make_plan(load_trade(), "leave", "no-hook-up", facts)
    steps = without(list(plan.ids), "couple", "drive")
    found = simulate("leave", "no-hook-up", facts, [*steps, "drive"])
    assert any(b.rule == "9" and "not coupled" in b.message for b in found)
    found = simulate("leave", "no-hook-up", facts, [*steps, "couple", "drive"])
    assert not any("coupled" in b.message for b in found)
