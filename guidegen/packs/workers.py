"""How the processes that build packs behave: seldom busy with rubbish, and none outlives its owner."""

from __future__ import annotations

import gc
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager

# Objects more than at the last search before cycles among the youngest are searched for; then each tenth
# time older ones, each tenth of those times all. A large pack holds half a million records and few cycles:
# a search every 50 000 takes a twelfth of its time, and Python's own every 700 a seventh.
_FOR_A_COMMAND = (1_000_000, 10, 10)
_FOR_A_WORKER = (50_000, 10, 10)  # which makes many packs, in as little memory as one


def collect_seldom() -> None:
    """Makes this process look for rubbish less often; for commands, which make much and end."""
    gc.set_threshold(*_FOR_A_COMMAND)


@contextmanager
def collecting_seldom() -> Iterator[None]:
    """As a worker does while a pack is built, whatever program asked for it; then as that program had it."""
    before = gc.get_threshold()
    if not 0 < before[0] < _FOR_A_WORKER[0]:  # it looks as seldom already, or never
        yield
        return
    gc.set_threshold(*_FOR_A_WORKER)
    try:
        yield
    finally:
        gc.set_threshold(*before)


def processors() -> int:
    """How many this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def begin_work() -> None:
    """Prepares a worker; the initializer of a process pool.

    It ends with the process that started it: a pool whose owner is killed outright cannot tell its workers,
    which would wait for ever.
    """
    import signal
    from multiprocessing import parent_process
    from multiprocessing.connection import wait

    gc.set_threshold(*_FOR_A_WORKER)
    parent = parent_process()
    if parent is None:
        return
    # Ctrl-C in a terminal reaches every process; the owner lets the packs that are begun be ended whole.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # by which the owner ends a worker

    def watch() -> None:
        wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=watch, name="end-with-parent", daemon=True).start()
