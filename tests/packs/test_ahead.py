"""What a fork arranges while this process plans is what this process would have arranged and planned."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from guidegen.documents.context import Context, Options
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.packs import ahead
from guidegen.packs.ahead import SEQUENCED, arranged, planned, ready
from guidegen.packs.making import make_all
from guidegen.pipeline import context_of, inspect, prepare, sound
from guidegen.plan import arrange
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.numbering import NUMBERING_BOX, numbered, subject_of
from guidegen.vehicle.model import Vehicle

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forking is not safe here")
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(autouse=True)
def forking(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever other tests have left running, and however many processors there are."""
    monkeypatch.setattr(ahead, "may_fork", lambda: True)
    monkeypatch.setattr(ahead, "processors", lambda: 2)


@pytest.fixture(autouse=True)
def forgotten() -> Iterator[None]:
    """What tests before this one have arranged in this process, and what this one was told."""
    arrange._arranged.cache_clear()
    yield
    arrange._taken_over.clear()
    arrange._arranged.cache_clear()


@pytest.fixture
def alder() -> Vehicle:
    return sound(SAMPLES / "alder.yaml")


def never(*_: object, **__: object) -> None:
    raise AssertionError("it was worked out a second time")


def test_the_plan_arranged_by_the_fork_is_the_one_that_the_numbers_follow(
    alder: Vehicle, forks: Callable[[], set[int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    context = prepare(SAMPLES / "alder.yaml")
    here = arrange.arrange(subject_of(alder), NUMBERING_BOX)
    arrange._arranged.cache_clear()
    sequences = ready(alder, ("card",))
    assert not forks()
    monkeypatch.setattr(arrange, "_attempt", never)
    assert arrange.arrange(subject_of(alder), NUMBERING_BOX) == here
    beside = context_of(inspect(SAMPLES / "alder.yaml"), sequences=sequences)
    assert beside.vehicle == context.vehicle
    assert beside.sequences.sequences == context.sequences.sequences


def test_a_fork_that_was_killed_is_not_missed(
    alder: Vehicle, forks: Callable[[], set[int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    def killing(_: object) -> None:
        for fork in forks():
            os.kill(fork, signal.SIGKILL)
            os.waitpid(fork, 0)

    monkeypatch.setattr("guidegen.packs.making.load", killing)
    sequences = ready(alder, ("card",))
    assert not forks()
    context = context_of(inspect(SAMPLES / "alder.yaml"), sequences=sequences)
    assert context.vehicle == prepare(SAMPLES / "alder.yaml").vehicle
    assert context.sequences.sequences == prepare(SAMPLES / "alder.yaml").sequences.sequences


def test_few_points_and_one_processor_need_no_fork(alder: Vehicle, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ahead, "forked", never)
    assert ready(sound(SAMPLES / "hazel.yaml"), ("card",)) is None
    monkeypatch.setattr(ahead, "processors", lambda: 1)
    assert ready(alder, ("card",)) is None


def test_points_that_have_their_numbers_need_no_fork(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ahead, "forked", never)
    assert ready(prepare(SAMPLES / "alder.yaml").vehicle, ("card",)) is None


def test_where_nobody_prints_sequences_none_are_planned(
    alder: Vehicle, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ahead, "planned", never)
    assert ready(alder, ("plan", "stickers")) is None
    monkeypatch.setattr(arrange, "_attempt", never)
    assert arrange.arrange(subject_of(alder), NUMBERING_BOX).order


def test_that_the_points_do_not_fit_is_not_found_out_twice(
    alder: Vehicle, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(arrange, "_arranged", lambda *_: None)
    assert arranged(alder) == (None,)
    monkeypatch.undo()
    arrange.take_over(subject_of(alder), NUMBERING_BOX, None)
    monkeypatch.setattr(arrange, "_attempt", never)
    with pytest.raises(SheetTooSmallError, match="callouts do not fit"):
        arrange.arrange(subject_of(alder), NUMBERING_BOX)


def test_what_was_arranged_for_one_vehicle_is_not_taken_for_another(alder: Vehicle) -> None:
    hazel = sound(SAMPLES / "hazel.yaml")
    arrange.take_over(subject_of(hazel), NUMBERING_BOX, None)
    assert numbered(alder) == prepare(SAMPLES / "alder.yaml").vehicle


def test_a_sequence_that_cannot_be_is_left_to_who_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    def impossible(*_: object) -> None:
        raise SheetTooSmallError("it cannot be")

    monkeypatch.setattr("guidegen.sequence.plan_sequences", impossible)
    assert planned(sound(SAMPLES / "hazel.yaml")) is None


@pytest.mark.parametrize("name", sorted(DOCUMENTS))
def test_only_the_documents_named_ask_for_sequences(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from guidegen.sequence import plan_sequences

    asked: list[str] = []
    context = prepare(SAMPLES / "hazel.yaml")
    monkeypatch.setattr(
        "guidegen.sequence.plan_sequences", lambda *a, **k: asked.append(name) or plan_sequences(*a, **k)
    )
    compose(name, Context(context.vehicle, context.trade, context.findings, Options()))
    assert bool(asked) == (name in SEQUENCED)


def test_sequences_planned_ahead_are_those_of_both_processes(
    alder: Vehicle, monkeypatch: pytest.MonkeyPatch
) -> None:
    review = inspect(SAMPLES / "alder.yaml")
    names = ("card", "booklet")
    alone = list(make_all(names, context_of(review)))
    context = context_of(review, sequences=ready(alder, names))
    monkeypatch.setattr("guidegen.sequence.plan_sequences", _known_alone)
    assert list(make_all(names, context, 2)) == alone


def _known_alone(*args: object, known: object = None, **_: object) -> object:
    from guidegen.sequence.planning import plan_sequences

    assert known, "planned twice"
    return plan_sequences(*args, known=known)  # type: ignore[arg-type]
