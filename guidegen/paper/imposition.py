"""Imposition: A5 pages two up on A4, folded once and stitched through the fold into a booklet.

The sheets of a signature lie in each other. A thick booklet is made of several, each folded and stitched by
itself, gathered in order and bound at their backs. Pages are primitives, moved and scaled as groups, so that
links, destinations and fonts stay what they are.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Document, Group, Item, Sheet, Text
from guidegen.errors import GuidegenError
from guidegen.paper.folds import head_over, turns_like_a_leaf
from guidegen.paper.marks import BAR_CAPTION, check_bar, fold_tick, small_print, turned, turning_note
from guidegen.paper.sheets import A4, EDGE_MM, Duplex
from guidegen.paper.text import SMALLEST_PT

PAPER_THICKNESS_MM = 0.1
"""Of 80 g/m² office paper; ISO 536 gives the mass, the thickness is common practice, no source."""
SIGNATURE_PAGES = 40
"""The most pages of a signature: ten sheets still fold flat and take a staple; common practice, no source."""

_WIDTH, _HEIGHT = A4.landscape.width_mm, A4.landscape.height_mm
_HALF = _WIDTH / 2


class Spread(Struct, frozen=True):
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


def signatures(sheets: int, most_pages: int = SIGNATURE_PAGES) -> tuple[int, ...]:
    """How many sheets each signature has: as few signatures as can be, and all as thick as the others.

    Where they cannot be, the first ones have a sheet more. Raises ValueError when a signature may not have
    even one sheet, which is four pages.
    """
    if most_pages < 4:
        raise ValueError(f"a signature has four pages at least, not {most_pages}")
    count = -(-sheets // (most_pages // 4))
    return tuple(sheets // count + (n < sheets % count) for n in range(count))


def creep_mm(sheet: int, thickness_mm: float = PAPER_THICKNESS_MM) -> float:
    """How far the pages of a sheet move towards the fold, because the sheets outside push it out there."""
    return sheet * thickness_mm


def impose(
    document: Document,
    duplex: Duplex = "short",
    thickness_mm: float = PAPER_THICKNESS_MM,
    most_pages: int = SIGNATURE_PAGES,
) -> Document:
    """The document as an A5 booklet on A4, front and back of each sheet in turn, signature after signature.

    Pages may have any A size: they are scaled to half of an A4 sheet. most_pages: of one signature. Raises
    ValueError without pages, GuidegenError when scaling would bring text under 7 pt.
    """
    if not document.sheets:
        raise ValueError("a document without pages cannot be imposed")
    for number, page in enumerate(document.sheets, 1):
        _check_sizes(page, number)
    order = with_blanks(len(document.sheets))
    pages = [None if index is None else document.sheets[index] for index in order]
    parts = signatures(len(pages) // 4, most_pages)
    sides: list[Sheet] = []
    for number, sheets in enumerate(parts):
        first = sum(parts[:number])
        own = pages[4 * first : 4 * (first + sheets)]
        for spread in spreads(len(own)):
            marks = _marks(_Place(parts, number, spread.sheet, spread.side), duplex)
            name = f"{document.title}: sheet {first + spread.sheet + 1}, {spread.side}".removeprefix(": ")
            sides.append(_side(spread, own, duplex, thickness_mm, marks, name))
    return replace(document, sheets=tuple(sides))


def _side(
    spread: Spread,
    pages: Sequence[Sheet | None],
    duplex: Duplex,
    thickness_mm: float,
    marks: Sequence[Item],
    name: str,
) -> Sheet:
    shift = creep_mm(spread.sheet, thickness_mm)
    items: list[Item] = []
    for number, left, towards_fold in ((spread.left, 0.0, shift), (spread.right, _HALF, -shift)):
        page = pages[number - 1]
        if page is not None:
            items.append(_half(page, left + towards_fold))
    items += marks
    if spread.side == "back" and not turns_like_a_leaf(_WIDTH, _HEIGHT, duplex):
        items = [head_over(items, _WIDTH, _HEIGHT)]
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


class _Place(Struct, frozen=True):
    """Which side of which sheet of which signature, all counted from 0."""

    parts: tuple[int, ...]  # how many sheets each signature has
    signature: int
    sheet: int  # within the signature
    side: str

    @property
    def number(self) -> int:
        return sum(self.parts[: self.signature]) + self.sheet + 1

    @property
    def said(self) -> str:
        of = f"Sheet {self.number} of {sum(self.parts)}"
        if len(self.parts) > 1:
            of += f", signature {self.signature + 1} of {len(self.parts)}"
        return f"{of}, {self.side}."


def _marks(place: _Place, duplex: Duplex) -> tuple[Item, ...]:
    """Fold ticks, and in the gutter left of the fold which sheet this is, how to print it, the check bar.

    On the first side, right of the fold, how to gather the sheets.
    """
    ticks = (fold_tick((_HALF, 0.0), (0.0, 1.0)), fold_tick((_HALF, _HEIGHT), (0.0, -1.0)))
    first = place.number == 1 and place.side == "front"
    note = f"{place.said} {turning_note(duplex)}"
    foot = _HEIGHT - EDGE_MM - 5.0
    words = turned(small_print(note, 0.0, 0.0, 90.0), _HALF - 4.3, foot, 270)
    if not first:
        return (*ticks, words)
    caption = turned(small_print(BAR_CAPTION, 0.0, 0.0, 90.0), _HALF - 4.3, 107.0, 270)
    bar = turned(check_bar(0.0, 0.0), _HALF - 2.3, 107.0, 270)
    gather = turned(small_print(_gathering(place.parts), 0.0, 0.0, 185.0), _HALF + 8.0, foot, 270)
    return (*ticks, words, caption, bar, gather)


def _gathering(parts: Sequence[int]) -> str:
    """How the printed sheets become a booklet."""
    if len(parts) == 1:
        return "Lay the sheets into each other, sheet 1 outside. Fold them and stitch through the fold."
    ends = [sum(parts[: n + 1]) for n in range(len(parts))]
    starts = [end - count + 1 for end, count in zip(ends, parts, strict=True)]
    runs = [str(a) if a == b else f"{a} to {b}" for a, b in zip(starts, ends, strict=True)]
    return (
        f"This booklet has {len(parts)} signatures: sheets {', '.join(runs[:-1])} and {runs[-1]}. Lay the "
        "sheets of each into each other, the lowest number outside. Fold and stitch each. "
        "Then bind them in order at their backs."
    )
