"""The words of a use fit the number of points that it is about."""

from __future__ import annotations

import re

import pytest

from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.using import numbered_rows, use_row
from guidegen.documents.parts import BADGE_MM
from guidegen.drawing.primitives import Circle, Sheet, Text
from guidegen.paper.blocks import Drawing
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


LOOKS = pytest.mark.parametrize("look", [A4_LOOK, A5_LOOK, LARGE_LOOK], ids=["A4", "A5", "large print"])


@LOOKS
def test_badges_of_instructions_stand_one_below_the_other_whatever_their_words(larch, context_of, look):
    """A number is looked for at one place, not now behind a word and now at the margin."""
    starts, ends = zip(*(spans(row, look) for row in instructions(larch, context_of, look)), strict=True)
    far = look is LARGE_LOOK
    assert len(set(map(round, starts if far else ends))) == 1
    texts = {row.widths_mm(look.column)[-1] for row in instructions(larch, context_of, look)}
    assert len(texts) == 1 if far else max(ends) > look.column - 1.0


def test_a_badge_is_never_far_from_its_words(larch, context_of):
    """In large print the page is one wide column: what stands at its edge is read with the wrong line."""
    for row in instructions(larch, context_of, LARGE_LOOK):
        _, end = spans(row, LARGE_LOOK)
        text = sum(row.widths_mm(LARGE_LOOK.column)[:-1]) + row.gap * (len(row.cells) - 1)
        assert text - end < 12.0 * LARGE_LOOK.badge_scale


def instructions(vehicle, context_of, look):
    kit, points = Kit(context_of(vehicle), look), vehicle.points
    return list(numbered_rows(kit, [(1, SHORT, points[:1]), (2, LONG, points[1:3]), (3, LONG, points[:1])]))


def spans(row, look):
    """Where the badges of a row begin and end."""
    widths = row.widths_mm(look.column)
    at = next(n for n, cell in enumerate(row.cells) if isinstance(cell.block, Drawing))
    start = sum(widths[:at]) + at * row.gap
    return start, start + row.cells[at].block.width


@LOOKS
def test_many_badges_stand_in_a_row_below_a_single_line(larch, context_of, look):
    """Beside it they would leave two lines empty."""
    kit, points = Kit(context_of(larch), look), larch.points[:5]
    short, long = (use_row(kit, text, points) for text in (SHORT, 3 * LONG))
    (words, badges) = short.cells[1].block.blocks
    assert words.text[0].text == SHORT
    assert badges.height < 1.2 * BADGE_MM * look.badge_scale
    assert long.cells[0].block.height > 2.5 * BADGE_MM * look.badge_scale


@LOOKS
def test_any_number_of_badges_fits_below_a_single_line(larch, context_of, look):
    kit, points = Kit(context_of(larch), look), larch.points[:60]
    row = use_row(kit, SHORT, points)
    (_, badges) = row.cells[1].block.blocks
    assert row.height_mm(look.column) > 2 * BADGE_MM * look.badge_scale  # which refuses what is too wide
    free = row.widths_mm(look.column)[1] - badges.width
    assert 0 <= free < 2 * BADGE_MM * look.badge_scale, "no more lines than need be"


@pytest.mark.parametrize("look", [A4_LOOK, A5_LOOK, LARGE_LOOK], ids=["A4", "booklet", "large"])
def test_a_list_of_many_has_room_for_its_numbers(look, context_of, larch):
    kit = Kit(context_of(larch), look)
    width = min(frame.width for frame in look.split(look.columns))
    few, many = (tuple(numbered_rows(kit, [(n, "Look.", ()) for n in range(1, last)])) for last in (10, 112))
    assert few[0].cells[0].width_mm == 0.5 * look.body.size_pt
    assert all(row.height_mm(width) > 0 for row in (*few, *many))
    assert len({row.cells[0].width_mm for row in many}) == 1
