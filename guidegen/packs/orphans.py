"""A worker process ends when the process that it works for has ended, however that came about."""

from __future__ import annotations

import os
import threading


def end_with_parent() -> None:
    """Makes this worker end with the process that started it; the initializer of a process pool.

    A pool whose owner is killed outright cannot tell its workers, which would wait for ever.
    """
    from multiprocessing import parent_process
    from multiprocessing.connection import wait

    parent = parent_process()
    if parent is None:
        return

    def watch() -> None:
        wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=watch, name="end-with-parent", daemon=True).start()
