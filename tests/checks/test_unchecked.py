"""Lines marked "to check" are told of until the mark is deleted."""

from __future__ import annotations

import pytest

from guidegen.checks.unchecked import marked_lines, to_check
from guidegen.vehicle.source import parse_source


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("a: 1\nb: 2  # to check\nc: 3 # to check, later\n", (2, 3)),
        ("# to check\na: 1\n  # to check\n", ()),
        ("a: b# to check\n", ()),
        ("a: 1  # to checkers\n", ()),
        ("a: 1\r\nb: 2  # to check\r\n", (2,)),
    ],
)
def test_which_lines_count(text: str, lines: tuple[int, ...]) -> None:
    assert marked_lines(text) == lines


def test_one_warning_at_the_first() -> None:
    (found,) = to_check(parse_source(b"a: 1\nb: 2  # to check\nc: 3  # to check\n", "x.yaml"))
    assert (found.severity, found.mark.line, found.mark.column) == ("warning", 2, 7)
    assert found.message.startswith("2 lines")
    assert not list(to_check(parse_source(b"a: 1\n", "x.yaml")))
