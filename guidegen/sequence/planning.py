"""All sequences of one vehicle, planned, walked and checked by the simulator."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import TypeAlias

from msgspec.structs import replace

from guidegen.sequence.by_hand import refuse_incomplete, refuse_unready
from guidegen.sequence.conditions import variants_of
from guidegen.sequence.model import PlannedSequence, PlannedStep, SequenceError, SequenceSet, Variant
from guidegen.sequence.simulator import simulate
from guidegen.sequence.standing import plan_for, said_together, with_numbers
from guidegen.sequence.terrain import Terrain
from guidegen.sequence.walking import walk
from guidegen.trade.records import SEQUENCES, SequenceName, Trade
from guidegen.vehicle.model import Vehicle

Sequences: TypeAlias = Mapping[SequenceName, PlannedSequence]  # in the variant that is printed first


def plan_sequences(
    vehicle: Vehicle, trade: Trade, *, prove: bool = False, known: Sequences | None = None
) -> SequenceSet:
    """Every sequence as it is printed first; other variants are planned when they are asked for.

    With `prove` the search goes on far longer to prove that no order walks less. known: those that are
    printed first, where they were planned before the points had numbers.
    Raises SequenceError when there is no safe order, or a hand-made one is unsafe.
    """
    variants = _Variants(vehicle, trade, prove)
    variants.keep(known.values() if known else ())
    first = {name: variants[name, variants_of(name, vehicle.facts)[0]] for name in SEQUENCES}
    return SequenceSet(first, variants)


class _Variants(Mapping[tuple[SequenceName, Variant], PlannedSequence]):
    """Plans a variant when it is first asked for."""

    def __init__(self, vehicle: Vehicle, trade: Trade, prove: bool) -> None:
        self._vehicle, self._trade, self._prove = vehicle, trade, prove
        self._planned: dict[tuple[SequenceName, Variant], PlannedSequence] = {}
        self._keys = tuple(
            (name, variant) for name in SEQUENCES for variant in variants_of(name, vehicle.facts)
        )

    @cached_property
    def _terrain(self) -> Terrain:
        return Terrain(self._vehicle.layout)

    def __getitem__(self, key: tuple[SequenceName, Variant]) -> PlannedSequence:
        if key not in self._keys:
            raise KeyError(key)
        if key not in self._planned:
            self.keep([_planned(self._vehicle, self._trade, self._terrain, *key, self._prove)])
        return self._planned[key]

    def keep(self, planned: Iterable[PlannedSequence]) -> None:
        self._planned |= {(p.name, p.variant): in_number_order(p, self._vehicle) for p in planned}

    def __iter__(self) -> Iterator[tuple[SequenceName, Variant]]:
        return iter(self._keys)

    def __len__(self) -> int:
        return len(self._keys)


def in_number_order(sequence: PlannedSequence, vehicle: Vehicle) -> PlannedSequence:
    """The same walk; points that are reached from one spot come by their numbers, and texts tell theirs."""
    points = {point.id: point for point in vehicle.points}

    def sorted_out(step: PlannedStep) -> PlannedStep:
        if (text := with_numbers(step.text, vehicle)) != step.text:
            step = replace(step, text=text)
        ids = tuple(id for spot in step.visits for id in sorted(spot, key=lambda id: points[id].number))
        if ids == step.points or not step.visits:
            return step
        place = said_together([*(points[id].place for id in ids), *step.stops])
        return replace(step, points=ids, place=place)

    return replace(sequence, steps=tuple(map(sorted_out, sequence.steps)))


def _planned(
    vehicle: Vehicle, trade: Trade, terrain: Terrain, name: SequenceName, variant: Variant, prove: bool
) -> PlannedSequence:
    plan = plan_for(vehicle, trade, name, variant)
    by_hand = tuple(vehicle.orders.get(name, ()))
    if by_hand and variant != variants_of(name, vehicle.facts)[0]:
        # A hand-made order is written for the variant printed first; another keeps what it has of it.
        by_hand = tuple(i for i in by_hand if i in plan.ids)
        required = {s.id for s in plan.steps if not s.optional} | {e.id for e in plan.extras}
        by_hand = () if required - set(by_hand) else by_hand
    elif by_hand:
        refuse_incomplete(plan, by_hand)
    refuse_unready(plan, trade, by_hand)
    planned = walk(plan, vehicle, trade, terrain, by_hand=by_hand, prove=prove)
    order = [step.step for step in planned.steps]
    breaches = simulate(name, variant, vehicle.facts, order, plan.own)
    if breaches:
        whose = "orders: the order" if by_hand else "the computed order"
        raise SequenceError(f"{whose} of {name} ({variant}) is unsafe: {breaches[0].message}")
    return planned
