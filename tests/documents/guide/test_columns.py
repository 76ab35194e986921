"""Text set whole: pairs of columns, columns that end alike, more white where a page is short of text."""

from __future__ import annotations

import pytest

from guidegen.documents.guide.columns import flowed, freer, in_columns, ordered, pair
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK
from guidegen.documents.guide.pages import Kit, label_block
from guidegen.paper.blocks import Heading, Paragraph
from guidegen.paper.flow import stack_height_mm
from guidegen.paper.text import TextStyle


@pytest.fixture
def kit(larch, context_of):
    return Kit(context_of(larch), A4_LOOK)


def rows(count, words="One row of a list."):
    return tuple(
        Paragraph(text=f"{n} {words}", style=TextStyle(10), space_before_mm=2.0, keep_together=True)
        for n in range(count)
    )


def texts(placed):
    return [one.block.text for one in placed]


def test_text_in_order_stands_in_two_columns_that_end_alike(kit):
    whole = ordered(kit, rows(11))
    lefts = {one.x for one in whole.placed}
    feet = [max(one.y + one.height for one in whole.placed if one.x == x) for x in lefts]
    row = whole.placed[0].height
    assert len(lefts) == 2 and max(feet) - min(feet) <= row + 2.0 + 1e-6
    assert texts(whole.placed) == [row.text for row in rows(11)]
    assert whole.height == pytest.approx(max(feet))


def test_a_whole_text_is_moved_as_it_is(kit):
    whole = ordered(kit, rows(5))
    assert [(a.block, a.x, a.y + 70) for a in whole.placed] == [(b.block, b.x, b.y) for b in whole.at(70)]


def test_two_texts_side_by_side_are_as_high_as_the_higher_of_them(kit):
    found = pair(kit, rows(3), rows(8), shares=(0.5,))
    assert found.height == pytest.approx(stack_height_mm(rows(8), kit.look.split(2)[0].width))
    assert len(found.placed) == 11


def test_the_booklets_single_column_takes_text_in_order_one_below_the_other(larch, context_of):
    kit = Kit(context_of(larch), A5_LOOK)
    assert {one.x for one in ordered(kit, rows(9)).placed} == {0.0}


def test_more_white_fills_a_short_last_page_and_never_makes_another(kit):
    blocks = next(rows(n) for n in range(60, 300, 3) if len(in_columns(kit, rows(n)).pages) == 2)
    short, wanted = in_columns(kit, blocks), 0.4 * 2 * kit.look.height
    filled = freer(kit, blocks, (), wanted)
    assert len(filled.pages) == len(short.pages) == 2
    assert filled.last_mm > short.last_mm
    assert [text for page in filled.pages for text in texts(page)] == [block.text for block in blocks]


def test_pages_that_are_full_enough_keep_their_white(kit):
    blocks = rows(150)
    assert freer(kit, blocks, (), 1.0) == in_columns(kit, blocks)


def test_a_column_of_sections_parts_where_its_last_two_pages_are_most_even(kit):
    section = (label_block(kit, "Section"), *rows(11))
    blocks = section * 4
    first, last = flowed(kit, blocks).pages
    even, more = flowed(kit, blocks, least=0.45).pages
    assert len(more) > len(last) and len(even) < len(first)
    assert isinstance(more[0].block, Heading)


def test_a_column_of_rows_without_sections_parts_its_last_two_pages_in_half_where_asked(kit):
    blocks = rows(55)
    *_, full, left_over = in_columns(kit, blocks, (), 1).pages
    *_, one, other = halves = in_columns(kit, blocks, (), 1, halved=True).pages
    assert len(left_over) < 0.45 * len(full)
    assert abs(len(one) - len(other)) <= 0.15 * len(full)
    assert [row.text for row in blocks] == [text for page in halves for text in texts(page)]
