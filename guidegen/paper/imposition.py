"""Imposition: A5 pages two up on A4, folded once and stitched through the fold into a booklet.

One signature: the sheets lie in each other. Pages are primitives, moved and scaled as groups, so that links,
destinations and fonts stay what they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from guidegen.drawing.primitives import Document, Group, Item, Sheet, Text
from guidegen.errors import GuidegenError
from guidegen.paper.folds import head_over, turns_like_a_leaf
from guidegen.paper.marks import BAR_CAPTION, check_bar, fold_tick, small_print, turned, turning_note
from guidegen.paper.sheets import A4, EDGE_MM, Duplex
from guidegen.paper.text import SMALLEST_PT

PAPER_THICKNESS_MM = 0.1
"""Of 80 g/m² office paper; ISO 536 gives the mass, the thickness is common practice, no source."""

_WIDTH, _HEIGHT = A4.landscape.width_mm, A4.landscape.height_mm
_HALF = _WIDTH / 2


@dataclass(frozen=True, slots=True)
class Spread:
    """One side of a sheet of the signature: page numbers left and right as printed, from 1."""

    sheet: int  # from 0, the outermost
    side: str  # "front", the one that lies outside, or "back"
    left: int
    right: int


def spreads(pages: int) -> tuple[Spread, ...]:
    """Where each page of a saddle-stitched signature is printed, front and back of each sheet in turn.

    Opposite pages of a side add up to pages + 1. Raises ValueError unless pages is a multiple of four.
    """
    if pages <= 0 or pages % 4:
        raise ValueError(f"a signature has a multiple of four pages, not {pages}")
    sides: list[Spread] = []
    for sheet in range(pages // 4):
        first = 2 * sheet + 1
        sides.append(Spread(sheet, "front", pages + 1 - first, first))
        sides.append(Spread(sheet, "back", first + 1, pages - first))
    return tuple(sides)


def with_blanks(count: int) -> tuple[int | None, ...]:
    """Indices of count pages filled up to a multiple of four; None is a blank page.

    The first and last page stay the covers; blanks go inside the back cover first, then inside the front
    cover, so that both ends look alike.
    """
    blanks = -count % 4
    pages: list[int | None] = list(range(count))
    if count == 1:
        return (0, None, None, None)
    front = blanks // 2
    back = blanks - front
    return (*pages[:1], *[None] * front, *pages[1:-1], *[None] * back, *pages[-1:])


def creep_mm(sheet: int, thickness_mm: float = PAPER_THICKNESS_MM) -> float:
    """How far the pages of a sheet move towards the fold, because the sheets outside push it out there."""
    return sheet * thickness_mm


def impose(
    document: Document, duplex: Duplex = "short", thickness_mm: float = PAPER_THICKNESS_MM
) -> Document:
    """The document as an A5 booklet on A4, front and back of each sheet in turn.

    Pages may have any A size: they are scaled to half of an A4 sheet. Raises ValueError without pages,
    GuidegenError when scaling would bring text under 7 pt.
    """
    if not document.sheets:
        raise ValueError("a document without pages cannot be imposed")
    for number, page in enumerate(document.sheets, 1):
        _check_sizes(page, number)
    order = with_blanks(len(document.sheets))
    pages = [None if index is None else document.sheets[index] for index in order]
    sides = tuple(
        _side(spread, pages, duplex, thickness_mm, document.title) for spread in spreads(len(pages))
    )
    return replace(document, sheets=sides)


def _side(
    spread: Spread, pages: Sequence[Sheet | None], duplex: Duplex, thickness_mm: float, title: str
) -> Sheet:
    shift = creep_mm(spread.sheet, thickness_mm)
    items: list[Item] = []
    for number, left, towards_fold in ((spread.left, 0.0, shift), (spread.right, _HALF, -shift)):
        page = pages[number - 1]
        if page is not None:
            items.append(_half(page, left + towards_fold))
    items += _marks(spread, len(pages) // 4, duplex)
    if spread.side == "back" and not turns_like_a_leaf(_WIDTH, _HEIGHT, duplex):
        items = [head_over(items, _WIDTH, _HEIGHT)]
    name = f"{title}: sheet {spread.sheet + 1}, {spread.side}".removeprefix(": ")
    return Sheet(_WIDTH, _HEIGHT, tuple(items), title=name)


def _half(page: Sheet, x: float) -> Group:
    """The page scaled to stand centred in a half of the sheet that begins at x."""
    scale = _scale(page)
    dx = x + (_HALF - page.width_mm * scale) / 2
    dy = (_HEIGHT - page.height_mm * scale) / 2
    return Group(page.items, transform=(scale, 0.0, 0.0, scale, dx, dy), title=page.title)


def _scale(page: Sheet) -> float:
    scale = min(_HALF / page.width_mm, _HEIGHT / page.height_mm)
    return 1.0 if abs(scale - 1.0) < 0.005 else scale  # A5 is 148 mm wide, half of A4 148,5 mm


def _check_sizes(page: Sheet, number: int) -> None:
    smallest = _smallest_pt(page.items)
    scaled = smallest * _scale(page)
    if scaled < SMALLEST_PT - 0.02:
        raise GuidegenError(
            f"Page {number} has text of {smallest:g} pt, which would be {scaled:.1f} pt in the booklet: "
            f"nothing may be under {SMALLEST_PT:g} pt. Compose it on A5, or in large print."
        )


def _smallest_pt(items: Sequence[Item]) -> float:
    """Of all texts, in groups as well; infinite when there are none."""
    smallest = float("inf")
    for item in items:
        if isinstance(item, Text):
            smallest = min(smallest, item.size_pt)
        elif isinstance(item, Group):
            a, b = item.transform[:2] if item.transform else (1.0, 0.0)
            smallest = min(smallest, _smallest_pt(item.items) * (a * a + b * b) ** 0.5)
    return smallest


def _marks(spread: Spread, sheets: int, duplex: Duplex) -> tuple[Item, ...]:
    """Fold ticks, and in the gutter left of the fold which sheet this is, how to print it, the check bar."""
    ticks = (fold_tick((_HALF, 0.0), (0.0, 1.0)), fold_tick((_HALF, _HEIGHT), (0.0, -1.0)))
    note = f"Sheet {spread.sheet + 1} of {sheets}, {spread.side}. {turning_note(duplex)}"
    foot = _HEIGHT - EDGE_MM - 5.0
    words = turned(small_print(note, 0.0, 0.0, 90.0), _HALF - 4.3, foot, 270)
    if spread.sheet or spread.side == "back":
        return (*ticks, words)
    caption = turned(small_print(BAR_CAPTION, 0.0, 0.0, 90.0), _HALF - 4.3, 107.0, 270)
    bar = turned(check_bar(0.0, 0.0), _HALF - 2.3, 107.0, 270)
    return (*ticks, words, caption, bar)
