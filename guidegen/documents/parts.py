"""Common parts of the documents: badges, tick boxes, step and key rows, cautions, footers, scale bars."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import (
    BLACK,
    WHITE,
    Circle,
    Colour,
    Group,
    Item,
    Line,
    Rect,
    Style,
    Text,
)
from guidegen.drawing.symbols import symbol
from guidegen.paper.blocks import Block, Drawing, Paragraph, Rule, Spacer
from guidegen.paper.containers import Boxed, Cell, Row, Stack
from guidegen.paper.text import SMALL_PT, Span, TextStyle, Words, fit_size, spans_of
from guidegen.trade.records import Signal

INK: Colour = "#1a1a1a"
SOFT_INK: Colour = "#404040"
BADGE_MM = 5.2
TICK_BOX_MM = 3.4
NOT_LOCATED = "Not located yet: have it shown to you at the handover."  # of a point that nobody has placed
_STEP_TICK_MM = 4.0  # large enough for a pen
_BADGE_GAP_MM = 0.6
_THIRD_FIGURE_MM = 2.0


class SignalColours(Struct, frozen=True):
    """Of the signal word's own panel."""

    ground: Colour
    text: Colour


# ISO 3864-2, clause 5: white on red, black on orange, black on yellow; ANSI Z535.6 adds white on blue for
# NOTICE. Hex values near the ISO 3864-4 safety colours, from memory, dark or light enough for 7:1.
SIGNAL_COLOURS: dict[Signal, SignalColours] = {
    "danger": SignalColours("#9b1c1f", WHITE),
    "warning": SignalColours("#ff8c1a", BLACK),
    "caution": SignalColours("#f9b500", BLACK),
    "notice": SignalColours("#0a4a85", WHITE),
}
CAUTION_GROUND: Colour = "#ffeb99"
_NOTICE_GROUND: Colour = "#ffffff"


def badge(
    number: int | str, x: float, y: float, colour: Colour = INK, badge_mm: float = BADGE_MM
) -> tuple[Item, ...]:
    """A callout number about x, y: dark on white, edged in the colour; a circle, longer for three figures."""
    text = str(number)
    edge = 0.45 if badge_mm >= BADGE_MM else 0.3
    style = Style(fill=WHITE, stroke=colour, width_mm=edge)
    radius = (badge_mm - edge) / 2
    width = badge_width_mm(number, badge_mm) - edge
    size = SMALL_PT * min(1.0, badge_mm / BADGE_MM) ** 0.5
    ring: Item = Circle(x, y, radius, style, css="badge")
    if width > 2 * radius + 1e-9:
        ring = Rect(x - width / 2, y - radius, width, 2 * radius, style, radius=radius, css="badge")
    return ring, Text(x, y + cap_height_mm(size) / 2, text, size, "bold", INK, "middle")


def badge_width_mm(number: int | str, badge_mm: float = BADGE_MM) -> float:
    """How wide the badge of that number is, for badges of that height."""
    return badge_mm if len(str(number)) < 3 else badge_mm + _THIRD_FIGURE_MM


def badges(
    numbers: Sequence[int | str],
    per_line: int = 2,
    size_pt: float = SMALL_PT,
    colour: Colour = INK,
    badge_mm: float = BADGE_MM,
) -> Drawing:
    """Badges side by side, at most per_line round ones on a line, on the baseline of text of that size.

    Longer badges take more room; a single one may be wider than per_line says.
    """
    column = per_line * (badge_mm + _BADGE_GAP_MM) - _BADGE_GAP_MM
    items: list[Item] = []
    x, y, width = 0.0, 0.0, 0.0
    for number in numbers:
        wide = badge_width_mm(number, badge_mm)
        if x and x + wide > column + 1e-9:
            x, y = 0.0, y + badge_mm + _BADGE_GAP_MM
        items += badge(number, x + wide / 2, y + badge_mm / 2, colour, badge_mm)
        width = max(width, x + wide)
        x += wide + _BADGE_GAP_MM
    return Drawing(
        items=tuple(items),
        width=width,
        height=y + badge_mm if numbers else 0.0,
        baseline=badge_mm / 2 + cap_height_mm(size_pt) / 2 if numbers else None,
        title="badges " + ", ".join(str(number) for number in numbers),
    )


def tick_box(x: float, y: float, size_mm: float = TICK_BOX_MM) -> Rect:
    """An empty box to tick by hand; x, y is its top left corner."""
    half = 0.125
    side = size_mm - 2 * half
    return Rect(x + half, y + half, side, side, Style(fill=WHITE, stroke=INK, width_mm=0.25), radius=0.4)


def tick_box_block(size_pt: float = SMALL_PT, size_mm: float = TICK_BOX_MM) -> Drawing:
    """A tick box that stands on the baseline of text of that size."""
    baseline = size_mm / 2 + cap_height_mm(size_pt) / 2
    return Drawing(items=(tick_box(0, 0, size_mm),), width=size_mm, height=size_mm, baseline=baseline)


