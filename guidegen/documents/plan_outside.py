"""Sheets that follow the plan: the vehicle from outside, its roof and what is under its floor."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import chain, repeat

from guidegen.documents.context import Context
from guidegen.documents.outside_views import (
    ENDS,
    LONG_SIDES,
    View,
    fitting_scale,
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
_SHARES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75)  # of the largest scale, so that all views stand on one sheet
_LARGE = _SHARES[:3]  # shares with which they do: else the long sides have a sheet of their own
_TITLE = TextStyle(10.0, "bold", INK, 1.2)
_WORDS = ("Seen from outside", "To scale, with the numbers of the floor diagram.")


def outside_sheets(context: Context, paper: Paper, asked: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The views that have points, to scale, on as many sheets as they need; none without such points.

    asked: letters of the systems that are shown, all when empty.
    """
    columns = 2 if paper.width_mm > paper.height_mm else 1

    def sides(width: float, scale: float) -> Iterator[Block]:
        return _long_sides(context, width, scale, asked)

    def others(width: float, scale: float) -> Iterator[Block]:
        return _others(context, width, scale, asked)

    def every(width: float, scale: float) -> Iterator[Block]:
        return chain(sides(width, scale), others(width, scale))

    on_one, sheets = _filled(context, paper, columns, every, _LARGE if columns > 1 else _SHARES)
    if columns > 1 and not on_one:
        sheets = (*_filled(context, paper, 1, sides)[1], *_filled(context, paper, columns, others)[1])
    return tuple(_sheet(context, paper, draw_all(placed), n) for n, placed in enumerate(sheets, 1))


def _filled(
    context: Context,
    paper: Paper,
    columns: int,
    made: Callable[[float, float], Iterator[Block]],
    shares: Sequence[float] = _SHARES,
) -> tuple[bool, tuple[tuple[Placed, ...], ...]]:
    """Whether one sheet holds the views, at the largest share that will do, and what stands on each sheet.

    made: the views in a width at a scale.
    """
    width = (paper.width_mm - 2 * MARGIN_MM - (columns - 1) * _GUTTER_MM) / columns
    height = paper.height_mm - _TOP_MM - _FOOT_MM
    frames = [Frame(MARGIN_MM + n * (width + _GUTTER_MM), _TOP_MM, width, height) for n in range(columns)]
    largest = fitting_scale(context.vehicle.layout, width)
    filled: tuple[tuple[Placed, ...], ...] = ()
    for share in shares:
        blocks = tuple(made(width, largest * share))
        filled = flow(blocks, chain.from_iterable(repeat(frames))) if blocks else ()
        if len(filled) <= columns:
            break
    sheets = (filled[n : n + columns] for n in range(0, len(filled), columns))
    return len(filled) <= columns, tuple(tuple(chain.from_iterable(sheet)) for sheet in sheets)


def _long_sides(context: Context, width: float, scale: float, asked: Sequence[str]) -> Iterator[Block]:
    for side, title in LONG_SIDES:
        if view := side_view(context, side, title, width, scale, asked=asked):
            yield _block(view)


def _others(context: Context, width: float, scale: float, asked: Sequence[str]) -> Iterator[Block]:
    """The ends side by side, roof and chassis."""
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
