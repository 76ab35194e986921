"""The lines of the survey sheet: what to find, its square, the side it is on, its height, remarks.

A known point is printed; a missing one has an open circle, boxes to tick and room to write.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from guidegen.documents.parts import INK, badge
from guidegen.documents.writing import BOX_MM, ticking, write_line
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Circle, Colour, Item, Line, Rect, Style, Text
from guidegen.paper.blocks import HAIRLINE_MM, Block, draw_lines
from guidegen.paper.flow import Frame
from guidegen.paper.text import TextLine, TextStyle, height_mm, wrap
from guidegen.vehicle.model import HEIGHTS

SIDES = ("inside", "nearside", "offside", "front", "rear")
HEADS_MM = 22.0  # of the words over the boxes, set upright
KNOWN_HEADS_MM = 5.0
ROW_MM, KNOWN_ROW_MM = 9.0, 6.6
_NAME = TextStyle(8.5, "bold", INK, 1.15, "en")
_KIND = TextStyle(7.5, "regular", INK, 1.15, "en")
_STEP_MM = 7.2
_MARK_MM, _NAME_MM, _SQUARE_MM = 8.0, 66.0, 15.0
_GAP_MM = 3.0
_OPEN = Style(fill=WHITE, stroke=INK, width_mm=0.35, dash_mm=(0.9, 0.7))
_BETWEEN = Style(stroke="#8c8c8c", width_mm=0.25, dash_mm=(0.8, 0.8))
_WORD = TextStyle(8.0, "regular", INK)


class Columns(Struct, frozen=True):
    """Where the columns begin, from the left of a row."""

    fitted: bool  # there is a box to say that the thing is not fitted

    @property
    def square(self) -> float:
        return _MARK_MM + _NAME_MM + _GAP_MM + (_STEP_MM + _GAP_MM if self.fitted else 0.0)

    @property
    def none(self) -> float:
        return _MARK_MM + _NAME_MM + _GAP_MM

    @property
    def sides(self) -> float:
        return self.square + _SQUARE_MM + _GAP_MM

    @property
    def heights(self) -> float:
        return self.sides + len(SIDES) * _STEP_MM + _GAP_MM

    @property
    def remarks(self) -> float:
        return self.heights + len(HEIGHTS) * _STEP_MM + _GAP_MM


class MissingRow(Block, frozen=True, kw_only=True):
    """A point to find: open circle with a running number, name, the words to type, boxes to tick."""

    columns: Columns
    mark: str
    title: str  # "" for a line to write on
    keys: str = ""  # "kind: isolation-valve, serves: hob"
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return max(ROW_MM, sum(height_mm(lines) for lines in self._lines()) + 1.2)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return tuple(self._items(x, y, width_mm))

    @property
    def name(self) -> str:
        return self.title or "another point"

    def _lines(self) -> tuple[tuple[TextLine, ...], tuple[TextLine, ...]]:
        return wrap(self.title, _NAME_MM, _NAME), wrap(self.keys, _NAME_MM, _KIND)

    def _items(self, x: float, y: float, width_mm: float) -> Iterator[Item]:
        name, keys = self._lines()
        height = self.height_mm(width_mm)
        middle = y + height / 2
        yield _rule(x, y + height, width_mm)
        yield Circle(x + 2.9, middle, 2.8, _OPEN, css="open")
        if self.mark:
            size = 8.5 if len(self.mark) < 3 else 7.0
            yield Text(x + 2.9, middle + cap_height_mm(size) / 2, self.mark, size, "bold", INK, "middle")
        left, top = x + _MARK_MM, middle - (height_mm(name) + height_mm(keys)) / 2
        yield from draw_lines(name, left, top, _NAME_MM)
        yield from draw_lines(keys, left, top + height_mm(name), _NAME_MM)
        if not self.title:
            yield write_line(left, y + height - 1.2, _NAME_MM)
        yield from self._boxes(x, middle)

    def _boxes(self, x: float, middle: float) -> Iterator[Item]:
        top, columns = middle - BOX_MM / 2, self.columns
        if columns.fitted:
            yield from ticking(x + columns.none, top)
        edge = Style(fill=WHITE, stroke=INK, width_mm=0.25)
        yield Rect(x + columns.square, middle - 3.4, _SQUARE_MM, 6.8, edge, radius=0.5)
        between = x + columns.square + _SQUARE_MM / 2  # the letter stands before it, the figure behind
        yield Line(((between, middle - 3.4), (between, middle + 3.4)), _BETWEEN)
        for words, start in ((SIDES, columns.sides), (HEIGHTS, columns.heights)):
            for n in range(len(words)):
                yield from ticking(x + start + n * _STEP_MM, top)


class KnownRow(Block, frozen=True, kw_only=True):
    """A point that the file places already, with its square and words."""

    columns: Columns
    number: int
    title: str
    square: str
    side: str
    height: str
    place: str
    colour: Colour = INK
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return max(KNOWN_ROW_MM, *(height_mm(lines) + 1.0 for lines in self._lines(width_mm)))

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return tuple(self._items(x, y, width_mm))

    @property
    def name(self) -> str:
        return self.title

    def _lines(self, width_mm: float) -> tuple[tuple[TextLine, ...], tuple[TextLine, ...]]:
        room = width_mm - self.columns.remarks
        return wrap(self.title, _NAME_MM, _NAME), wrap(self.place, room, _KIND)

    def _items(self, x: float, y: float, width_mm: float) -> Iterator[Item]:
        name, place = self._lines(width_mm)
        height = self.height_mm(width_mm)
        middle = y + height / 2
        yield _rule(x, y + height, width_mm)
        yield from badge(self.number, x + 2.9, middle, self.colour)
        yield from draw_lines(name, x + _MARK_MM, middle - height_mm(name) / 2, _NAME_MM)
        baseline = middle + cap_height_mm(8.5) / 2
        columns = self.columns
        square = x + columns.square + _SQUARE_MM / 2
        yield Text(square, baseline, self.square, 8.5, "bold", INK, "middle")
        yield Text(x + columns.sides, baseline, self.side, 8.5, "regular", INK)
        yield Text(x + columns.heights, baseline, self.height, 8.5, "regular", INK)
        yield from draw_lines(place, x + columns.remarks, middle - height_mm(place) / 2, width_mm)


def _rule(x: float, y: float, width_mm: float) -> Line:
    style = Style(stroke="#8c8c8c", width_mm=HAIRLINE_MM, round_ends=False)
    return Line(((x, y), (x + width_mm, y)), style)


def column_heads(columns: Columns, frame: Frame) -> Iterator[Item]:
    """The very words of the file over the boxes, reading upwards."""
    foot = frame.y - 1.8
    yield Text(frame.x + _MARK_MM, foot, "To find, and what to type for it", 8.0, "bold", INK)
    yield Text(frame.x + columns.square + _SQUARE_MM / 2, foot, "grid:", 8.0, "bold", INK, "middle")
    if columns.fitted:
        yield from _upright(("not fitted",), frame.x + columns.none, foot)
    yield from _upright(SIDES, frame.x + columns.sides, foot)
    yield from _upright(HEIGHTS, frame.x + columns.heights, foot)
    group = frame.y - HEADS_MM + 2.4
    yield Text(frame.x + columns.sides, group, "on:", 8.0, "bold", INK)
    yield Text(frame.x + columns.heights, group, "height:", 8.0, "bold", INK)
    yield Text(frame.x + columns.remarks, foot, "Place; remarks, note:", 8.0, "bold", INK)


def known_heads(columns: Columns, frame: Frame) -> Iterator[Item]:
    """The words over points that the file places already."""
    foot = frame.y - 1.8
    yield Text(frame.x + _MARK_MM, foot, "Known already", 8.0, "bold", INK)
    yield Text(frame.x + columns.square + _SQUARE_MM / 2, foot, "grid:", 8.0, "bold", INK, "middle")
    yield Text(frame.x + columns.sides, foot, "on:", 8.0, "bold", INK)
    yield Text(frame.x + columns.heights, foot, "height:", 8.0, "bold", INK)
    yield Text(frame.x + columns.remarks, foot, "Place", 8.0, "bold", INK)


def _upright(words: Sequence[str], x: float, foot: float) -> Iterator[Item]:
    rise = cap_height_mm(_WORD.size_pt)
    for n, word in enumerate(words):
        at = x + n * _STEP_MM + (BOX_MM + rise) / 2
        yield Text(at, foot, word, _WORD.size_pt, _WORD.weight, _WORD.colour, turn_deg=-90)
