"""Orders by hand: good custom may be left, what steps need may not, and extra_steps keep their word."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from guidegen import prepare
from guidegen.sequence import plan_sequences
from guidegen.sequence.model import SequenceError
from guidegen.sequence.refusals import refusal
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import ExtraStep

TRADE = load_trade()
LARCH = prepare(Path(__file__).parents[2] / "sample_vehicles" / "larch.yaml").vehicle


def computed(sequence: str) -> list[str]:
    plain = replace(LARCH, extra_steps=())
    return [step.step for step in plan_sequences(plain, TRADE).sequences[sequence].steps]  # type: ignore[index]


def moved(order: Sequence[str], step: str, before: str) -> list[str]:
    rest = [one for one in order if one != step]
    rest.insert(rest.index(before), step)
    return rest


def by_hand(sequence: str, order: Sequence[str], *extras: ExtraStep) -> Any:
    vehicle = replace(LARCH, orders={sequence: tuple(order)}, extra_steps=extras)
    return plan_sequences(vehicle, TRADE).sequences[sequence]  # type: ignore[index]


@pytest.mark.parametrize(
    ("sequence", "step", "before", "said"),
    [
        (
            "lay-up",
            "taps-open-middle",
            "pump-off",
            "the water pump is on; it needs that the water pump is off",
        ),
        ("lay-up", "outside-shower-drain", "heater-cool", "the water pump is on"),
        ("lay-up", "tag", "fresh-drain-open", "it needs that the fresh water is drained"),
        ("recommission", "master-on", "battery-on", "it needs that the leisure battery is connected"),
        ("recommission", "regulator-reset", "cylinder-open", "it needs that the gas valve is open"),
        ("recommission", "pump-on", "taps-close", "it needs that"),
        ("recommission", "sanitise", "waste-check", "it needs that"),
        ("recommission", "water-heater-on", "tag-off", "it needs that no tag warns of a drained system"),
    ],
)
def test_a_step_that_comes_before_what_it_needs_is_refused(
    sequence: str, step: str, before: str, said: str
) -> None:
    with pytest.raises(SequenceError, match=f"“{step}” comes while .*{said}"):
        by_hand(sequence, moved(computed(sequence), step, before))


def test_good_custom_may_be_left_by_hand() -> None:
    order = moved(computed("leave"), "windows-close", computed("leave")[0])
    assert [step.step for step in by_hand("leave", order).steps] == order


def test_an_order_by_hand_does_not_turn_what_extra_steps_says() -> None:
    look = ExtraStep(
        id="flue-look",
        sequence="leave",
        text="Look at the flue outlet.",
        after=("walk-round",),
        before=("drive",),
    )
    order = computed("leave")
    told = moved([*order, "flue-look"], "flue-look", "drive")
    assert by_hand("leave", told, look).by_hand
    with pytest.raises(
        SequenceError, match="has “flue-look” before “walk-round”, but extra_steps says the reverse"
    ):
        by_hand("leave", ["flue-look", *order], look)


def test_check_tells_of_it_at_the_orders() -> None:
    order = moved(computed("lay-up"), "taps-open-middle", "pump-off")
    key, said = refusal(replace(LARCH, orders={"lay-up": tuple(order)}, extra_steps=()), TRADE) or ("", "")
    assert key == "orders"
    assert "taps-open-middle" in said
