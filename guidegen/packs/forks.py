"""Work done by a fork of this process meanwhile: it knows all that this one knows, and sends what it made."""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any, NoReturn

_PIPE_BYTES = (
    1 << 20
)  # so that who says something goes on before it is heard; pipe(7): the most without rights


class Line:
    """One end of what two processes say to each other, object by object."""

    def __init__(self, incoming: int, outgoing: int) -> None:
        """The ends of two pipes, which this closes."""
        self._incoming, self._outgoing = os.fdopen(incoming, "rb"), os.fdopen(outgoing, "wb")

    def say(self, what: object) -> None:
        """Sends something that can be pickled; in vain when the other has ended."""
        with suppress(BrokenPipeError):
            pickle.dump(what, self._outgoing, pickle.HIGHEST_PROTOCOL)
            self._outgoing.flush()

    def hear(self) -> Any:
        """Waits for what the other says next; None when it met a fault, or was killed."""
        try:
            return pickle.load(self._incoming)
        except (EOFError, pickle.UnpicklingError):
            return None

    def close(self) -> None:
        self._incoming.close()
        with suppress(BrokenPipeError):
            self._outgoing.close()


def may_fork() -> bool:
    """Forking is safe where the system means it to be, and no other thread holds a lock meanwhile."""
    return sys.platform == "linux" and threading.active_count() == 1


@contextmanager
def forked(work: Callable[[], object]) -> Iterator[Callable[[], Any]]:
    """What this yields, called, waits for what the fork made; None when that was a fault, or it was killed.

    The fork ends with the block.
    """
    with in_talk(lambda _: work()) as line:
        yield line.hear


@contextmanager
def in_talk(work: Callable[[Line], object]) -> Iterator[Line]:
    """As `forked`, with a fork that is given its end of a line; what it made is what it says last.

    The fork is a bare one: the standard library's takes longer to load than to fork.
    """
    (theirs_in, ours_out), (ours_in, theirs_out) = _pipe(), _pipe()
    fork = os.fork()
    if not fork:
        os.close(ours_in)
        os.close(ours_out)  # so that the line ends with the first process
        _work(work, Line(theirs_in, theirs_out))
    os.close(theirs_in)
    os.close(theirs_out)
    line = Line(ours_in, ours_out)
    try:
        yield line
    finally:
        with suppress(ProcessLookupError):
            os.kill(fork, signal.SIGKILL)
        with suppress(ChildProcessError):
            os.waitpid(fork, 0)
        line.close()


def _pipe() -> tuple[int, int]:
    import fcntl

    ends = os.pipe()
    with suppress(OSError, AttributeError):  # a user may have too many large ones
        fcntl.fcntl(ends[1], fcntl.F_SETPIPE_SZ, _PIPE_BYTES)
    return ends


def _work(work: Callable[[Line], object], line: Line) -> NoReturn:
    """All that the fork does; it ends here, without what the first process means to do at its own end."""
    try:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process ends this one
        line.say(work(line))
    finally:
        os._exit(0)
