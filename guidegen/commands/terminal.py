"""What the terminal can show, found out by asking it."""

from __future__ import annotations

import os
import re
import sys
import time

_ASK, _REPLY = "\x1b[c", re.compile(rb"\x1b\[\?([\d;]*)c")  # primary device attributes, ECMA-48 8.3.24
_SIXEL = b"4"  # among the attributes: sixel graphics (VT330/VT340 programmer reference manual)
_WAIT_S = 0.3


def shows_sixel() -> bool:
    """Whether a person sits at a terminal that says that it draws sixels."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    try:
        import termios
        import tty
    except ImportError:  # not a POSIX system
        return False
    keyboard = sys.stdin.fileno()
    before = termios.tcgetattr(keyboard)
    try:
        tty.setcbreak(keyboard, termios.TCSANOW)
        sys.stderr.write(_ASK)
        sys.stderr.flush()
        return _SIXEL in _attributes(keyboard)
    finally:
        termios.tcsetattr(keyboard, termios.TCSANOW, before)


def _attributes(keyboard: int) -> list[bytes]:
    """The attributes that the terminal answers with; none when it is silent for too long."""
    import select

    answer, end = b"", time.monotonic() + _WAIT_S
    while not (found := _REPLY.search(answer)):
        left = end - time.monotonic()
        if left <= 0 or not select.select([keyboard], [], [], left)[0]:
            return []
        answer += os.read(keyboard, 1)
    return found[1].split(b";")
