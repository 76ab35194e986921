"""The words of a use fit the number of points that it is about."""

from __future__ import annotations

import re

import pytest

from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.using import numbered_row, use_row
from guidegen.drawing.primitives import Circle, Sheet, Text
from guidegen.trade.load import load_trade
from guidegen.trade.records import counted, holds
from guidegen.trade.uses import load_uses

TEXTS = [
    text
    for text in (
        *(use.text for system in load_uses().values() for use in system.use),
        *(text for step in load_trade().steps for text in (step.text, step.check)),
    )
    if "|" in text
]


@pytest.mark.parametrize(("points", "said"), [(1, "the vent"), (2, "every vent"), (0, "every vent")])
def test_one_point_is_the_one_and_several_are_every_one(points, said):
    assert counted("Keep {the|every} vent free.", points) == f"Keep {said} free."


def test_what_holds_no_choice_stays():
    assert counted("Here: {sizes}.", 1) == "Here: {sizes}."


@pytest.mark.parametrize("text", TEXTS)
def test_both_ways_of_a_text_are_plain_and_short(text):
    for points in (1, 2):
        said = counted(text, points)
        assert not re.search(r"[{}|]|  ", said)
        assert all(len(sentence.split()) <= 20 for sentence in re.split(r"(?<=[.!?]) ", said))


GAS = frozenset({"motorised", "burns", "gas-appliance", "hob.gas"})


@pytest.mark.parametrize(
    ("facts", "fridge_too"),
    [
        (GAS | {"fridge.automatic", "fridge.gas"}, True),
        (GAS | {"fridge.automatic"}, False),
        (GAS | {"fridge.manual", "fridge.gas"}, False),
        (GAS, False),
    ],
)
def test_a_fridge_that_lights_by_itself_is_off_before_fuel_is_filled(facts, fridge_too):
    """Once, and for every other vehicle with a flame the sentence without it."""
    (said,) = (u.text for u in load_uses()["B"].use if "fuel-filler" in u.kinds and holds(u.when, facts))
    assert "put out every flame" in said
    assert ("the fridge, which can light by itself" in said) == fridge_too


@pytest.mark.parametrize("look", [A4_LOOK, LARGE_LOOK], ids=["A4", "large print"])
def test_a_row_without_a_number_has_a_dot_where_numbers_stand(larch, context_of, seen, look):
    """Else it would read as if it belonged to the number above it."""
    kit = Kit(context_of(larch), look)
    plain, numbered = (
        seen(Sheet(80.0, 20.0, use_row(kit, "Keep it.", points).draw(0.0, 0.0, 80.0)))
        for points in ((), larch.points[:1])
    )
    (dot,) = (s for s in plain if isinstance(s.item, Circle))
    (badge,) = (s for s in numbered if isinstance(s.item, Circle) and s.item.css == "badge")
    words, beside = (next(s for s in row if text_of(s) == "Keep it.") for row in (plain, numbered))
    assert words.box[0] == beside.box[0]
    assert dot.dx + dot.item.x == pytest.approx(badge.dx + badge.item.x * badge.scale)
    assert words.box[1] < dot.dy + dot.item.y < words.box[3], "in the middle of the first line"


def text_of(one):
    return one.item.text if isinstance(one.item, Text) else ""


SHORT = "Switch the water pump on."
LONG = "Switch the main switch off. Push the lead in fully at both ends. Switch the main switch on again."


@pytest.mark.parametrize("look", [A5_LOOK, LARGE_LOOK])
def test_where_a_column_is_as_wide_as_the_page_badges_follow_right_on_their_sentence(larch, context_of, look):
    text_mm, badges_mm = widths(look, larch, context_of, SHORT)
    assert text_mm < look.body.width_mm(SHORT) + 1.0 < look.width / 2
    assert text_mm + badges_mm < look.width
    text_mm, badges_mm = widths(look, larch, context_of, LONG)
    assert text_mm + badges_mm > look.width - 15.0


def test_in_two_columns_badges_stand_below_one_another_at_the_edge(larch, context_of):
    for text in (SHORT, LONG):
        text_mm, badges_mm = widths(A4_LOOK, larch, context_of, text)
        assert text_mm + badges_mm > A4_LOOK.column - 15.0


def widths(look, vehicle, context_of, text):
    """Of the text and of the badges behind it."""
    row = numbered_row(Kit(context_of(vehicle), look), 1, text, vehicle.points[:2])
    return row.widths_mm(look.column)[1], row.cells[-1].block.width
