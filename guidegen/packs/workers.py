"""How the processes that build packs behave: seldom busy with rubbish, and none outlives its owner."""

from __future__ import annotations

import gc
import os
import threading

# Objects made before the youngest are searched for cycles; every tenth time the older ones, every tenth of
# those times all. A pack makes half a million records and few cycles: Python's own 700 took a seventh of it.
_THRESHOLDS = (50_000, 10, 10)


def collect_seldom() -> None:
    """Makes this process look for rubbish less often; for commands and workers, which make much and end."""
    gc.set_threshold(*_THRESHOLDS)


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

    collect_seldom()
    parent = parent_process()
    if parent is None:
        return
    # Ctrl-C in a terminal reaches every process; the owner lets the packs that are begun be ended whole.
    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def watch() -> None:
        wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=watch, name="end-with-parent", daemon=True).start()
