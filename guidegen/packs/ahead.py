"""Sequences planned by a fork of this process, while this one numbers the plan; neither needs the other."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from guidegen.packs.workers import processors

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from guidegen.sequence import Known
    from guidegen.vehicle.model import Vehicle

SEQUENCED = frozenset({"guide", "booklet", "card"})  # the documents that print sequences
_LEAST_POINTS = 40  # points from which planning takes longer than a fork and its answer


def may_fork() -> bool:
    """Forking is safe where the system means it to be, and no other thread holds a lock meanwhile."""
    return sys.platform == "linux" and threading.active_count() == 1


def planned(vehicle: Vehicle) -> Known | None:
    """The sequences that are printed first; None when there is a fault, which is met again by who asks."""
    try:
        from guidegen.sequence import plan_sequences
        from guidegen.trade.load import load_trade

        return plan_sequences(vehicle, load_trade()).sequences
    except Exception:
        return None


class Ahead:
    """Another process that is planning the sequences of a vehicle; called, it waits for them."""

    def __init__(self, line: Connection) -> None:
        self._line = line

    def __call__(self) -> Known | None:
        try:
            found: Known | None = self._line.recv()
        except (EOFError, OSError):  # the fork was killed
            return None
        return found


@contextmanager
def planned_ahead(vehicle: Vehicle | None) -> Iterator[Ahead | None]:
    """Plans in a fork where that is worth one; None elsewhere, and for points that have their numbers."""
    if vehicle is None or not _worth_a_fork(vehicle) or processors() < 2 or not may_fork():
        yield None
        return
    import multiprocessing

    forking = multiprocessing.get_context("fork")
    ours, theirs = forking.Pipe(duplex=False)
    fork = forking.Process(target=_plan, args=(vehicle, ours, theirs), daemon=True)
    fork.start()
    theirs.close()
    try:
        yield Ahead(ours)
    finally:
        ours.close()
        fork.kill()
        fork.join()


def _worth_a_fork(vehicle: Vehicle) -> bool:
    return len(vehicle.points) >= _LEAST_POINTS and not all(point.number for point in vehicle.points)


def _plan(vehicle: Vehicle, theirs: Connection, line: Connection) -> None:
    import signal

    theirs.close()  # so that the pipe ends with the first process
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process ends this one
    found = planned(vehicle)
    try:
        line.send(found)
    except OSError:
        return
