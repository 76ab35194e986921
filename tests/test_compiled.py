"""What is worked out of shipped files: made once, kept whole, made anew when it is out of date."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from guidegen.compiled import compiled

VALUE = {"a": [1, 2.5, None, True], "é": ("x", b"\x00\xff"), 7: frozenset({"k"}), "deep": {"b": {"c": ()}}}


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where Python keeps what it compiles."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    file = tmp_path / "data.txt"
    file.write_text("one")
    return file


@pytest.fixture
def reading(file: Path) -> Iterator[Callable[..., Any]]:
    """Reads the file by way of what is kept; `made` tells what was worked out."""
    made: list[str] = []

    def read(*more: Path) -> Any:
        def make() -> Any:
            made.append(file.read_text())
            return made[-1]

        return compiled("text", (file, *more), make)

    read.made = made  # type: ignore[attr-defined]
    yield read


def test_any_plain_value_comes_back_as_it_was(file: Path, kept: Path) -> None:
    assert [compiled("value", (file,), lambda: VALUE) for _ in range(2)] == [VALUE, VALUE]
    assert [file.suffix for file in kept.rglob("of-value*")] == [".pyc"]


def test_what_comes_back_is_nobody_elses(file: Path, kept: Path) -> None:
    compiled("list", (file,), lambda: [1]).append(2)
    first = compiled("list", (file,), lambda: [1])
    assert first == [1]
    assert compiled("list", (file,), lambda: [1]) is not first


def test_it_is_worked_out_once(reading: Any, kept: Path) -> None:
    assert [reading() for _ in range(3)] == ["one"] * 3
    assert reading.made == ["one"]


def test_a_file_that_changes_changes_it_even_with_its_old_time_and_size(
    reading: Any, file: Path, kept: Path
) -> None:
    assert reading() == "one"
    before = file.stat()
    file.write_text("two")
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert reading() == "two"
    assert reading.made == ["one", "two"]


def test_it_depends_on_every_file_that_is_named(reading: Any, file: Path, tmp_path: Path, kept: Path) -> None:
    other = tmp_path / "other.txt"
    other.write_text("1")
    reading(file, other)
    reading(file, other)
    other.write_text("22")
    reading(file, other)
    reading(other)
    assert reading.made == ["one"] * 3


def test_nothing_is_kept_where_python_is_not_to_write(
    reading: Any, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert [reading(), reading()] == ["one", "one"]
    assert reading.made == ["one", "one"]
    assert not kept.exists()


def test_a_place_that_cannot_be_written_is_no_fault(reading: Any, kept: Path) -> None:
    kept.write_text("a file where a folder should be")
    assert [reading(), reading()] == ["one", "one"]


@pytest.mark.parametrize("left", [0, 4, 15])
def test_what_was_cut_short_is_worked_out_again(reading: Any, kept: Path, left: int) -> None:
    reading()
    (file,) = kept.rglob("of-text*")
    file.write_bytes(file.read_bytes()[:left])
    assert reading() == "one"
    assert reading.made == ["one", "one"]


def test_a_fault_is_told_and_not_kept(file: Path, kept: Path) -> None:
    def fail() -> None:
        raise ValueError("malformed")

    for _ in range(2):
        with pytest.raises(ValueError, match="malformed"):
            compiled("fault", (file,), fail)
    assert not list(kept.rglob("of-fault*"))
