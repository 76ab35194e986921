"""Which step comes before which, for what reason; and what is said when no order exists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import ModuleType
from typing import Any

import pytest
from msgspec.structs import replace

from guidegen.sequence import SequenceError, plan_sequences
from guidegen.sequence.planner import Plan, make_plan
from guidegen.trade.load import load_trade
from guidegen.trade.records import Step, Trade
from guidegen.vehicle.description import Equipment, ExtraStep
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.layout_reading import read_layout

TRADE = load_trade()
WATER = {"fresh_water": {"tank": "100 l"}, "leisure_battery": {"capacity": "100 Ah", "type": "lead"}}
MAINS = {"hook_up": {"inlet": "16 A"}}
DIESEL = {
    "water_heater": {"type": "combined", "water": "10 l"},
    "heating": {"type": "combined-air", "diesel": "4 kW"},
}
GAS = {"gas": {"cylinders": [{"size": "11 kg"}]}}


def plan(
    sequence: Any, equipment: Mapping[str, Any], variant: Any = "no-hook-up", trade: Trade = TRADE
) -> Plan:
    facts = facts_of("motorhome", Equipment.read(equipment))
    return make_plan(trade, sequence, variant, facts)


def edges(found: Plan) -> set[tuple[str, str]]:
    """All that comes before what, through others too."""
    pairs = {(r.before, r.after) for r in found.precedences}
    while True:
        more = {(a, d) for a, b in pairs for c, d in pairs if b == c} - pairs
        if not more:
            return pairs
        pairs |= more


# Steps that must stand in this order; of the hook-up as in BS 7671, section 721.
ORDERS = [  # equipment, sequence, variant, steps
    (MAINS, "arrive", "hook-up", "park-level lead-vehicle lead-post mains-on rcd-test"),
    (MAINS, "leave", "hook-up", "mains-off lead-post-off lead-vehicle-off lead-stow walk-round drive"),
    (WATER, "arrive", "no-hook-up", "drains-check fill pump-on prime"),
    (WATER, "leave", "no-hook-up", "taps-close pump-off drive"),
    (WATER, "lay-up", "outdoors", "pump-off fresh-drain-open tag"),
    (
        WATER,
        "recommission",
        "no-hook-up",
        "drains-check fill-little leaks-check sanitise flush fill pump-on prime",
    ),
    (
        {**WATER, **GAS, "water_heater": {"water": "10 l", "gas": "2 kW"}},
        "arrive",
        "no-hook-up",
        "cylinder-open water-heater-on",
    ),
    (
        {**WATER, **GAS, "water_heater": {"water": "10 l", "gas": "2 kW"}},
        "lay-up",
        "outdoors",
        "water-heater-off heater-cool pump-off heater-drain-open",
    ),
    ({**WATER, **DIESEL}, "arrive", "no-hook-up", "cowl-clear water-heater-on"),
    ({**WATER, **DIESEL}, "arrive", "no-hook-up", "prime water-heater-on"),
    ({**WATER, **DIESEL}, "lay-up", "outdoors", "water-heater-off heater-cool heater-drain-open"),
    (
        {"toilet": {}},
        "leave",
        "no-hook-up",
        "toilet-blade-close cassette-empty lockers-shut walk-round drive",
    ),
    ({"toilet": {}}, "lay-up", "outdoors", "toilet-blade-close cassette-empty blade-care"),
    ({"waste_water": {"tank": "90 l"}}, "leave", "no-hook-up", "waste-empty waste-check walk-round drive"),
    (
        {**GAS, "heating": {"type": "gas-convector", "gas": "3 kW"}},
        "leave",
        "no-hook-up",
        "heating-off cylinder-close drive",
    ),
]


@pytest.mark.parametrize(("equipment", "sequence", "variant", "chain"), ORDERS)
def test_the_safe_order(equipment: dict[str, Any], sequence: str, variant: str, chain: str) -> None:
    found = edges(plan(sequence, equipment, variant))
    steps = chain.split()
    assert all(pair in found for pair in zip(steps, steps[1:], strict=False))


ENERGIES = [  # equipment, variant, step, what it gives
    ({"gas": "2 kW", "mains": ["850 W"]}, "hook-up", "water_heater=mains"),
    ({"gas": "2 kW", "mains": ["850 W"]}, "no-hook-up", "water_heater=gas"),
    ({"gas": "2 kW"}, "hook-up", "water_heater=gas"),
    ({"mains": ["850 W"]}, "no-hook-up", None),
]


@pytest.mark.parametrize(("energies", "variant", "gives"), ENERGIES)
def test_mains_is_chosen_when_hooked_up_and_gas_otherwise(
    energies: dict[str, Any], variant: str, gives: str | None
) -> None:
    found = plan("arrive", {**WATER, **GAS, **MAINS, "water_heater": {"water": "10 l", **energies}}, variant)
    given = [g for s in found.steps if s.id == "water-heater-on" for g in s.gives if "=" in g]
    assert given == ([gives] if gives else [])


@pytest.mark.parametrize("sequence", ["arrive", "leave", "lay-up", "recommission"])
def test_a_bare_vehicle_gets_no_step_for_what_it_lacks(sequence: str) -> None:
    ids = plan(sequence, {}, "outdoors" if sequence == "lay-up" else "no-hook-up").ids
    for word in (
        "fridge",
        "heater",
        "heating",
        "lead",
        "mains",
        "cylinder",
        "pump",
        "tap",
        "awning",
        "aerial",
    ):
        assert not any(word in id for id in ids), ids


def test_every_precedence_knows_its_reason() -> None:
    found = plan("arrive", {**WATER, **MAINS}, "hook-up")
    reasons = {(r.before, r.after): (r.kind, r.condition) for r in found.precedences}
    assert reasons["fill", "pump-on"] == ("gives", "fresh_filled")
    assert reasons["lead-vehicle", "mains-on"] == ("keeps", "!mains_on")
    assert reasons["park-level", "drains-check"] == ("custom", "")


def with_steps(*steps: Step) -> Trade:
    ids = {(s.sequence, s.id) for s in steps}
    whole = (*(s for s in TRADE.steps if (s.sequence, s.id) not in ids), *steps)
    return Trade(lambda part: whole if part == "steps" else getattr(TRADE, part))


def changed(id: str, sequence: str, **fields: Any) -> Trade:
    found = [replace(s, **fields) for s in TRADE.steps if s.id == id and s.sequence == sequence]
    return with_steps(*found)


def test_a_need_that_nothing_gives_is_named() -> None:
    trade = changed("pump-on", "arrive", needs=("moon_full",))
    with pytest.raises(SequenceError, match=r"“pump-on” needs “moon_full”, but no step"):
        plan("arrive", WATER, trade=trade)


def test_a_goal_that_nothing_reaches_is_named() -> None:
    with pytest.raises(SequenceError, match=r"arrive \(no-hook-up\): nothing brings about “primed”"):
        plan("arrive", WATER, trade=changed("prime", "arrive", when=("moon",)))


def test_a_gas_heater_without_gas_is_told_by_its_condition() -> None:
    equipment = {**WATER, "water_heater": {"water": "10 l", "gas": "2 kW"}}
    with pytest.raises(SequenceError, match=r"“water-heater-on” needs “cylinder_open”"):
        plan("arrive", equipment)


def test_a_circle_in_the_data_is_named() -> None:
    with pytest.raises(SequenceError, match=r"“fill”.*“pump-on”|“pump-on”.*“fill”"):
        plan("arrive", WATER, trade=changed("fill", "arrive", needs=("pump_on",)))


# The dealer's own steps and orders


def vehicle(chance: ModuleType, *extras: ExtraStep, orders: Mapping[str, Sequence[str]] = {}) -> Any:
    equipment = Equipment.read({**WATER, **MAINS})
    layout = read_layout("coachbuilt-rear-lounge")
    return chance.vehicle_of(layout, "motorhome", equipment, extra_steps=extras, orders=orders)


def extra(id: str = "lamp-off", **fields: Any) -> ExtraStep:
    return ExtraStep(id=id, sequence="arrive", text="Switch the awning lamp off.", **fields)


def order_of(found: Any, sequence: str = "arrive") -> list[str]:
    return [s.step for s in found.sequences[sequence].steps]


def test_a_dealers_step_stands_between_the_steps_it_names(vehicles_by_chance: ModuleType) -> None:
    own = extra(after=("mains-on",), before=("rcd-test",), check="It is dark.")
    planned = plan_sequences(vehicle(vehicles_by_chance, own), TRADE)
    order = order_of(planned)
    assert order.index("mains-on") < order.index("lamp-off") < order.index("rcd-test")
    step = planned.sequences["arrive"].step("lamp-off")
    assert step is not None and step.dealer and step.check == "It is dark."


@pytest.mark.parametrize(
    ("own", "message"),
    [
        (
            extra(after=("lead-post",), before=("lead-vehicle",)),
            "“lead-post” before “lamp-off” before “lead-vehicle” is fixed",
        ),
        (extra(before=("nothing-on",)), "“lamp-off” names “nothing-on”, which is no step of arrive"),
        (extra("fill"), "“fill” is already the id of a step"),
        (extra(after=("lead-vehicle", "rcd-test"), before=("lead-post",)), "“lead-post”"),
    ],
)
def test_a_dealers_step_that_cannot_be_is_refused(
    own: ExtraStep, message: str, vehicles_by_chance: ModuleType
) -> None:
    with pytest.raises(SequenceError, match=message):
        plan_sequences(vehicle(vehicles_by_chance, own), TRADE)


def test_two_dealers_steps_may_name_each_other(vehicles_by_chance: ModuleType) -> None:
    planned = plan_sequences(vehicle(vehicles_by_chance, extra("one", before=("two",)), extra("two")), TRADE)
    order = order_of(planned)
    assert order.index("one") < order.index("two")
    with pytest.raises(SequenceError, match="one.*two|two.*one"):
        plan_sequences(
            vehicle(vehicles_by_chance, extra("one", before=("two",)), extra("two", before=("one",))), TRADE
        )


def test_a_safe_order_by_hand_is_kept(vehicles_by_chance: ModuleType) -> None:
    computed = order_of(plan_sequences(vehicle(vehicles_by_chance), TRADE))
    by_hand = [*(s for s in computed if s != "alarms-test"), "alarms-test"]
    planned = plan_sequences(vehicle(vehicles_by_chance, orders={"arrive": by_hand}), TRADE)
    assert order_of(planned) == by_hand
    assert planned.sequences["arrive"].by_hand


def test_an_unsafe_order_by_hand_is_refused_with_the_reason(vehicles_by_chance: ModuleType) -> None:
    order = order_of(plan_sequences(vehicle(vehicles_by_chance), TRADE))
    a, b = order.index("lead-post"), order.index("mains-on")
    order[a], order[b] = order[b], order[a]
    with pytest.raises(
        SequenceError, match="“mains-on” comes while the lead is out of the pitch supply; it needs"
    ):
        plan_sequences(vehicle(vehicles_by_chance, orders={"arrive": order}), TRADE)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda o: o[:-1] if o[-1] != "awning-out" else o[:-2], "leaves out"),
        (lambda o: [*o, o[0]], "names twice"),
        (lambda o: [*o, "dance"], "no such step, “dance”"),
    ],
)
def test_an_order_by_hand_must_be_whole(change: Any, message: str, vehicles_by_chance: ModuleType) -> None:
    order = order_of(plan_sequences(vehicle(vehicles_by_chance), TRADE))
    with pytest.raises(SequenceError, match=message):
        plan_sequences(vehicle(vehicles_by_chance, orders={"arrive": change(order)}), TRADE)


def test_optional_steps_may_be_left_out_by_hand(vehicles_by_chance: ModuleType) -> None:
    equipment = Equipment.read({**WATER, "awning": {"type": "wind-out"}})
    layout = read_layout("coachbuilt-rear-lounge")
    whole = vehicles_by_chance.vehicle_of(layout, "motorhome", equipment)
    order = [s for s in order_of(plan_sequences(whole, TRADE)) if s != "awning-out"]
    planned = plan_sequences(replace(whole, orders={"arrive": order}), TRADE)
    assert order_of(planned) == order
