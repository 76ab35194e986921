"""The parts of the trade: each is read once, when it is first asked for or when all are."""

from __future__ import annotations

from typing import Any

from guidegen.trade.records import Trade


def spied() -> tuple[Trade, list[str]]:
    asked: list[str] = []

    def read(part: str) -> Any:
        asked.append(part)
        return part

    return Trade(read), asked


def test_a_part_is_read_once_and_only_when_it_is_asked_for() -> None:
    trade, asked = spied()
    assert not asked
    assert (trade.steps, trade.steps) == ("steps", "steps")
    assert asked == ["steps"]


def test_all_can_be_read_before_they_are_asked_for() -> None:
    trade, asked = spied()
    trade.read_all()
    read = list(asked)
    assert {"systems", "kinds", "steps", "cautions", "symptoms", "handed_over"} < set(read)
    assert len(set(read)) == len(read)
    assert trade.kinds == "kinds"
    assert asked == read
