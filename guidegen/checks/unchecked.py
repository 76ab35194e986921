"""Lines that their writer marked "to check": usual figures and places taken over from another vehicle."""

from __future__ import annotations

import re
from collections.abc import Iterator

from guidegen.errors import Finding, Mark
from guidegen.vehicle.source import KeyPath, Source

MARK = "# to check"
_MARKED = re.compile(r"(?m)^[^\S\n]*[^\s#][^\n]*?(?<=\s)(# to check)\b")


def marked_lines(text: str) -> tuple[int, ...]:
    """The numbers of the marked lines, from 1; lines that are nothing but a remark do not count."""
    return tuple(text.count("\n", 0, found.start(1)) + 1 for found in _MARKED.finditer(text))


def marked_paths(source: Source) -> frozenset[KeyPath]:
    """The values that stand on a marked line."""
    lines = set(marked_lines(source.text))
    return frozenset(path for path, mark in source.values.items() if mark.line in lines)


def to_check(source: Source) -> Iterator[Finding]:
    """One warning for all of them, at the first."""
    found = _MARKED.search(source.text)
    if not found:
        return
    count = len(marked_lines(source.text))
    lines = "one line is" if count == 1 else f"{count} lines are"
    start = source.text.rfind("\n", 0, found.start(1)) + 1
    mark = Mark(source.file, source.text.count("\n", 0, start) + 1, found.start(1) - start + 1)
    hint = "look at this vehicle, correct the line, and delete the remark"
    yield Finding(
        "warning", "to-check", f"{lines} marked “to check” and would be printed as they are", hint, mark
    )
