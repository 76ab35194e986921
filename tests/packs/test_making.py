"""Documents made by one process and by two: the same files, the same faults, and no loss when a fork dies."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.documents.context import Context
from guidegen.documents.registry import DOCUMENTS, Entry
from guidegen.drawing.primitives import Document
from guidegen.errors import GuidegenError
from guidegen.packs import making
from guidegen.packs.making import Files, by_turns, make_all
from guidegen.pipeline import prepare

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forking is not safe here")
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture
def context(alder: Path, tiny_documents: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Context:
    for n in range(6):
        entry = Entry("tiny_document", "one of many", ("pdf", "svg"))
        monkeypatch.setitem(DOCUMENTS, f"extra-{n}", entry)  # type: ignore[arg-type]
    monkeypatch.setattr(making, "may_fork", lambda: True)  # whatever other tests have left running
    return prepare(alder)


def names() -> list[str]:
    return list(DOCUMENTS)


def made_by_two(context: Context) -> list[Files]:
    return list(make_all(names(), context, 2))


def test_two_make_what_one_makes_in_the_same_order(context: Context) -> None:
    alone, shared = list(make_all(names(), context)), made_by_two(context)
    assert shared == alone
    assert [made.document for made in shared] == names()


def test_both_have_a_share_in_it(context: Context, tiny_documents: ModuleType, tmp_path: Path) -> None:
    whole = tiny_documents.compose

    def shares() -> list[str]:
        return [file.read_text() for file in tmp_path.iterdir() if file.name.isdigit()]

    def noted(context: Context) -> Document:
        with (tmp_path / str(os.getpid())).open("a") as stream:
            stream.write("x")
        for _ in range(400):  # neither goes on alone: the other may start late on a busy machine
            if len(shares()) == 2:
                break
            threading.Event().wait(0.05)
        return whole(context)

    tiny_documents.compose = noted
    made_by_two(context)
    assert len(shares()) == 2
    assert sum(map(len, shares())) == len(names())


def test_the_longest_documents_are_begun_first() -> None:
    order = by_turns(tuple(DOCUMENTS))
    assert order[:2] == ("guide", "booklet")
    assert sorted(order) == sorted(DOCUMENTS)
    assert by_turns(("training", "card", "plan", "booklet")) == ("booklet", "plan", "training", "card")


def test_a_fork_that_dies_loses_nothing(context: Context, tiny_documents: ModuleType) -> None:
    expected = list(make_all(names(), context))
    whole, first = tiny_documents.compose, os.getpid()

    def deadly(context: Context) -> Document:
        if os.getpid() != first:
            os._exit(9)
        threading.Event().wait(0.02)
        return whole(context)

    tiny_documents.compose = deadly
    assert made_by_two(context) == expected


def test_a_fault_in_either_is_met_here(context: Context, tiny_documents: ModuleType) -> None:
    def refused(context: Context) -> Document:
        raise GuidegenError("too long")

    tiny_documents.compose = refused
    with pytest.raises(GuidegenError, match="too long"):
        made_by_two(context)


def test_where_forking_is_not_safe_one_process_makes_all(
    context: Context, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(making, "may_fork", lambda: False)
    monkeypatch.setattr(making, "_made_by_two", None)
    assert [files.document for files in made_by_two(context)] == names()


def test_no_helper_is_left(context: Context, forks: Callable[[], set[int]]) -> None:
    made_by_two(context)
    assert not forks()


def test_no_file_stays_open(context: Context) -> None:
    def opened() -> int:
        return len(list(Path("/proc/self/fd").iterdir()))  # proc(5)

    made_by_two(context)
    before = opened()
    for _ in range(3):
        made_by_two(context)
    assert opened() == before


@pytest.mark.parametrize("vehicle", ["alder", "juniper", "larch"])  # without pictures, with photos and a logo
def test_what_a_guide_takes_of_libraries_is_loaded_before_the_fork(vehicle: str) -> None:
    """Or both processes would load it."""
    command = [sys.executable, "-c", LOADED_LATE, str(SAMPLES / f"{vehicle}.yaml")]
    late = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    assert len(late) < 5, late


LOADED_LATE = """
import subprocess
import sys
from guidegen.documents.registry import compose
from guidegen.packs.making import load, load_for
from guidegen.packs.rendering import render
from guidegen.pipeline import prepare
context = prepare(sys.argv[1])
load(["guide", "booklet"])
load_for(context.vehicle, ["guide", "booklet"])
loaded = set(sys.modules)
render(compose("guide", context), "pdf")
print(*[name for name in set(sys.modules) - loaded if not name.startswith("guidegen.")])
"""


def test_who_waits_loads_what_is_needed_later_and_stops_when_it_need_not_wait(alder: Path) -> None:
    command = [sys.executable, "-c", LOADED_WHILE_WAITING, str(alder)]
    nothing, some, everything = subprocess.run(
        command, capture_output=True, text=True, check=True
    ).stdout.split()
    assert int(nothing) == 0 < int(some) < int(everything)


LOADED_WHILE_WAITING = """
import sys
from itertools import chain, repeat
from guidegen.packs.making import load, load_later
names = ["guide", "plan"]
load(names)
known = set(sys.modules)
for enough in (repeat(True), chain([False], repeat(True)), repeat(False)):
    load_later(names, enough.__next__)
    print(len(set(sys.modules) - known))
"""
