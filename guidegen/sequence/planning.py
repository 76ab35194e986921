"""All sequences of one vehicle, planned, walked and checked by the simulator."""

from __future__ import annotations

from guidegen.sequence.conditions import variants_of
from guidegen.sequence.model import PlannedSequence, SequenceError, SequenceSet, Variant
from guidegen.sequence.planner import make_plan
from guidegen.sequence.simulator import simulate
from guidegen.sequence.terrain import Terrain
from guidegen.sequence.walking import refuse_incomplete, walk
from guidegen.trade.records import SEQUENCES, SequenceName, Trade
from guidegen.vehicle.model import Vehicle


def plan_sequences(vehicle: Vehicle, trade: Trade, *, prove: bool = False) -> SequenceSet:
    """Every sequence in every variant that makes sense for the vehicle.

    With `prove` the search goes on far longer to prove that no order walks less.
    Raises SequenceError when there is no safe order, or a hand-made one is unsafe.
    """
    terrain = Terrain(vehicle.layout)
    found: dict[tuple[SequenceName, Variant], PlannedSequence] = {}
    first: dict[SequenceName, PlannedSequence] = {}
    for name in SEQUENCES:
        for variant in variants_of(name, vehicle.facts):
            planned = _planned(vehicle, trade, terrain, name, variant, name not in first, prove)
            found[name, variant] = planned
            first.setdefault(name, planned)
    return SequenceSet(first, found)


def _planned(
    vehicle: Vehicle,
    trade: Trade,
    terrain: Terrain,
    name: SequenceName,
    variant: Variant,
    printed_first: bool,
    prove: bool,
) -> PlannedSequence:
    plan = make_plan(trade, name, variant, vehicle.facts, vehicle.extra_steps)
    by_hand = tuple(vehicle.orders.get(name, ()))
    if by_hand and not printed_first:
        # A hand-made order is written for the variant printed first; another keeps what it has of it.
        by_hand = tuple(i for i in by_hand if i in plan.ids)
        missing = {s.id for s in plan.steps if not s.optional} | {e.id for e in plan.extras}
        by_hand = () if missing - set(by_hand) else by_hand
    elif by_hand:
        refuse_incomplete(plan, by_hand)
    planned = walk(plan, vehicle, trade, terrain, by_hand=by_hand, prove=prove)
    breaches = simulate(name, variant, vehicle.facts, [s.step for s in planned.steps])
    if breaches:
        whose = "orders: the order" if by_hand else "the computed order"
        raise SequenceError(f"{whose} of {name} ({variant}) is unsafe: {breaches[0].message}")
    return planned
