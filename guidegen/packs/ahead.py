"""Sequences planned by a fork of this process, while this one numbers the plan; neither needs the other."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any

from guidegen.packs.workers import processors

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from guidegen.sequence import Sequences
    from guidegen.vehicle.model import Vehicle

SEQUENCED = frozenset({"guide", "booklet", "card"})  # the documents that print sequences
_LEAST_POINTS = 40  # points from which planning takes longer than a fork and its answer


def may_fork() -> bool:
    """Forking is safe where the system means it to be, and no other thread holds a lock meanwhile."""
    return sys.platform == "linux" and threading.active_count() == 1


def planned(vehicle: Vehicle) -> Sequences | None:
    """The sequences that are printed first; None when there is a fault, which is met again by who asks."""
    try:
        from guidegen.sequence import plan_sequences
        from guidegen.trade.load import load_trade

        return plan_sequences(vehicle, load_trade()).sequences
    except Exception:
        return None


def answered(line: Connection) -> Any:
    """Waits for what the process at the other end sends; None when it was killed."""
    try:
        return line.recv()
    except (EOFError, OSError):
        return None


@contextmanager
def planned_ahead(vehicle: Vehicle | None) -> Iterator[Callable[[], Sequences | None] | None]:
    """Plans in a fork where that is worth one: what it yields, called, waits for the sequences.

    None elsewhere, and for points that have their numbers.
    """
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
        yield partial(answered, ours)
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
