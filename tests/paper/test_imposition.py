"""Booklets: the leaves of the printed sheets, laid into each other, give the pages in order."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guidegen.drawing.primitives import Circle, Document, Sheet, Style, Text
from guidegen.errors import GuidegenError
from guidegen.paper.imposition import SIGNATURE_PAGES, creep_mm, impose, signatures, spreads, with_blanks

DOT = Style(fill="#000000")
WIDTH, HEIGHT = 148.0, 210.0  # A5, ISO 216


def booklet(count, duplex, width=WIDTH, height=HEIGHT, thickness=0.0):
    pages = tuple(
        Sheet(
            width,
            height,
            (
                Circle(width / 2, height / 2, 0.1, DOT, css=f"{n} middle"),
                Circle(width / 2, height / 2 - height / 21, 0.1, DOT, css=f"{n} up"),
            ),
        )
        for n in range(count)
    )
    return impose(Document(pages), duplex, thickness)


def leaves(document, duplex, boxes, simulator, sheets=None):
    """Pages of the stitched signature from cover to cover as (page, x from the fold, upright), None for blanks.

    Sheets are laid into each other, the first outermost and its first side outside, folded about the middle.
    """
    recto_verso = []
    sheets = document.sheets if sheets is None else sheets
    for front, back in zip(sheets[::2], sheets[1::2], strict=True):
        right = on_half(front, "right", lambda p: p, boxes)
        inside_right = on_half(back, "right", turned_over(back, duplex, simulator), boxes)
        left = on_half(front, "left", lambda p: p, boxes)
        inside_left = on_half(back, "left", turned_over(back, duplex, simulator), boxes)
        recto_verso.append((right, inside_right, inside_left, left))
    first_half = [page for sheet in recto_verso for page in sheet[:2]]
    second_half = [page for sheet in reversed(recto_verso) for page in sheet[2:]]
    return first_half + second_half


def turned_over(sheet, duplex, simulator):
    return lambda point: simulator.printed(point, sheet.width_mm, sheet.height_mm, duplex)


def on_half(sheet, half, to_paper, boxes):
    """The page on one half of the paper, left or right as seen from the front."""
    dots = {
        item.css: to_paper(((box[0] + box[2]) / 2, (box[1] + box[3]) / 2))
        for item, box in boxes(sheet.items)
        if isinstance(item, Circle)
    }
    fold = sheet.width_mm / 2
    for css, (x, y) in dots.items():
        name, what = css.split()
        if what == "middle" and (x > fold) == (half == "right"):
            up_x, up_y = dots[f"{name} up"]
            return int(name), abs(x - fold), abs(up_x - x) < 1e-6 and up_y < y
    return None


@pytest.mark.parametrize("duplex", ["short", "long"])
@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 8, 10, 12, 15, 20])
def test_the_stitched_booklet_reads_in_order_and_upright(count, duplex, boxes, simulator):
    document = booklet(count, duplex)
    pages = leaves(document, duplex, boxes, simulator)
    printed = [page for page in pages if page is not None]
    assert [name for name, _, _ in printed] == list(range(count))
    assert all(upright for _, _, upright in printed)
    assert len(pages) % 4 == 0 and len(pages) - count < 4
    assert pages[0][0] == 0  # the first page is the front cover
    assert count == 1 or pages[-1][0] == count - 1  # the last page is the back cover


@given(st.integers(1, 60))
def test_every_page_is_printed_once_and_opposite_pages_add_up(sheets):
    sides = spreads(4 * sheets)
    assert sorted(n for side in sides for n in (side.left, side.right)) == list(range(1, 4 * sheets + 1))
    assert {side.left + side.right for side in sides} == {4 * sheets + 1}


def gathered(document, duplex, boxes, simulator):
    """Pages of a booklet of several signatures: sheets sorted by what is printed on them, each part folded."""
    parts = {}
    for sheet in document.sheets:
        words = " ".join(item.text for item, _ in boxes(sheet.items) if isinstance(item, Text))
        part = re.search(r"signature (\d+) of (\d+)", words)
        parts.setdefault(int(part[1]) if part else 1, []).append(sheet)
    return [leaves(document, duplex, boxes, simulator, sheets) for _, sheets in sorted(parts.items())]


@pytest.mark.parametrize("duplex", ["short", "long"])
@pytest.mark.parametrize("count", [40, 41, 71, 84, 121])
def test_a_thick_booklet_is_gathered_from_signatures_that_are_alike(count, duplex, boxes, simulator):
    document = booklet(count, duplex)
    parts = gathered(document, duplex, boxes, simulator)
    pages = [page for part in parts for page in part]
    assert [page[0] for page in pages if page] == list(range(count))
    assert all(page[2] for page in pages if page)
    assert len(pages) - count < 4
    assert pages[0][0] == 0 and pages[-1][0] == count - 1  # the covers
    thick = [len(part) for part in parts]
    assert max(thick) <= SIGNATURE_PAGES and max(thick) - min(thick) <= 4
    assert len(parts) == -(-count // SIGNATURE_PAGES)


def test_every_signature_creeps_by_itself(boxes, simulator):
    straight = gathered(booklet(48, "short"), "short", boxes, simulator)
    crept = gathered(booklet(48, "short", thickness=0.1), "short", boxes, simulator)
    for one, other in zip(straight, crept, strict=True):
        moved = [a[1] - b[1] for a, b in zip(one, other, strict=True)]
        assert moved[:2] == pytest.approx([0, 0]) and moved[-2:] == pytest.approx([0, 0])
        assert max(moved) == pytest.approx((len(moved) // 4 - 1) * 0.1)


def test_the_first_side_says_how_to_gather_the_sheets(boxes):
    words = [
        " ".join(
            item.text for item, _ in boxes(booklet(count, "short").sheets[0].items) if isinstance(item, Text)
        )
        for count in (20, 84)
    ]
    assert "into each other, sheet 1 outside" in words[0] and "signature" not in words[0]
    assert "3 signatures: sheets 1 to 7, 8 to 14 and 15 to 21" in words[1]


@given(st.integers(1, 300), st.integers(4, 80))
def test_signatures_hold_every_sheet_and_none_is_too_thick(sheets, most):
    parts = signatures(sheets, most)
    assert sum(parts) == sheets and max(parts) * 4 <= most and max(parts) - min(parts) <= 1


def test_a_signature_of_less_than_a_sheet_is_refused():
    with pytest.raises(ValueError):
        signatures(5, 3)


def test_sixteen_pages_are_paired_as_binders_pair_them():
    """The printer's spreads of a sixteen-page saddle-stitched booklet; common practice, no source."""
    pairs = [(side.left, side.right) for side in spreads(16)]
    assert pairs == [(16, 1), (2, 15), (14, 3), (4, 13), (12, 5), (6, 11), (10, 7), (8, 9)]


