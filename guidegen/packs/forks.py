"""Work done by a fork of this process meanwhile: it knows all that this one knows, and sends what it made."""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from select import select
from typing import Any


def may_fork() -> bool:
    """Forking is safe where the system means it to be, and no other thread holds a lock meanwhile."""
    return sys.platform == "linux" and threading.active_count() == 1


class Answer:
    """What a fork made; called, this waits for it: None when that was a fault, or it was killed."""

    def __init__(self, line: int) -> None:
        self._line = line

    def begins(self) -> bool:
        """Whether the fork has begun to send it, or has ended."""
        return bool(select([self._line], (), (), 0)[0])

    def __call__(self) -> Any:
        with open(self._line, "rb", closefd=False) as stream:
            try:
                return pickle.load(stream)
            except (EOFError, pickle.UnpicklingError):
                return None


@contextmanager
def forked(work: Callable[[], object]) -> Iterator[Answer]:
    """Begins some work in a fork and yields what its answer will be.

    The fork ends with the block. It is a bare one: the standard library's takes longer to load than to fork.
    """
    ours, theirs = os.pipe()
    fork = os.fork()
    if not fork:
        os.close(ours)  # so that the pipe ends with the first process
        _work(work, theirs)
    os.close(theirs)
    try:
        yield Answer(ours)
    finally:
        os.close(ours)
        with suppress(ProcessLookupError):
            os.kill(fork, signal.SIGKILL)
        with suppress(ChildProcessError):
            os.waitpid(fork, 0)


@contextmanager
def heaped(tasks: bytes) -> Iterator[int]:
    """A pipe of tasks, a byte each, from which every process takes one at a time: see `taken`."""
    heap, end = os.pipe()
    try:
        with open(end, "wb") as stream:  # closed before a fork has it too, so that the heap has an end
            stream.write(tasks)
        yield heap
    finally:
        os.close(heap)


def taken(heap: int) -> Iterator[int]:
    """Tasks until none is left."""
    while task := os.read(heap, 1):
        yield task[0]


def _work(work: Callable[[], object], line: int) -> None:
    """All that the fork does; it ends here, without what the first process means to do at its own end."""
    try:
        for ending in (signal.SIGINT, signal.SIGTERM, getattr(signal, "SIGHUP", signal.SIGTERM)):
            signal.signal(ending, signal.SIG_IGN)  # the first process ends this one
        with open(line, "wb") as stream:
            pickle.dump(work(), stream, pickle.HIGHEST_PROTOCOL)
    finally:
        os._exit(0)