def tick_mark(x: float, baseline: float, size_pt: float, colour: Colour = INK) -> Line:
    """A drawn tick as high as the capitals of the text beside it; x is its left."""
    height = cap_height_mm(size_pt)
    points = (
        (x, baseline - 0.45 * height),
        (x + 0.4 * height, baseline),
        (x + 1.2 * height, baseline - height),
    )
    return Line(points, Style(stroke=colour, width_mm=0.12 * height))


def checked(text: Words, style: TextStyle) -> Row:
    """What shows that a step worked, behind a drawn tick."""
    height = cap_height_mm(style.size_pt)
    tick = Drawing(
        items=(tick_mark(0.1, height, style.size_pt),), width=1.4 * height, height=height, baseline=height
    )
    return Row(cells=(Cell(tick, 1.4 * height), Cell(Paragraph(text=text, style=style))), gap=1.0)


class StepRow(Block, frozen=True, kw_only=True, dict=True):
    """One step: tick box, callout numbers, bold action, place in regular below it, what shows that it worked.

    Spans of the action keep their own weight, a plain text is set bold. badge_lines is how many badges stand
    side by side; the column keeps that width with fewer, so that the texts of all rows start alike.
    """

    action: Words
    numbers: tuple[int | str, ...] = ()
    place: Words = ""
    check: Words = ""
    style: TextStyle = TextStyle(SMALL_PT, colour=INK, leading=1.25)
    tick: bool = True
    badges_side_by_side: int = 2
    keep_together: bool = True
    space_before_mm: float = 1.6
    space_after_mm: float = 1.6

    @cached_property
    def row(self) -> Row:
        """The same as a row of cells."""
        beside = self.badges_side_by_side
        column = beside * (BADGE_MM + _BADGE_GAP_MM) - _BADGE_GAP_MM
        drawn = badges(self.numbers, beside, self.style.size_pt)
        cells = [Cell(drawn, max(column, drawn.width)), Cell(self._texts())]
        if self.tick:
            cells.insert(0, Cell(tick_box_block(self.style.size_pt, _STEP_TICK_MM), _STEP_TICK_MM))
        return Row(cells=tuple(cells), gap=1.8)

    def height_mm(self, width_mm: float) -> float:
        return self.row.height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self.row.draw(x, y, width_mm)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.row.first_baseline_mm(width_mm)

    @property
    def name(self) -> str:
        return "".join(span.text for span in spans_of(self.action))

    def _texts(self) -> Stack:
        parts: list[Block] = [Paragraph(text=self.action, style=self.style.bold)]
        if self.place:
            parts.append(Paragraph(text=self.place, style=self.style))
        if self.check:
            parts.append(checked(self.check, self.style))
        return Stack(blocks=tuple(parts), keep_together=True)


class CautionBox(Block, frozen=True, kw_only=True, dict=True):
    """A caution before its step: sign of ISO 7010 and signal word of ISO 3864-2, black text on yellow.

    sign is the name of a symbol ("w001" …), "" for none. A notice stands on white: it warns of no injury.
    """

    signal: Signal
    text: Words
    sign: str = ""
    style: TextStyle = TextStyle(SMALL_PT, leading=1.25)
    sign_mm: float = 8.0
    padding_mm: float = 1.6
    gap_mm: float = 2.0
    edge_mm: float = 0.35
    radius_mm: float = 0.8
    right_mm: float = 0.0  # clear at the right of the text, beyond the padding
    keep_together: bool = True
    keep_with_next: bool = True
    space_before_mm: float = 2.0
    space_after_mm: float = 2.0

    @cached_property
    def box(self) -> Boxed:
        """The same as a box of blocks."""
        cells = [Cell(self._words())]
        if self.sign:
            sign = Drawing(
                items=(symbol(self.sign, 0, 0, self.sign_mm),), width=self.sign_mm, height=self.sign_mm
            )
            cells.insert(0, Cell(sign, self.sign_mm))
        row: Block = Row(cells=tuple(cells), gap=self.gap_mm)
        if self.right_mm:
            row = Row(cells=(Cell(row), Cell(Spacer(height=0.0), self.right_mm)), gap=0.0)
        ground = _NOTICE_GROUND if self.signal == "notice" else CAUTION_GROUND
        return Boxed(
            blocks=(row,),
            style=replace(edge_of(self.signal, self.edge_mm, self.padding_mm / 2), fill=ground),
            padding_mm=self.padding_mm,
            radius_mm=self.radius_mm,
        )

    def height_mm(self, width_mm: float) -> float:
        return self.box.height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self.box.draw(x, y, width_mm)

    @property
    def name(self) -> str:
        return f"{self.signal.upper()} " + "".join(span.text for span in spans_of(self.text))

    def _words(self) -> Block:
        head = signal_word(self.signal, self.style.size_pt)
        return Stack(blocks=(head, Paragraph(text=self.text, style=self.style)), keep_together=True)


