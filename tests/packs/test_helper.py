"""Documents made with a helper: the same files, the same faults, and no loss when it dies."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.documents.context import Context, Options
from guidegen.documents.registry import DOCUMENTS, Entry
from guidegen.drawing.primitives import Document
from guidegen.errors import GuidegenError
from guidegen.packs import helper
from guidegen.packs.helper import Heap, Helper
from guidegen.packs.making import Files, make
from guidegen.pipeline import Review, context_of, inspect

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forking is not safe here")


SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(autouse=True)
def forking(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever other tests have left running."""
    monkeypatch.setattr(helper, "may_fork", lambda: True)


@pytest.fixture
def review(alder: Path, tiny_documents: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Review:
    for n in range(6):
        entry = Entry("tiny_document", "one of many", ("pdf", "svg"))
        monkeypatch.setitem(DOCUMENTS, f"extra-{n}", entry)  # type: ignore[arg-type]
    return inspect(alder)


def names() -> list[str]:
    return list(DOCUMENTS)


def made_by_one(review: Review) -> list[Files]:
    context = context_of(review)
    return [make(name, context) for name in names()]


def made_by_two(review: Review, early: bool = True) -> list[Files]:
    with Helper(names(), 2) as other:
        if early:
            other.start()
        other.begin(names(), review, Options())
        return list(other.make_all(names(), context_of(review)))


@pytest.mark.parametrize("early", [True, False])
def test_two_make_what_one_makes_in_the_same_order(review: Review, early: bool) -> None:
    alone, shared = made_by_one(review), made_by_two(review, early)
    assert shared == alone
    assert [made.document for made in shared] == names()


def test_both_have_a_share_in_it(review: Review, tiny_documents: ModuleType, tmp_path: Path) -> None:
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
    made_by_two(review)
    assert len(shares()) == 2
    assert sum(map(len, shares())) == len(names())


def test_a_helper_that_dies_loses_nothing(review: Review, tiny_documents: ModuleType) -> None:
    expected = made_by_one(review)
    whole, first = tiny_documents.compose, os.getpid()

    def deadly(context: Context) -> Document:
        if os.getpid() != first:
            os._exit(9)
        threading.Event().wait(0.02)
        return whole(context)

    tiny_documents.compose = deadly
    assert made_by_two(review) == expected


def test_a_fault_in_either_is_met_here(review: Review, tiny_documents: ModuleType) -> None:
    def refused(context: Context) -> Document:
        raise GuidegenError("too long")

    tiny_documents.compose = refused
    with pytest.raises(GuidegenError, match="too long"):
        made_by_two(review)


def test_where_forking_is_not_safe_one_process_makes_all(
    review: Review, monkeypatch: pytest.MonkeyPatch, forks: Callable[[], set[int]]
) -> None:
    monkeypatch.setattr(helper, "may_fork", lambda: False)
    with Helper(names(), 2) as other:
        other.start()
        other.begin(names(), review, Options())
        assert not forks()
        assert other.ahead is None
        assert list(other.make_all(names(), context_of(review))) == made_by_one(review)


def test_one_process_or_one_quick_document_needs_no_helper(forks: Callable[[], set[int]]) -> None:
    for wanted, processes in ((names(), 1), (["survey"], 2)):
        with Helper(wanted, processes) as other:
            other.start()
            assert not forks()


def test_a_helper_without_a_task_ends_with_the_block(forks: Callable[[], set[int]]) -> None:
    with Helper(names(), 2) as other:
        other.start()
        other.start()  # it has one already
        assert len(forks()) == 1
    assert not forks()


def test_sequences_are_planned_once_for_both(monkeypatch: pytest.MonkeyPatch) -> None:
    review = inspect(SAMPLES / "alder.yaml")
    wanted = ("card", "booklet")
    context = context_of(review)
    alone = [make(name, context) for name in wanted]
    with Helper(wanted, 2) as other:
        other.begin(wanted, review, Options())
        monkeypatch.setattr("guidegen.sequence.plan_sequences", _known_alone)
        assert list(other.make_all(wanted, context_of(review, ahead=other.ahead))) == alone


def _known_alone(*args: object, known: object = None, **_: object) -> object:
    from guidegen.sequence.planning import plan_sequences

    assert known, "planned twice"
    return plan_sequences(*args, known=known)  # type: ignore[arg-type]


def test_a_helper_without_sequences_leaves_them_to_who_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    review = inspect(SAMPLES / "hazel.yaml")
    monkeypatch.setattr(helper, "planned", lambda *_: None)
    with Helper(("card",), 2) as other:
        other.begin(("card",), review, Options())
        context = context_of(review, ahead=other.ahead)
        assert context.sequences.sequences == context_of(review).sequences.sequences


def test_a_number_of_the_heap_is_taken_by_one_alone() -> None:
    heap = Heap()
    heap.fill(3)
    one, two = heap.taken(), heap.taken()
    assert [next(one), next(two), *one, *two] == [0, 1, 2]
    heap.close()


def test_no_helper_is_left(review: Review, forks: Callable[[], set[int]]) -> None:
    made_by_two(review)
    assert not forks()


def test_no_file_stays_open(review: Review) -> None:
    def opened() -> int:
        return len(list(Path("/proc/self/fd").iterdir()))  # proc(5)

    made_by_two(review)
    before = opened()
    for _ in range(3):
        made_by_two(review)
    assert opened() == before
