"""Sheets that follow the plan: the vehicle from outside, its roof and what is under its floor."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain, repeat
from typing import TypeAlias

from msgspec import Struct

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
from guidegen.documents.plan_companion import companion_sheet, has_names
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
_SHARES = (0.95, 0.9, 0.85, 0.8, 0.75)  # of the largest scale, so that all views stand on one sheet
_LARGE = _SHARES[:2]  # shares with which they do: else the long sides have a sheet of their own
_TITLE = TextStyle(10.0, "bold", INK, 1.2)
_WORDS = ("Seen from outside", "To scale, with the numbers of the floor diagram.")
_WITH_NAMES = ("Seen from outside", "To scale, with the numbers of the key and the stickers.")

_Row: TypeAlias = tuple[View | None, ...]  # one across, or two side by side, of which one may be missing
_Filled: TypeAlias = tuple[tuple[Placed, ...], ...]


class _Columns(Struct, frozen=True):
    """A sheet's columns, to be filled with views. made: the views in a width at a scale."""

    context: Context
    frames: tuple[Frame, ...]
    made: Callable[[float, float], Iterator[_Row]]

    def on_one(self, shares: Sequence[float]) -> _Filled | None:
        """The views at the largest of these shares of their scale with which one sheet holds them."""
        views = list(self._views(1.0))
        if self._fits(placed := self._placed(views)):
            return placed
        for share in shares:
            scale = share * self._largest
            smaller = [tuple(view and view.smaller(scale) for view in row) for row in views]
            if self._fits(self._placed(smaller)) and self._fits(placed := self._placed(self._views(share))):
                return placed
        return None

    def on_sheets(self) -> Iterator[tuple[Placed, ...]]:
        """The views on one sheet or, where it does not hold them, on as many as they need, at the least."""
        filled = self.on_one(_SHARES)
        if filled is None:
            filled = self._placed(self._views(_SHARES[-1]))
        for n in range(0, len(filled), len(self.frames)):
            yield tuple(chain.from_iterable(filled[n : n + len(self.frames)]))

    @property
    def _largest(self) -> float:
        return fitting_scale(self.context.vehicle.layout, self.frames[0].width)

    def _views(self, share: float) -> Iterator[_Row]:
        return self.made(self.frames[0].width, share * self._largest)

    def _placed(self, views: Iterable[_Row]) -> _Filled:
        blocks = tuple(map(_row, views))
        return flow(blocks, chain.from_iterable(repeat(self.frames))) if blocks else ()

    def _fits(self, placed: _Filled) -> bool:
        return len(placed) <= len(self.frames)


def outside_sheets(context: Context, paper: Paper, asked: Sequence[str] = ()) -> tuple[Sheet, ...]:
    """The views that have points, to scale, on as many sheets as they need; none without such points.

    asked: letters of the systems that are shown, all when empty.
    """
    columns = 2 if paper.width_mm > paper.height_mm else 1

    def sides(width: float, scale: float) -> Iterator[_Row]:
        return _long_sides(context, width, scale, asked)

    def others(width: float, scale: float) -> Iterator[_Row]:
        return _others(context, width, scale, asked)

    def every(width: float, scale: float) -> Iterator[_Row]:
        return chain(sides(width, scale), others(width, scale))

    whole = _Columns(context, _frames(paper, columns), every)
    if columns == 1:
        sheets = list(whole.on_sheets())
    elif (on_one := whole.on_one(_LARGE)) is not None:
        sheets = [tuple(chain.from_iterable(on_one))] if on_one else []
    else:
        alone, beside = _frames(paper, 1), _frames(paper, columns)
        sheets = [
            *_Columns(context, alone, sides).on_sheets(),
            *_Columns(context, beside, others).on_sheets(),
        ]
    return tuple(_sheet(context, paper, draw_all(placed), n) for n, placed in enumerate(sheets, 1))


def _frames(paper: Paper, columns: int) -> tuple[Frame, ...]:
    width = (paper.width_mm - 2 * MARGIN_MM - (columns - 1) * _GUTTER_MM) / columns
    height = paper.height_mm - _TOP_MM - _FOOT_MM
    return tuple(Frame(MARGIN_MM + n * (width + _GUTTER_MM), _TOP_MM, width, height) for n in range(columns))


def _long_sides(context: Context, width: float, scale: float, asked: Sequence[str]) -> Iterator[_Row]:
    for side, title in LONG_SIDES:
        if view := side_view(context, side, title, width, scale, asked=asked):
            yield (view,)


def _others(context: Context, width: float, scale: float, asked: Sequence[str]) -> Iterator[_Row]:
    """The ends side by side, roof and chassis."""
    half = (width - _GUTTER_MM) / 2
    found = (side_view(context, side, title, half, scale, asked=asked) for side, title in ENDS)
    if ends := [view for view in found if view]:
        yield ends[0], ends[1] if len(ends) > 1 else None
    for view in views_from_above(context, width, scale, asked=asked):
        yield (view,)


def _row(row: _Row) -> Block:
    """One view across its column, or two places side by side."""
    blocks = [_block(view) if view else Spacer(height=0.0) for view in row]
    if len(blocks) == 1:
        return blocks[0]
    cells = tuple(map(Cell, blocks))
    return Row(cells=cells, gap=_GUTTER_MM, space_after_mm=_BELOW_MM, keep_together=True)


def _block(view: View) -> Block:
    drawing = Drawing(items=view.items, width=view.width, height=view.height, title=view.title)
    return KeepTogether(blocks=(Paragraph(text=view.title, style=_TITLE), drawing), space_after_mm=_BELOW_MM)


def _sheet(context: Context, paper: Paper, items: tuple[Item, ...], number: int) -> Sheet:
    words = _WITH_NAMES if has_names(context) else _WORDS
    return companion_sheet(context, paper, items, words, "Seen from outside", f"Outside {number}")
