"""The rows of the check sheet: a point with three boxes and a reading, a reading taken three times."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.documents.parts import BADGE_MM, INK, badge, badge_width_mm
from guidegen.documents.writing import BOX_MM, LINE_MM, ticking, writing
from guidegen.drawing.primitives import Colour, Item, Line, Style, Text
from guidegen.paper.blocks import HAIRLINE_MM, Block, draw_lines
from guidegen.paper.flow import Frame
from guidegen.paper.text import Span, TextLine, TextStyle, height_mm, wrap
from guidegen.vehicle.readings import plain_name

COLUMN_HEADS_MM = 4.5
CHECKS = {"first": "First check", "sale": "Check before sale", "handover": "Check at handover"}
_NAME = TextStyle(8.5, "bold", INK, 1.15, "en")
_PLAIN = TextStyle(8.5, "regular", INK, 1.15, "en")
_PLACE = TextStyle(7.5, "regular", INK, 1.15, "en")
_HEAD = TextStyle(7.5, "bold", INK)
_LEFT_MM = BADGE_MM + 2.2
_BOX_STEP_MM = BOX_MM + 1.7
_BOXES_MM = 3 * BOX_MM + 2 * 1.7
_READING_MM = 14.0
_GAP_MM = 1.8
PAD_MM, CLOSE_PAD_MM, INLINE_PAD_MM = 0.8, 0.6, 0.45  # over and under a row
_CELL_MM, _CELL_GAP_MM = 14.0, 1.5
_CELLS_MM = 3 * _CELL_MM + 2 * _CELL_GAP_MM
_ONCE_MM = 13.0  # to write what is written once for the three checks
_LEAST_ROW_MM = LINE_MM  # room to write by hand
_OVER_PAD_MM = 0.8
READINGS_AGAIN = "Readings, continued"  # over a column that begins among them
REMARKS_AGAIN = "Remarks, continued"
_YES = {"yes", "true", "ok"}


def _tooltip(title: str, check: str) -> str:
    return f"{title}: {CHECKS[check][:1].lower()}{CHECKS[check][1:]}"


def _rule(x: float, y: float, width: float) -> Line:
    return Line(((x, y), (x + width, y)), Style(stroke="#8c8c8c", width_mm=HAIRLINE_MM, round_ends=False))


class CheckRow(Block, frozen=True, kw_only=True):
    """Badge, name, place (a line to write on when it is empty), three boxes, a line for a reading."""

    number: int | str
    title: str
    place: str
    field: str  # what the names of its fields begin with
    colour: Colour = INK
    inline: bool = False  # the place runs on behind the name
    pad_mm: float = PAD_MM
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        name, place = self._lines(width_mm)
        below = height_mm(place) if self.place else _LEAST_ROW_MM
        return max(_LEAST_ROW_MM, height_mm(name) + below + 2 * self.pad_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return tuple(self._items(x, y, width_mm))

    @property
    def name(self) -> str:
        return self.title

    def _text_mm(self, width_mm: float) -> float:
        return width_mm - _LEFT_MM - 2 * _GAP_MM - _BOXES_MM - _READING_MM

    def _lines(self, width_mm: float) -> tuple[tuple[TextLine, ...], tuple[TextLine, ...]]:
        room = self._text_mm(width_mm)
        if self.inline and self.place:
            words = (Span(self.title + "  "), Span(self.place, "regular"))
            return wrap(words, room, _NAME.at(8.0)), ()
        return wrap(self.title, room, _NAME), wrap(self.place, room, _PLACE)

    def _items(self, x: float, y: float, width_mm: float) -> Iterator[Item]:
        name, place = self._lines(width_mm)
        room, height = self._text_mm(width_mm), self.height_mm(width_mm)
        said = f"{self.number} {self.title}" if self.place else self.title
        yield _rule(x, y + height, width_mm - _READING_MM - _GAP_MM)
        middle = y + self.pad_mm + max(_NAME.line_mm, BADGE_MM) / 2
        shift = max(0.0, badge_width_mm(self.number) - BADGE_MM) / 2
        left, top = x + _LEFT_MM + shift, y + self.pad_mm
        if self.inline:
            top = y + (height - height_mm(name) - height_mm(place)) / 2
            middle = y + height / 2
        yield from badge(self.number, x + BADGE_MM / 2 + shift, middle, self.colour)
        yield from draw_lines(name, left, top, room)
        if self.place:
            yield from draw_lines(place, left, top + height_mm(name), room)
        else:
            word = "Place"
            start = _PLACE.width_mm(word) + 1.5
            foot = y + height - self.pad_mm - 0.4
            yield Text(left, foot - 0.6, word, _PLACE.size_pt, colour=INK)
            yield from writing(
                left + start,
                foot - LINE_MM,
                room - start,
                LINE_MM,
                f"{self.field}-place",
                tooltip=f"{said}: place",
            )
        at = x + _LEFT_MM + room + _GAP_MM
        for n, check in enumerate(CHECKS):
            field, tip = f"{self.field}-{check}", _tooltip(said, check)
            yield from ticking(at + n * _BOX_STEP_MM, middle - BOX_MM / 2, field, tooltip=tip)
        start, line = x + width_mm - _READING_MM, min(height, _LEAST_ROW_MM)
        field, tip = f"{self.field}-reading", f"{said}: reading"
        yield from writing(start, y + height - line, _READING_MM, line, field, tooltip=tip)


class ReadingRow(Block, frozen=True, kw_only=True):
    """Name and what is usual, then the three checks: a box to tick, or a line to write on.

    once: a word behind what is usual, with a line for what is the same at all three checks. A single value
    has one line in place of the three.
    """

    title: str
    usual: str
    values: tuple[str, ...]
    tick: bool
    once: str = ""
    once_unit: str = ""
    once_value: str = ""
    over: str = ""  # a line over the row, of this reading and those that follow
    keep_together: bool = True
    keep_with_next: bool = False

    def height_mm(self, width_mm: float) -> float:
        return self._over_mm(width_mm) + self._row_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return tuple(self._items(x, y, width_mm))

    @property
    def name(self) -> str:
        return self.title

    @property
    def field(self) -> str:
        return "-".join(("reading", *plain_name(self.title).replace(".", "_").split()))

    def _over_mm(self, width_mm: float) -> float:
        return height_mm(self._over(width_mm)) + 2 * _OVER_PAD_MM if self.over else 0.0

    def _over(self, width_mm: float) -> tuple[TextLine, ...]:
        return wrap(self.over, width_mm, _PLACE)

    def _row_mm(self, width_mm: float) -> float:
        name, usual = self._lines(width_mm)
        return max(_LEAST_ROW_MM, height_mm(name) + height_mm(usual) + 0.8)

    def _text_mm(self, width_mm: float) -> float:
        return width_mm - 3 * (_CELL_MM + _CELL_GAP_MM) - 0.5

    def _lines(self, width_mm: float) -> tuple[tuple[TextLine, ...], tuple[TextLine, ...]]:
        room = self._text_mm(width_mm)
        title, usual = self.title, self.usual
        if self.once:
            usual = f"{usual}; {self.once}"
        elif usual and not any(letter.isdigit() for letter in usual):  # a unit alone
            title, usual = f"{title}, {usual}", ""
        return wrap(title, room, _PLAIN), (*wrap(usual, room, _PLACE), *self._remarks(room))

    def _remarks(self, room: float) -> tuple[TextLine, ...]:
        """Values that are too long for their cell, below the name, behind the figure of their check."""
        long = [(n, value) for n, value in enumerate(self.values, 1) if not self._in_cell(value)]
        words = [value if len(self.values) == 1 else f"{n}: {value}" for n, value in long]
        return tuple(line for value in words for line in wrap(value, room, _PLACE))

    def _in_cell(self, value: str) -> bool:
        if self.tick:
            return not value or value.lower() in _YES
        room = _CELLS_MM if len(self.values) == 1 else _CELL_MM
        return _PLACE.at(7.0).width_mm(value) <= room - 1.6

    def _items(self, x: float, y: float, width_mm: float) -> Iterator[Item]:
        name, usual = self._lines(width_mm)
        if self.over:
            yield from draw_lines(self._over(width_mm), x, y + _OVER_PAD_MM, width_mm)
            y += self._over_mm(width_mm)
        height = self._row_mm(width_mm)
        yield _rule(x, y + height, width_mm if self.tick else self._text_mm(width_mm))
        top = y + (height - height_mm(name) - height_mm(usual)) / 2
        yield from draw_lines(name, x, top, width_mm)
        yield from draw_lines(usual, x, top + height_mm(name), width_mm)
        if self.once:
            start, line = x + self._text_mm(width_mm) - _ONCE_MM, _LEAST_ROW_MM
            field, tip = f"{self.field}-{self.once}", f"{self.title}: {self.once}, {self.once_unit}"
            yield from writing(start, y + height - line, _ONCE_MM, line, field, self.once_value, tip)
        if len(self.values) == 1:
            (value,), line = self.values, _LEAST_ROW_MM
            shown = value if self._in_cell(value) else ""
            at = (x + width_mm - _CELLS_MM, y + height - line)
            yield from writing(*at, _CELLS_MM, line, self.field, shown, self.title)
            return
        for n, (check, value) in enumerate(zip(CHECKS, self.values, strict=True)):
            start = x + width_mm - (3 - n) * (_CELL_MM + _CELL_GAP_MM) + _CELL_GAP_MM
            yield from self._cell(start, y, height, check, value)

    def _cell(self, x: float, y: float, height: float, check: str, value: str) -> Iterator[Item]:
        title = f"{self.title}, {self.usual}" if self.usual else self.title
        field, tip = f"{self.field}-{check}", _tooltip(title, check)
        if self.tick:
            yield from ticking(x, y + (height - BOX_MM) / 2, field, value.lower() in _YES, tip)
        else:
            line, shown = _LEAST_ROW_MM, value if self._in_cell(value) else ""
            yield from writing(x, y + height - line, _CELL_MM, line, field, shown, tip)


class ReadingsHead(Block, frozen=True, kw_only=True):
    """The heading of the readings, with the figures of the three checks over their cells."""

    text: str
    style: TextStyle = TextStyle(11.0, "bold", INK)
    keep_with_next: bool = True
    keep_together: bool = True
    space_before_mm: float = 5.0
    space_after_mm: float = 0.6

    def height_mm(self, width_mm: float) -> float:
        return self.style.line_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        baseline = y + self.style.baseline_mm
        title = Text(x, baseline, self.text, self.style.size_pt, "bold", INK)
        return (title, *_figures(_reading_middles(x, width_mm), baseline))

    @property
    def name(self) -> str:
        return self.text


def column_heads(row: Block, frame: Frame) -> Iterator[Item]:
    """What stands in the room above a column that begins with that row: the figures of the three checks."""
    baseline = frame.y - 1.2
    if not isinstance(row, CheckRow | ReadingRow):
        yield Text(frame.x, baseline, REMARKS_AGAIN, 8.5, "bold", INK)
        return
    if isinstance(row, ReadingRow):
        yield Text(frame.x, baseline, READINGS_AGAIN, 8.5, "bold", INK)
        yield from _figures(_reading_middles(frame.x, frame.width), baseline)
        return
    start = frame.x + frame.width - _READING_MM - _GAP_MM - _BOXES_MM
    yield from _figures([start + n * _BOX_STEP_MM + BOX_MM / 2 for n in range(3)], baseline)
    yield Text(frame.x + frame.width - _READING_MM, baseline, "Reading", 7.5, "bold", INK)


def _reading_middles(x: float, width: float) -> list[float]:
    return [x + width - (3 - n) * (_CELL_MM + _CELL_GAP_MM) + _CELL_GAP_MM + BOX_MM / 2 for n in range(3)]


def _figures(middles: Sequence[float], baseline: float) -> Iterator[Item]:
    for number, at in enumerate(middles, 1):
        yield Text(at, baseline, str(number), _HEAD.size_pt, "bold", INK, "middle")
