"""A finding is shown with its place, the line it is in, a caret under the place, and a hint."""

from __future__ import annotations

import errno
import json
from pathlib import Path

import click
import pytest

from guidegen import messages
from guidegen.errors import CheckError, Finding, Mark


def finding(file: Path, line: int, column: int, **more: str) -> Finding:
    return Finding("error", "units", "735 has no unit", mark=Mark(str(file), line, column), **more)


def shown(found: Finding) -> list[str]:
    return click.unstyle(messages.render(found)).split("\n")


def test_head_place_line_caret_and_hint(tmp_path: Path) -> None:
    file = tmp_path / "larch.yaml"
    file.write_text("id: larch\nsizes: {length: 735, width: 2.3 m}\n")
    assert shown(finding(file, 2, 17, hint="write 7.35 m")) == [
        f"error: {file}:2:17: 735 has no unit [units]",
        "    2 | sizes: {length: 735, width: 2.3 m}",
        "      |                 ^^^",
        "  hint: write 7.35 m",
    ]


@pytest.mark.parametrize(
    ("before", "cells"),
    [("\t", 1), ("名前: ", 6), ("é: ", 3), ("e\u0301: ", 3)],
    ids=["tab", "wide characters", "accent", "combining accent"],
)
def test_caret_stands_under_the_place_whatever_stands_before_it(
    tmp_path: Path, before: str, cells: int
) -> None:
    # East Asian wide characters take two cells: Unicode Standard Annex 11.
    file = tmp_path / "a.yaml"
    file.write_text(f"{before}735\n", encoding="utf-8")
    caret = shown(finding(file, 1, len(before) + 1))[2]
    assert caret == "      | " + " " * cells + "^^^"


def test_long_line_is_cut_round_the_place(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_text("x" * 500 + " 735 " + "y" * 500)
    _, line, caret = shown(finding(file, 1, 502))
    assert len(line) < 130
    assert line[caret.index("^") : caret.rindex("^") + 1] == "735"


def test_control_characters_of_a_file_never_reach_the_terminal(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_text("name: \x1b[31mred\x07\n")
    assert not any(ord(c) < 32 for line in shown(finding(file, 1, 1)) for c in line)


@pytest.mark.parametrize(
    "mark", [Mark(), Mark("gone.yaml"), Mark("gone.yaml", 3, 1), Mark(__file__, 99999, 1)]
)
def test_without_a_line_to_show_the_head_stands_alone(mark: Mark) -> None:
    assert len(shown(Finding("warning", "r", "something is missing", mark=mark))) == 1


def test_record_has_the_agreed_keys() -> None:
    record = messages.finding_record(Finding("warning", "r", "m", "h", Mark("f", 1, 2)))
    expected = {"file": "f", "line": 1, "column": 2, "severity": "warning", "rule": "r"}
    assert json.loads(json.dumps(record)) == {**expected, "message": "m", "hint": "h"}


def test_many_points_to_be_located_are_one_message() -> None:
    def missing(name: str, file: str = "a.yaml") -> Finding:
        return Finding("warning", "to-locate", f"{name}: not located yet (because)", "h", Mark(file, 3, 1))

    other = finding(Path("a.yaml"), 9, 1)
    five = [missing(f"Tap {n}") for n in range(5)]
    told = [click.unstyle(m) for m in messages.gathered([*five, other, missing("Hob", "b.yaml")])]
    assert [m.partition("\n")[0] for m in told] == [
        "error: a.yaml:9:1: 735 has no unit [units]",
        "warning: b.yaml:3:1: Hob: not located yet (because) [to-locate]",
        "warning: a.yaml: 5 points are not located yet: Tap 0; Tap 1; Tap 2; Tap 3; Tap 4 [to-locate]",
    ]
    assert len(list(messages.gathered(five[:4]))) == 4


def test_summary_counts() -> None:
    error, warning = Finding("error", "", ""), Finding("warning", "", "")
    assert messages.summary([]) == "no findings"
    assert messages.summary([error, warning, warning]) == "1 error, 2 warnings"


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "disk is full"),
        (errno.EROFS, "read-only"),
        (errno.EACCES, "open in another program"),
        (errno.ENOENT, "no such file"),
        (errno.EISDIR, "a folder"),
    ],
)
def test_what_the_system_refuses_is_said_with_the_file(number: int, words: str) -> None:
    said = messages.failure(OSError(number, "x", "out dir/größe.pdf"))
    assert "out dir/größe.pdf: " in said
    assert words in said
    assert "\n" not in said


def test_fault_of_the_program_is_one_line_that_asks_for_a_report() -> None:
    try:
        {}["two\nlines"]  # type: ignore[misc]
    except KeyError as error:
        said = messages.failure(error)
    assert said.count("\n") == 0
    assert "KeyError" in said
    assert "test_messages.py" in said
    assert "report" in said


def test_failure_of_a_check_shows_every_finding() -> None:
    said = messages.failure(CheckError((Finding("error", "a", "first"), Finding("warning", "b", "second"))))
    assert "first" in said
    assert "second" in said
