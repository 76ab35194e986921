"""Sequences planned by a fork of this process, while this one numbers the plan; neither needs the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING

from guidegen.packs.forks import forked, may_fork
from guidegen.packs.workers import processors

if TYPE_CHECKING:
    from guidegen.sequence import Sequences
    from guidegen.vehicle.model import Vehicle

SEQUENCED = frozenset({"guide", "booklet", "card"})  # the documents that print sequences
_LEAST_POINTS = 40  # points from which planning takes longer than a fork and its answer


def planned(vehicle: Vehicle) -> Sequences | None:
    """The sequences that are printed first; None when there is a fault, which is met again by who asks."""
    try:
        from guidegen.sequence import plan_sequences
        from guidegen.trade.load import load_trade

        return plan_sequences(vehicle, load_trade()).sequences
    except Exception:
        return None


@contextmanager
def planned_ahead(vehicle: Vehicle | None) -> Iterator[Callable[[], Sequences | None] | None]:
    """Plans in a fork where that is worth one: what it yields, called, waits for the sequences.

    None elsewhere, and for points that have their numbers.
    """
    if vehicle is None or not _worth_a_fork(vehicle) or processors() < 2 or not may_fork():
        yield None
        return
    with forked(partial(planned, vehicle)) as found:
        yield found


def _worth_a_fork(vehicle: Vehicle) -> bool:
    return len(vehicle.points) >= _LEAST_POINTS and not all(point.number for point in vehicle.points)
