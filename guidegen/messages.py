"""Messages as a good compiler gives them: place, what is wrong, the line with a caret, what to do."""

from __future__ import annotations

import errno
import re
import traceback
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TypedDict

import click

from guidegen.errors import Finding, GuidegenError, Mark

_COLOURS = {"error": "red", "warning": "yellow"}
_LINE_WIDTH = 110
_QUOTED = re.compile("“([^”]{80})[^”]{3,}”")
_TOKEN = re.compile(r'"[^"]*"|\'[^\']*\'|[^\s,\[\]{}#]+')


class FindingRecord(TypedDict):
    """One finding as printed by --json."""

    file: str
    line: int
    column: int
    severity: str
    rule: str
    message: str
    hint: str


def finding_record(finding: Finding) -> FindingRecord:
    mark = finding.mark
    return {
        "file": mark.file,
        "line": mark.line,
        "column": mark.column,
        "severity": finding.severity,
        "rule": finding.rule,
        "message": finding.message,
        "hint": finding.hint,
    }


def render(finding: Finding) -> str:
    """The finding as lines for a terminal, with ANSI colours (click.echo drops them elsewhere)."""
    colour = _COLOURS[finding.severity]
    mark = finding.mark
    place = ":".join(str(part) for part in (visible(mark.file), mark.line, mark.column) if part)
    head = click.style(finding.severity, fg=colour, bold=True)
    lines = [
        f"{head}: {click.style(place + ': ', bold=True) if place else ''}{visible(finding.message)}"
        + click.style(f" [{finding.rule}]", dim=True)
    ]
    lines += _excerpt(mark.file, mark.line, mark.column, colour)
    if finding.hint:
        lines.append(f"  {click.style('hint:', fg='cyan')} {visible(finding.hint)}")
    return "\n".join(lines)


def gathered(findings: Sequence[Finding], rule: str = "to-locate", most: int = 4) -> Iterator[str]:
    """The findings as `render` gives them; those of one rule in one message where a file has many of them."""
    of_rule: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.rule == rule:
            of_rule.setdefault(finding.mark.file, []).append(finding)
    many = {file: found for file, found in of_rule.items() if len(found) > most}
    for finding in findings:
        if finding.rule != rule or finding.mark.file not in many:
            yield render(finding)
    for file, found in many.items():
        yield render(_one_for_all(file, found))


def _one_for_all(file: str, found: list[Finding]) -> Finding:
    """One message for points that are not located yet: their names, and how each is told by itself."""
    names = "; ".join(finding.message.partition(": not")[0] for finding in found)
    hint = "guidegen survey makes the sheet to find them with; guidegen check --all says what needs each"
    message = f"{len(found)} points are not located yet: {names}"
    return Finding(found[0].severity, found[0].rule, message, hint, Mark(file))


def visible(text: str) -> str:
    """The text with what a terminal would obey, not show, as escapes; words quoted at length are cut."""
    text = _QUOTED.sub(r"“\1…”", text)
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def _excerpt(file: str, line: int, column: int, colour: str) -> list[str]:
    lines = _lines_of(file) if file and line else ()
    if not 0 < line <= len(lines):
        return []
    text, gutter = lines[line - 1], click.style(f"{line:>5} | ", dim=True)
    text, start = _windowed(text, column - 1)
    shown = [gutter + text]
    if column and start <= len(text):
        found = _TOKEN.match(text, start)
        under = found.group() if found else " "
        shown.append(
            click.style("      | ", dim=True)
            + " " * _cells(text[:start])
            + click.style("^" * max(1, _cells(under)), fg=colour, bold=True)
        )
    return shown


def _windowed(text: str, index: int) -> tuple[str, int]:
    """A long line cut to the part round the index, and the index in it; tabs become one blank."""
    text = "".join(c if c.isprintable() else " " for c in text)
    if len(text) <= _LINE_WIDTH:
        return text, index
    first = max(0, min(index - _LINE_WIDTH // 2, len(text) - _LINE_WIDTH))
    cut = text[first : first + _LINE_WIDTH]
    return ("…" + cut[1:] if first else cut), index - first


def _cells(text: str) -> int:
    from rich.cells import cell_len

    return cell_len(text)


@lru_cache(maxsize=8)
def _lines_of(file: str) -> tuple[str, ...]:
    try:
        text = Path(file).read_text(encoding="utf-8-sig", errors="replace")
    except OSError:
        return ()
    return tuple(re.split(r"\r\n|\r|\n", text))


def summary(findings: Iterable[Finding]) -> str:
    """ "2 errors, 1 warning", or "no findings"."""
    counts = {"error": 0, "warning": 0}
    for finding in findings:
        counts[finding.severity] += 1
    parts = [f"{n} {word}{'' if n == 1 else 's'}" for word, n in counts.items() if n]
    return ", ".join(parts) or "no findings"


def failure(error: Exception) -> str:
    """The whole message for an exception that ends a command."""
    findings: tuple[Finding, ...] = getattr(error, "findings", ())
    if findings:
        return "\n".join(render(finding) for finding in findings)
    if isinstance(error, GuidegenError):
        return f"guidegen: {visible(str(error))}"
    if isinstance(error, OSError):
        return f"guidegen: {visible(os_error(error))}"
    return f"guidegen: {unexpected(error)}"


def unexpected(error: Exception) -> str:
    """One line for a fault of the program, with the place that a report needs."""
    frames = traceback.extract_tb(error.__traceback__)
    place = f" at {Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
    said = " ".join(str(error).split())[:200]
    return (
        f"unexpected {type(error).__name__}{place}{': ' + said if said else ''}. This is a fault of "
        "guidegen: please report it with the vehicle file (guidegen --debug … shows more)"
    )


_REASONS = {
    errno.ENOENT: "there is no such file or folder",
    errno.EISDIR: "it is a folder, and a file is needed: name a file in it",
    errno.ENOTDIR: "a part of that path is a file, not a folder: choose another folder",
    errno.EEXIST: "something that is no folder has that name: choose another folder",
    errno.EACCES: "no permission, or the file is open in another program: close it, or choose another "
    "folder with -o",
    errno.EPERM: "no permission: choose another folder with -o",
    errno.EROFS: "the folder is read-only: choose another one with -o",
    errno.ENOSPC: "the disk is full: make room and run it again",
    errno.EDQUOT: "your disk quota is used up: make room and run it again",
    errno.ENAMETOOLONG: "the name is too long: choose a shorter one",
    errno.ETXTBSY: "the file is open in another program: close it and run it again",
    errno.EBUSY: "the file or folder is in use by another program: close it and run it again",
    errno.EXDEV: "a disk of its own is mounted there: choose another folder with -o",
    errno.EFBIG: "the file is larger than that disk can hold: choose another folder with -o",
    errno.EIO: "the disk cannot be read or written: check it, or choose another folder with -o",
    errno.ESTALE: "the folder, or a file in it, was moved or deleted meanwhile: run it again",
    errno.ELOOP: "its links lead round in a circle: name the file itself",
    errno.EMFILE: "too many files are open: close some programs and run it again",
    errno.EBADF: "standard output is closed: name a file with -o",
}


def os_error(error: OSError) -> str:
    """What the operating system refused, in words of the person at the keyboard."""
    if getattr(error, "winerror", None) == 32:
        reason = "the file is open in another program: close it and run it again"
    else:
        reason = _REASONS.get(error.errno or 0) or (error.strerror or str(error)).lower()
    name = error.filename2 or error.filename
    return f"{name}: {reason}" if name else reason
