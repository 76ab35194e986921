"""Sheets that follow the plan: the vehicle from outside, its roof and what is under its floor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, repeat

from guidegen.documents.context import Context
from guidegen.documents.outside_views import (
    ENDS,
    LONG_SIDES,
    RING_MM,
    SCALE,
    View,
    side_view,
    views_from_above,
)
from guidegen.documents.parts import INK
from guidegen.documents.plan_companion import companion_sheet
from guidegen.drawing.primitives import Item, Sheet
from guidegen.paper.blocks import Block, Drawing, Paragraph, Spacer
from guidegen.paper.containers import Cell, KeepTogether, Row
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.sheets import Paper
from guidegen.paper.text import TextStyle
from guidegen.plan.margins import MARGIN_MM

_TOP_MM, _FOOT_MM = 27.0, 12.0
_GUTTER_MM = 6.0
_BELOW_MM = 3.0
_SHARES = (1.0, 0.85, 0.75)  # of the largest scale, so that all views stand on one sheet
_TITLE = TextStyle(10.0, "bold", INK, 1.2)
_WORDS = ("Seen from outside", "To scale, with the numbers of the floor diagram.")


def outside_sheets(context: Context, paper: Paper, asked: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The views that have points, to scale, on as many sheets as they need; none without such points.

    asked: letters of the systems that are shown, all when empty.
    """
    columns = 2 if paper.width_mm > paper.height_mm else 1
    width = (paper.width_mm - 2 * MARGIN_MM - (columns - 1) * _GUTTER_MM) / columns
    height = paper.height_mm - _TOP_MM - _FOOT_MM
    frames = [Frame(MARGIN_MM + n * (width + _GUTTER_MM), _TOP_MM, width, height) for n in range(columns)]
    largest = _largest(context, width)
    filled: tuple[tuple[Placed, ...], ...] = ()
    for share in _SHARES:
        blocks = tuple(_blocks(context, width, largest * share, asked))
        if not blocks:
            return ()
        filled = flow(blocks, chain.from_iterable(repeat(frames)))
        if len(filled) <= columns:
            break
    pages = [filled[n : n + columns] for n in range(0, len(filled), columns)]
    return tuple(
        _sheet(context, paper, draw_all(one for column in page for one in column), number)
        for number, page in enumerate(pages, 1)
    )


def _largest(context: Context, width: float) -> float:
    """The scale at which the long sides are as wide as their column allows."""
    layout = context.vehicle.layout
    return min(SCALE, (width - 2 * RING_MM) / (layout.length + layout.drawbar))


def _blocks(context: Context, width: float, scale: float, asked: Sequence[str]) -> Iterator[Block]:
    """All views at one scale: the long sides, the ends side by side, roof and chassis."""
    for side, title in LONG_SIDES:
        if view := side_view(context, side, title, width, scale, asked=asked):
            yield _block(view)
    half = (width - _GUTTER_MM) / 2
    found = (side_view(context, side, title, half, scale, asked=asked) for side, title in ENDS)
    if cells := [Cell(_block(view)) for view in found if view]:
        if len(cells) == 1:
            cells.append(Cell(Spacer(height=0.0)))
        yield Row(cells=tuple(cells), gap=_GUTTER_MM, space_after_mm=_BELOW_MM, keep_together=True)
    for view in views_from_above(context, width, scale, asked=asked):
        yield _block(view)


def _block(view: View) -> Block:
    drawing = Drawing(items=view.items, width=view.width, height=view.height, title=view.title)
    return KeepTogether(blocks=(Paragraph(text=view.title, style=_TITLE), drawing), space_after_mm=_BELOW_MM)


def _sheet(context: Context, paper: Paper, items: tuple[Item, ...], number: int) -> Sheet:
    return companion_sheet(context, paper, items, _WORDS, "Seen from outside", f"Outside {number}")
