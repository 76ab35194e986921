"""Sequences planned by a fork are those that this process would have planned."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from guidegen.documents.context import Context, Options
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.packs import ahead
from guidegen.packs.ahead import SEQUENCED, planned, planned_ahead
from guidegen.packs.making import make_all
from guidegen.pipeline import context_of, inspect, prepare
from guidegen.vehicle.model import Vehicle

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="forking is not safe here")
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(autouse=True)
def forking(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever other tests have left running, and however many processors there are."""
    monkeypatch.setattr(ahead, "may_fork", lambda: True)
    monkeypatch.setattr(ahead, "processors", lambda: 2)


def sound(name: str) -> Vehicle:
    found = inspect(SAMPLES / f"{name}.yaml").vehicle
    assert found
    return found


def test_planned_ahead_are_the_same_sequences(forks: Callable[[], set[int]]) -> None:
    review, context = inspect(SAMPLES / "alder.yaml"), prepare(SAMPLES / "alder.yaml")
    with planned_ahead(review.vehicle) as found:
        assert found and forks()
        beside = context_of(review, ahead=found)
        assert beside.sequences.sequences == context.sequences.sequences
    assert not forks()


def test_a_fork_that_was_killed_is_not_missed(forks: Callable[[], set[int]]) -> None:
    review, context = inspect(SAMPLES / "alder.yaml"), prepare(SAMPLES / "alder.yaml")
    with planned_ahead(review.vehicle) as found:
        for fork in forks():
            os.kill(fork, signal.SIGKILL)
            os.waitpid(fork, 0)
        assert found
        again = found()
        assert again is None or again == context.sequences.sequences  # it may have answered before
        assert context_of(review, ahead=lambda: None).sequences.sequences == context.sequences.sequences


def test_few_points_and_one_processor_need_no_fork(monkeypatch: pytest.MonkeyPatch) -> None:
    with planned_ahead(sound("hazel")) as found:
        assert found is None
    monkeypatch.setattr(ahead, "processors", lambda: 1)
    with planned_ahead(sound("alder")) as found:
        assert found is None


def test_points_that_have_their_numbers_need_no_fork() -> None:
    with planned_ahead(prepare(SAMPLES / "alder.yaml").vehicle) as found:
        assert found is None


def test_a_fault_is_left_to_who_asks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("guidegen.sequence.plan_sequences", lambda *_: 1 / 0)
    assert planned(sound("hazel")) is None


@pytest.mark.parametrize("name", sorted(DOCUMENTS))
def test_only_the_documents_named_ask_for_sequences(name: str) -> None:
    asked: list[str] = []
    context = prepare(SAMPLES / "hazel.yaml")
    spying = Context(
        context.vehicle, context.trade, context.findings, Options(), lambda: asked.append(name) or None
    )
    compose(name, spying)
    assert bool(asked) == (name in SEQUENCED)


def test_sequences_planned_ahead_are_those_of_both_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    review = inspect(SAMPLES / "alder.yaml")
    names = ("card", "booklet")
    alone = list(make_all(names, context_of(review)))
    with planned_ahead(review.vehicle) as found:
        context = context_of(review, ahead=found)
        monkeypatch.setattr("guidegen.sequence.plan_sequences", _known_alone)
        assert list(make_all(names, context, 2)) == alone


def _known_alone(*args: object, known: object = None, **_: object) -> object:
    from guidegen.sequence.planning import plan_sequences

    assert known, "planned twice"
    return plan_sequences(*args, known=known)  # type: ignore[arg-type]
