"""Arranges the plan that the numbers follow in a fork, while this process loads and plans sequences.

None of these needs another: sequences are planned before the points have their numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from guidegen.errors import GuidegenError
from guidegen.packs.forks import forked, may_fork
from guidegen.packs.workers import processors

if TYPE_CHECKING:
    from guidegen.plan.arrange import Arrangement
    from guidegen.sequence import Sequences
    from guidegen.vehicle.model import Vehicle

SEQUENCED = frozenset({"guide", "booklet", "card"})  # the documents that print sequences
_LEAST_POINTS = 40  # points from which arranging takes longer than a fork and its answer


def ready(vehicle: Vehicle, names: Sequence[str]) -> Sequences | None:
    """Loads what the documents of these names need, plans what they print and arranges their plan, by two.

    What is arranged is kept for who asks for it. Returns the sequences that are printed first; None where
    nobody prints any, where this process had better do all by itself, or when there was a fault, which is
    met again by who asks.
    """
    if not _worth_a_fork(vehicle) or processors() < 2 or not may_fork():
        return None
    from guidegen.packs.making import load
    from guidegen.plan.arrange import take_over
    from guidegen.plan.numbering import NUMBERING_BOX, subject_of

    with forked(partial(arranged, vehicle)) as answer:
        load(names)
        sequences = planned(vehicle) if SEQUENCED.intersection(names) else None
        if found := answer():
            take_over(subject_of(vehicle), NUMBERING_BOX, *found)
    return sequences


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
