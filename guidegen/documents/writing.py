"""What is filled in with a pen or on screen: lines to write on, boxes to tick, with a field over each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from guidegen.documents.parts import INK, SOFT_INK, tick_box
from guidegen.drawing.primitives import FormField, Item, Line, Style, Text
from guidegen.paper.blocks import Block, draw_lines
from guidegen.paper.containers import Cell, Row
from guidegen.paper.text import MM_PER_PT, TextStyle, Words, fit_size, height_mm, plain, wrap

LINE_MM = 7.0  # from one line to write on to the next
BOX_MM = 4.0
TICK_ROW_MM = 5.8
_WRITE = Style(stroke=SOFT_INK, width_mm=0.25, round_ends=False)
_TYPED = TextStyle(10.0, colour=INK)
_SIZE_OF_FIELD = 0.7  # of a field's height is the size of what is typed in it
_INDENT_MM = 0.75
_OVER_ENDS_MM = 0.3  # of lines that a field hides when something is typed
_LABEL = TextStyle(8.5, colour=INK, leading=1.2)


def write_line(x: float, y: float, width: float) -> Line:
    """A line to write on; y is the line."""
    return Line(((x, y), (x + width, y)), _WRITE)


def writing(
    x: float, y: float, width: float, height: float, name: str, value: str = "", tooltip: str = ""
) -> Iterator[Item]:
    """A line to write on at the foot of the box, and the field over it where it has a name.

    The field is as high as its type: a longer value is set smaller. Raises DoesNotFit when it does not fit.
    A value without a field is printed.
    """
    yield write_line(x, y + height, width)
    if name or value:
        size = fit_size(value, width - 2 * _INDENT_MM, _TYPED, place=f"the field “{tooltip or name}”").size_pt
    if value and not name:
        yield Text(x + _INDENT_MM, y + height - 0.9, value, size, colour=INK)
    if name:
        high = min(height - 0.6, size / _SIZE_OF_FIELD * MM_PER_PT)
        yield FormField(x, y + height - 0.2 - high, width, high, name, "text", value, tooltip or name)


def ticking(
    x: float, y: float, name: str = "", ticked: bool = False, tooltip: str = "", size: float = BOX_MM
) -> Iterator[Item]:
    """A box to tick with its top left corner at x, y, and the field over it where it has a name."""
    yield tick_box(x, y, size)
    if name:
        yield FormField(x, y, size, size, name, "tick", "yes" if ticked else "", tooltip or name)


class Blank(Struct, frozen=True):
    """A word with a line to write on behind it. name: of its field, "" for none; tooltip: else the label."""

    label: str
    name: str = ""
    value: str = ""
    share: float = 1.0
    tooltip: str = ""


class BlankRow(Block, frozen=True, kw_only=True):
    """Blanks side by side on one line of LINE_MM."""

    blanks: tuple[Blank, ...]
    style: TextStyle = _LABEL
    gap: float = 4.0
    line_mm: float = LINE_MM
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return self.line_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        total = sum(blank.share for blank in self.blanks)
        left = width_mm - self.gap * (len(self.blanks) - 1)
        items: list[Item] = []
        for blank in self.blanks:
            width = left * blank.share / total
            items += self._blank(blank, x, y, width)
            x += width + self.gap
        return tuple(items)

    def _blank(self, blank: Blank, x: float, y: float, width: float) -> Iterator[Item]:
        label = self.style.width_mm(blank.label) + 1.5 if blank.label else 0.0
        baseline = y + self.line_mm - 0.9
        if blank.label:
            yield Text(x, baseline, blank.label, self.style.size_pt, self.style.weight, self.style.colour)
        tooltip = blank.tooltip or blank.label
        yield from writing(x + label, y, width - label, self.line_mm - 0.3, blank.name, blank.value, tooltip)

    @property
    def name(self) -> str:
        return " · ".join(blank.label for blank in self.blanks)


class Lines(Block, frozen=True, kw_only=True):
    """Empty lines to write on; splits between lines. field: name of one field over all of them."""

    count: int
    field: str = ""
    tooltip: str = ""
    line_mm: float = LINE_MM

    def height_mm(self, width_mm: float) -> float:
        return self.count * self.line_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        lines: list[Item] = [write_line(x, y + (n + 1) * self.line_mm, width_mm) for n in range(self.count)]
        if self.field and self.count:
            height = self.count * self.line_mm - 0.8
            tooltip = self.tooltip or self.field
            box = (x - _OVER_ENDS_MM, y + 0.6, width_mm + 2 * _OVER_ENDS_MM, height)
            lines.append(FormField(*box, self.field, tooltip=tooltip))
        return tuple(lines)


class TickRow(Block, frozen=True, kw_only=True):
    """A box to tick and words beside it, with a short line behind them where something is counted."""

    text: Words
    field: str = ""
    ticked: bool = False
    count_field: str | None = None  # "" for a line without a field
    style: TextStyle = _LABEL
    count_mm: float = 11.0
    least_mm: float = TICK_ROW_MM
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        lines = wrap(self.text, self._room(width_mm), self.style)
        return max(self.least_mm, self._over_mm + self._drop_mm + height_mm(lines) + 0.4)

    @property
    def _over_mm(self) -> float:
        """Over the box: it stands where that of a single line does, in line with its neighbours."""
        return max(0.2, (self.least_mm - BOX_MM) / 2)

    @property
    def _drop_mm(self) -> float:
        """From the top of the box to that of the words: the first line is level with the box."""
        return max(0.0, (BOX_MM - self.style.line_mm) / 2)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        lines = wrap(self.text, self._room(width_mm), self.style)
        top, drop = y + self._over_mm, self._drop_mm
        words = draw_lines(lines, x + BOX_MM + 2.0, top + drop, width_mm)
        items: list[Item] = [*ticking(x, top, self.field, self.ticked, plain(self.text)), *words]
        if self.count_field is not None:
            start = x + width_mm - self.count_mm
            foot = top - y + drop + self.style.baseline_mm + 0.9
            tooltip = f"{plain(self.text)}: how many"
            items += writing(start, y, self.count_mm, foot, self.count_field, "", tooltip)
        return tuple(items)

    def _room(self, width_mm: float) -> float:
        return width_mm - BOX_MM - 2.0 - (self.count_mm + 2.0 if self.count_field is not None else 0.0)

    @property
    def name(self) -> str:
        return plain(self.text)


class AtLeast(Block, frozen=True, kw_only=True):
    """A block in a box of a least height."""

    block: Block
    least_mm: float
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return max(self.least_mm, self.block.height_mm(width_mm))

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self.block.draw(x, y, width_mm)

    @property
    def name(self) -> str:
        return self.block.name


def side_by_side(blocks: Sequence[Block], gap: float = 6.0) -> Row:
    """Blocks in columns of equal width."""
    return Row(cells=tuple(Cell(block) for block in blocks), gap=gap)
