"""The contact sheet of the base layouts: all at one scale, with name, id and size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import repeat

from guidegen.documents.parts import INK, SOFT_INK
from guidegen.drawing.primitives import Document, Item, Sheet, Text
from guidegen.paper.blocks import Block, Drawing, Heading, Paragraph, draw_lines
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.sheets import A4, margins_for
from guidegen.paper.text import SMALL_PT, TITLE_PT, TextStyle, height_mm, wrap
from guidegen.plan.body import draw_vehicle
from guidegen.plan.frame import OVERHANG_MM
from guidegen.plan.frame import Frame as PlanFrame
from guidegen.vehicle.layout import Layout

_COLUMNS, _GAP_MM, _FOOT_MM = 2, 8.0, 6.0
_SMALLER = 1.25
_NAME = TextStyle(10.0, "bold", INK, leading=1.2)
_ID = TextStyle(SMALL_PT, "regular", SOFT_INK, leading=1.25)
_ABOUT = TextStyle(SMALL_PT, "regular", INK, leading=1.25)
_INTRO = (
    "Seen from above, the front at the left, all at 1 : {ratio}. The word below each name is what a vehicle "
    "file says after “layout:”."
)


def compose_layout_sheet(layouts: Sequence[Layout]) -> Document:
    """A4 pages with every layout as the bare vehicle."""
    x, y, width, height = A4.inside(margins_for(A4))
    frame = Frame(x, y, width, height - _FOOT_MM)
    pages = _pages(layouts, frame)
    sheets = []
    for number, page in enumerate(pages, 1):
        words = f"Layouts, page {number} of {len(pages)}"
        foot = Text(x + width, y + height, words, 8.0, colour=SOFT_INK, anchor="end")
        sheets.append(Sheet(A4.width_mm, A4.height_mm, (*draw_all(page), foot), title=f"Layouts {number}"))
    return Document(tuple(sheets), title="Layouts", subject="Contact sheet of the base layouts")


def _pages(layouts: Sequence[Layout], frame: Frame) -> tuple[tuple[Placed, ...], ...]:
    """As large as the columns allow, or a little smaller where that saves a page."""
    cell = (frame.width - _GAP_MM * (_COLUMNS - 1)) / _COLUMNS
    largest = _ratio(layouts, cell)
    best: tuple[tuple[Placed, ...], ...] = ()
    for ratio in range(largest, round(_SMALLER * largest) + 1, 5):
        pages = tuple(flow(tuple(_blocks(layouts, frame.width, ratio)), repeat(frame)))
        best = pages if not best or len(pages) < len(best) else best
    return best


def _blocks(layouts: Sequence[Layout], width: float, ratio: int) -> Iterator[Block]:
    cell = (width - _GAP_MM * (_COLUMNS - 1)) / _COLUMNS
    yield Heading(text="Layouts", style=TextStyle(TITLE_PT, "bold"), destination="layouts", level=0)
    yield Paragraph(text=_INTRO.format(ratio=ratio), style=TextStyle(10.0, colour=INK), space_after_mm=3.0)
    for start in range(0, len(layouts), _COLUMNS):
        yield _row(layouts[start : start + _COLUMNS], cell, width, 1 / ratio)


def _ratio(layouts: Sequence[Layout], cell: float) -> int:
    """The common scale as 1 : ratio, a multiple of five."""
    longest = max(_length(layout) for layout in layouts)
    return int(-(-longest // (cell * 5))) * 5


def _length(layout: Layout) -> float:
    behind = OVERHANG_MM if any(door.side == "rear" for door in layout.doors) else 0.0
    return layout.drawbar + layout.length + behind


def _row(layouts: Sequence[Layout], cell: float, width: float, scale: float) -> Drawing:
    high = max(layout.width for layout in layouts) * scale + 2 * OVERHANG_MM * scale
    items: list[Item] = []
    below = 0.0
    for column, layout in enumerate(layouts):
        left = column * (cell + _GAP_MM)
        frame = PlanFrame(scale, left + layout.drawbar * scale, OVERHANG_MM * scale, layout.width)
        items += draw_vehicle(layout, frame)
        words, used = _words(layout, left, high + 2.0, cell)
        items += words
        below = max(below, used)
    title = ", ".join(layout.name for layout in layouts)
    return Drawing(items=tuple(items), width=width, height=high + 2.0 + below + 6.0, title=title)


def _words(layout: Layout, left: float, top: float, width: float) -> tuple[list[Item], float]:
    size = f"{layout.length / 1000:.2f} × {layout.width / 1000:.2f} × {layout.height / 1000:.2f} m"
    parts = ((layout.name, _NAME), (f"{layout.id} · {size}", _ID), (layout.about, _ABOUT))
    items: list[Item] = []
    used = 0.0
    for text, style in parts:
        lines = wrap(text, width, style)
        items += draw_lines(lines, left, top + used, width)
        used += height_mm(lines)
    return items, used
