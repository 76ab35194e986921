"""The plan that the numbers follow, and the sequences: made by a fork and this process, which also loads.

Neither needs the other: sequences are planned before the points have their numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from guidegen.errors import GuidegenError
from guidegen.packs.forks import forked, heaped, may_fork, taken
from guidegen.packs.workers import processors

if TYPE_CHECKING:
    from guidegen.plan.arrange import Arrangement
    from guidegen.sequence import Sequences
    from guidegen.vehicle.model import Vehicle

SEQUENCED = frozenset({"guide", "booklet", "card"})  # the documents that print sequences
_ARRANGE, _PLAN = 0, 1
_ARRANGED_FIRST = 78  # points from which arranging is likely to take longer than planning
_LEAST_POINTS = 40  # points from which both take longer than a fork and its answer


def ready(vehicle: Vehicle, names: Sequence[str]) -> Sequences | None:
    """Loads what the documents of these names need, plans what they print and arranges their plan, by two.

    What is arranged is kept for who asks for it. Returns the sequences that are printed first; None where
    nobody prints any, where this process had better do all by itself, or when there was a fault, which is
    met again by who asks.
    """
    if not _worth_a_fork(vehicle) or processors() < 2 or not may_fork():
        return None
    from guidegen.packs.making import load, load_for, load_later
    from guidegen.plan.arrange import take_over
    from guidegen.plan.numbering import NUMBERING_BOX, subject_of

    with heaped(_in_order(vehicle, names)) as heap, forked(partial(_worked_off, heap, vehicle)) as answer:
        load(names)
        load_for(vehicle, names)
        mine = _worked_off(heap, vehicle)
        load_later(names, answer.begins)
        theirs = answer() or {}
    if found := theirs.get(_ARRANGE):
        take_over(subject_of(vehicle), NUMBERING_BOX, *found)
    sequences: Sequences | None = (theirs | mine).get(_PLAN)
    return sequences


def _in_order(vehicle: Vehicle, names: Sequence[str]) -> bytes:
    """What is to be done; the fork begins with what is likely to take longest."""
    if not SEQUENCED.intersection(names):
        return bytes([_ARRANGE])
    return bytes([_ARRANGE, _PLAN] if len(vehicle.points) > _ARRANGED_FIRST else [_PLAN, _ARRANGE])


def _worked_off(heap: int, vehicle: Vehicle) -> dict[int, Any]:
    """What a process makes of the tasks that it takes."""
    return {task: arranged(vehicle) if task == _ARRANGE else planned(vehicle) for task in taken(heap)}


def arranged(vehicle: Vehicle) -> tuple[Arrangement | None]:
    """The plan on A4 that the numbers follow; of None when the points do not fit."""
    from guidegen.plan.arrange import arrange
    from guidegen.plan.errors import SheetTooSmallError
    from guidegen.plan.numbering import NUMBERING_BOX, subject_of

    try:
        return (arrange(subject_of(vehicle), NUMBERING_BOX),)
    except SheetTooSmallError:
        return (None,)


def planned(vehicle: Vehicle) -> Sequences | None:
    """The sequences that are printed first; None when there is a fault."""
    try:
        from guidegen.sequence import plan_sequences
        from guidegen.trade.load import load_trade

        return plan_sequences(vehicle, load_trade()).sequences
    except GuidegenError:
        return None


def _worth_a_fork(vehicle: Vehicle) -> bool:
    return len(vehicle.points) >= _LEAST_POINTS and not all(point.number for point in vehicle.points)
