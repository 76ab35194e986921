"""How the guide's text is spread over its pages: no page for a few rows, whole sheets in the booklet."""

from __future__ import annotations

from itertools import groupby

import pytest
from msgspec.structs import replace

from guidegen.documents import booklet, guide
from guidegen.documents.guide.columns import in_columns, paired
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK
from guidegen.documents.guide.pages import Kit, label_block
from guidegen.drawing.primitives import Text
from guidegen.paper.blocks import Heading, Paragraph
from guidegen.paper.flow import stack_height_mm
from guidegen.paper.text import TextStyle


@pytest.fixture
def kit(larch, context_of):
    return Kit(context_of(larch), A4_LOOK)


@pytest.fixture(scope="module")
def a5(larch, context_of):
    return booklet.compose_pages(context_of(larch))


def rows(count, words="One row of a list."):
    return tuple(
        Paragraph(text=f"{n} {words}", style=TextStyle(10), space_before_mm=2.0, keep_together=True)
        for n in range(count)
    )


def whites(laid):
    """The white between neighbours in one column."""
    return {
        round(b.y - a.y - a.height, 3)
        for page in laid.pages
        for a, b in zip(page, page[1:], strict=False)
        if a.x == b.x
    }


def placed_texts(laid):
    return [one.block.text for page in laid.pages for one in page]


def test_rows_stand_closer_where_that_saves_a_page_with_little_on_it(kit):
    page = next(n for n in range(10, 200) if len(in_columns(kit, rows(n)).pages) == 2)
    unhurried = in_columns(kit, rows(page // 2))
    closer = in_columns(kit, rows(page - 1))
    assert whites(unhurried) == {2.0}
    assert len(closer.pages) == 1 and max(whites(closer)) < 2.0 and min(whites(closer)) >= 1.0
    assert placed_texts(closer) == [row.text for row in rows(page - 1)]


def test_rows_keep_their_white_where_a_page_more_is_needed_anyway(kit):
    page = next(n for n in range(10, 200) if len(in_columns(kit, rows(n)).pages) == 2)
    assert whites(in_columns(kit, rows(int(page * 1.5)))) == {2.0}


def test_a_few_rows_left_over_take_all_below_their_heading_with_them(kit):
    tight = [replace(row, space_before_mm=0.0) for row in rows(300)]
    page = len(in_columns(kit, tight, (), 1).pages[0])
    blocks = (*tight[: page - 9], label_block(kit, "Last"), *tight[:10])
    first, last = in_columns(kit, blocks, (), 1).pages
    assert len(first) == page - 9 and isinstance(last[0].block, Heading) and len(last) == 11


def test_of_two_texts_side_by_side_the_longer_gets_the_wider_column(kit):
    style, even = TextStyle(10), kit.look.split(2)[0].width
    words = next("word " * n for n in range(9, 99) if even < style.width_mm("10 " + "word " * n))
    long = rows(14, words.strip())
    laid = paired(kit, rows(5), long, 150.0)
    assert laid is not None and len(laid.pages) == 1
    narrow, wide = ({one.width for one in laid.pages[0] if (one.x > 0) == right} for right in (False, True))
    assert max(narrow) < even < min(wide)
    assert sum((*narrow, *wide)) == pytest.approx(2 * even)
    assert stack_height_mm(long, even) > kit.look.bottom - 150.0  # the reason why


def test_two_texts_that_do_not_fit_side_by_side_are_not_forced(kit):
    assert paired(kit, rows(5), rows(300), 150.0) is None


@pytest.mark.parametrize("look", [A4_LOOK, A5_LOOK], ids=["A4", "A5"])
def test_no_page_of_a_chapter_has_a_handful_of_words_only(look, larch, context_of, texts_of):
    """The last page of a chapter holds a tenth of the height of what a page can hold, pictures apart."""
    document = (
        guide.compose(context_of(larch)) if look is A4_LOOK else booklet.compose_pages(context_of(larch))
    )
    for title, sheets in groupby(document.sheets[1:], key=lambda sheet: sheet.title.split(" ", 1)[1]):
        last = list(sheets)[-1]
        body = [s for s in texts_of(last) if look.top - 2 < s.box[1] and s.box[3] < look.bottom + 2]
        lowest = max((s.box[3] for s in body), default=0.0)
        assert title == "Notes" or lowest > look.top + 0.1 * look.height, last.title


def test_the_booklet_fills_whole_sheets_with_pages_for_notes(a5):
    pages = a5.sheets
    assert len(pages) % 4 == 0
    notes = [sheet for sheet in pages if sheet.title.endswith(" Notes")]
    assert len(notes) < 4 and list(pages[len(pages) - len(notes) :]) == notes


def test_odd_pages_of_the_booklet_lie_right_of_the_fold(a5, texts_of):
    """Recto pages have odd numbers (common practice, no source); the wide margin lies at the fold."""
    for number, sheet in enumerate(a5.sheets, 1):
        lefts = [s.box[0] for s in texts_of(sheet) if isinstance(s.item, Text) and not s.item.turn_deg]
        margin = A5_LOOK.inner if number % 2 else A5_LOOK.outer
        assert min(lefts) >= margin - 0.01, sheet.title