@pytest.mark.parametrize("pages", [0, 3, -4, 6])
def test_a_signature_has_a_multiple_of_four_pages(pages):
    with pytest.raises(ValueError):
        spreads(pages)


@given(st.integers(2, 200))
def test_blanks_fill_up_inside_the_covers_evenly(count):
    pages = with_blanks(count)
    assert [page for page in pages if page is not None] == list(range(count))
    assert len(pages) % 4 == 0 and len(pages) < count + 4
    assert pages[0] == 0 and pages[-1] == count - 1
    front = pages[1:].index(1) if count > 2 else 0
    back = pages[::-1][1:].index(count - 2) if count > 2 else 0
    assert count == 2 or 0 <= back - front <= 1


def test_inner_sheets_creep_towards_the_fold(boxes, simulator):
    """Each sheet outside pushes the next out by its own thickness; the pages move back by as much."""
    straight = leaves(booklet(16, "short"), "short", boxes, simulator)
    crept = leaves(booklet(16, "short", thickness=0.2), "short", boxes, simulator)
    moved = [one[1] - two[1] for one, two in zip(straight, crept, strict=True)]
    assert moved == pytest.approx([0, 0, 0.2, 0.2, 0.4, 0.4, 0.6, 0.6, 0.6, 0.6, 0.4, 0.4, 0.2, 0.2, 0, 0])
    assert creep_mm(3, 0.2) == pytest.approx(0.6)


@pytest.mark.parametrize("duplex", ["short", "long"])
def test_a4_pages_are_scaled_to_half_a_sheet(duplex, boxes, simulator):
    document = booklet(4, duplex, 210.0, 297.0)
    dots = {item.css: box for item, box in boxes(document.sheets[0].items) if isinstance(item, Circle)}
    assert dots["0 middle"][1] - dots["0 up"][1] == pytest.approx(297 / 21 / 2**0.5, rel=0.002)
    assert [page[0] for page in leaves(document, duplex, boxes, simulator)] == [0, 1, 2, 3]


def test_text_that_scaling_would_make_too_small_is_refused():
    page = Sheet(210, 297, (Text(20, 20, "small", 8.5),))
    with pytest.raises(GuidegenError, match="6.0 pt"):
        impose(Document((page,)))
    impose(Document((Sheet(210, 297, (Text(20, 20, "large", 14),)),)))


@pytest.mark.parametrize("duplex", ["short", "long"])
def test_every_side_says_how_to_print_and_keeps_off_edge_and_fold(duplex, boxes):
    for sheet in booklet(6, duplex).sheets:
        placed = [(i, b) for i, b in boxes(sheet.items) if not isinstance(i, Circle)]
        words = " ".join(item.text for item, _ in placed if isinstance(item, Text))
        assert f"{duplex} edge" in words
        for item, (left, top, right, foot) in placed:
            assert min(left, top, 297 - right, 210 - foot) >= 5
            if isinstance(item, Text):
                assert right < 148.5 or left > 148.5