def edge_of(signal: Signal, width_mm: float = 0.35, heavy_mm: float = 0.8) -> Style:
    """The border of a caution; that of a danger is heavy, so that it stands out in a grey print as well."""
    if signal == "danger":
        return Style(stroke=SIGNAL_COLOURS[signal].ground, width_mm=heavy_mm)
    return Style(stroke=BLACK, width_mm=width_mm)


def signal_word(signal: Signal, size_pt: float = SMALL_PT) -> Drawing:
    """The signal word in capitals on the ground that ISO 3864-2 gives it."""
    colours = SIGNAL_COLOURS[signal]
    style = TextStyle(size_pt, "bold", colours.text)
    word = signal.upper()
    height, pad = cap_height_mm(size_pt) + 1.8, 1.0
    width = style.width_mm(word) + 2 * pad
    ground = Rect(0, 0, width, height, Style(fill=colours.ground), radius=0.5)
    text = Text(pad, height - 0.9, word, size_pt, "bold", colours.text)
    return Drawing(items=(ground, text), width=width, height=height + 0.5, title=word)


class KeyRow(Block, frozen=True, kw_only=True, dict=True):
    """One service point in the key: bar in the system's colour, badge, symbol, name, place."""

    number: int | str
    name_text: Words
    place: Words = ""
    symbol_name: str = ""
    colour: Colour = INK
    style: TextStyle = TextStyle(SMALL_PT, colour=INK, leading=1.2)
    symbol_mm: float = 5.2
    padding_mm: float = 0.7
    target: str = ""
    keep_together: bool = True

    @cached_property
    def row(self) -> Row:
        """The cells right of the bar."""
        size = self.style.size_pt
        name = tuple(
            Span(span.text, span.weight or "bold", span.colour, self.target or span.target)
            for span in spans_of(self.name_text)
        )
        texts: list[Block] = [Paragraph(text=name, style=self.style)]
        if self.place:
            texts.append(Paragraph(text=self.place, style=self.style))
        number = badges((self.number,), 1, size, self.colour)
        cells = [
            Cell(number, max(BADGE_MM, number.width)),
            Cell(Stack(blocks=tuple(texts))),
        ]
        if self.symbol_name:
            drawn = Drawing(
                items=(symbol(self.symbol_name, 0, 0, self.symbol_mm, INK),),
                width=self.symbol_mm,
                height=self.symbol_mm,
                baseline=self.symbol_mm / 2 + cap_height_mm(size) / 2,
            )
            cells.insert(1, Cell(drawn, self.symbol_mm))
        return Row(cells=tuple(cells), gap=1.8)

    def height_mm(self, width_mm: float) -> float:
        return self.row.height_mm(width_mm - self._bar_mm) + 2 * self.padding_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        bar = Rect(x, y, KEY_BAR_MM, self.height_mm(width_mm), Style(fill=self.colour))
        return (bar, *self.row.draw(x + self._bar_mm, y + self.padding_mm, width_mm - self._bar_mm))

    @property
    def name(self) -> str:
        return "".join(span.text for span in spans_of(self.name_text))

    @property
    def _bar_mm(self) -> float:
        return KEY_BAR_MM + 1.8


KEY_BAR_MM = 2.0


def place_rule() -> Rule:
    """The hairline between the steps of one place and those of the next."""
    return Rule(space_before_mm=1.6, space_after_mm=1.6, between_only=True)


def footer(
    left: str, page: str, x: float, baseline: float, width_mm: float, size_pt: float = 7.5
) -> tuple[Item, ...]:
    """A running footer: what the document is at the left, the page at the right.

    Raises DoesNotFit when the two do not fit side by side even at 7 pt.
    """
    style = TextStyle(size_pt, colour=SOFT_INK)
    room = width_mm - style.width_mm(page) - 4.0
    fitted = fit_size(left, room, style, place="the footer")
    return (
        Text(x, baseline, left, fitted.size_pt, colour=SOFT_INK),
        Text(x + width_mm, baseline, page, size_pt, colour=SOFT_INK, anchor="end"),
    )


def scale_bar(mm_on_paper_per_m: float, x: float, y: float, metres: int = 1, size_pt: float = 7.0) -> Group:
    """A bar of so many metres in black and white halves, its length written to its right; y is its middle."""
    length = metres * mm_on_paper_per_m
    edge = Style(fill=WHITE, stroke=INK, width_mm=0.18)
    half = Style(fill=INK, stroke=INK, width_mm=0.18)
    label = Text(x + length + 1.5, y + cap_height_mm(size_pt) / 2, f"{metres} m", size_pt, colour=SOFT_INK)
    bar = (Rect(x, y - 0.5, length, 1.0, edge), Rect(x, y - 0.5, length / 2, 1.0, half))
    return Group((*bar, label), css="scale-bar")
