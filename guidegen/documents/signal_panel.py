"""Messages of one rank under one signal word: grouped messages, as ANSI Z535.6 has them (from memory).

The bar has the ground that ISO 3864-2 gives the word. A danger stands out from a warning by more than its
colour: a heavy edge, a tinted ground and larger type, which a grey print keeps.
"""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.parts import CAUTION_GROUND, SIGNAL_COLOURS, edge_of
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Item, Rect, Style, Text
from guidegen.drawing.symbols import symbol
from guidegen.paper.blocks import Block, Drawing, Paragraph, Rule
from guidegen.paper.containers import Cell, Columns, Row
from guidegen.paper.text import Span, TextStyle
from guidegen.trade.records import Signal

_PADDING_MM, _BAR_PADDING_MM, _BETWEEN_MM, _GAP_MM, _GUTTER_MM = 2.0, 1.3, 1.6, 2.6, 6.0
_RIGHT_MM = 1.2  # more: a full line ends nearer to the edge than a sign begins
_SIGN_PT = 0.9  # mm of a sign for each pt of its text


class Message(Struct, frozen=True):
    """What a panel says, beside the symbol of an ISO 7010 sign."""

    text: str
    sign: str


class SignalPanel(Block, frozen=True, kw_only=True, dict=True):
    """A bar with the signal word over its messages; splits between them, the word on both parts."""

    signal: Signal
    messages: tuple[Message, ...]
    style: TextStyle
    columns: int = 1

    def height_mm(self, width_mm: float) -> float:
        return self._bar_mm + self._body(width_mm).height_mm(_inner_mm(width_mm)) + 2 * _PADDING_MM

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        colours, edge = SIGNAL_COLOURS[self.signal], edge_of(self.signal)
        half, height = edge.width_mm / 2, self.height_mm(width_mm)
        outer = replace(edge, fill=CAUTION_GROUND if self.signal == "danger" else WHITE)
        word = self.style.bold
        middle = y + self._bar_mm / 2 + cap_height_mm(word.size_pt) / 2
        return (
            Rect(x + half, y + half, width_mm - 2 * half, height - 2 * half, outer),
            Rect(x, y, width_mm, self._bar_mm, Style(fill=colours.ground)),
            Rect(x + half, y + half, width_mm - 2 * half, height - 2 * half, replace(edge, fill=None)),
            Text(x + _PADDING_MM, middle, self.signal.upper(), word.size_pt, "bold", colours.text),
            *self._body(width_mm).draw(x + _PADDING_MM, y + self._bar_mm + _PADDING_MM, _inner_mm(width_mm)),
        )

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        for count in range(len(self.messages) - 1, 0, -1):
            head = replace(self, messages=self.messages[:count], space_after_mm=0.0, keep_with_next=False)
            if head.height_mm(width_mm) <= height_mm:
                return head, replace(self, messages=self.messages[count:], space_before_mm=0.0)
        return None

    @property
    def name(self) -> str:
        return f"{self.signal.upper()} {self.messages[0].text}"

    @property
    def _bar_mm(self) -> float:
        return cap_height_mm(self.style.size_pt) + 2 * _BAR_PADDING_MM

    @cached_property
    def _bodies(self) -> dict[float, Block]:
        """By width: height and drawing both ask."""
        return {}

    def _body(self, width_mm: float) -> Block:
        inner = _inner_mm(width_mm)
        if inner not in self._bodies:
            column = (inner - (self.columns - 1) * _GUTTER_MM) / self.columns
            rule = Rule(space_before_mm=_BETWEEN_MM, space_after_mm=_BETWEEN_MM, between_only=True)
            rows = [_row(one, self.style, column, lead=self.signal == "danger") for one in self.messages]
            blocks = tuple(block for row in rows for block in (rule, row))[1:]
            self._bodies[inner] = Columns(blocks=blocks, count=self.columns, gap=_GUTTER_MM)
        return self._bodies[inner]


def _inner_mm(width_mm: float) -> float:
    return width_mm - 2 * _PADDING_MM - _RIGHT_MM


def _row(message: Message, style: TextStyle, width_mm: float, lead: bool) -> Row:
    """Sign and text, the lower in the middle of the higher; the first sentence of what leads is bold."""
    size = _SIGN_PT * style.size_pt
    first, stop, rest = message.text.partition(". ")
    bold = lead and bool(rest)
    words = (Span(first + stop, "bold"), Span(rest)) if bold else message.text
    text = Paragraph(text=words, style=style)
    spare = size - text.height_mm(width_mm - size - _GAP_MM)
    sign = Drawing(
        items=(symbol(message.sign, 0.0, 0.0, size),),
        width=size,
        height=size,
        baseline=style.baseline_mm + spare / 2,
    )
    return Row(cells=(Cell(sign, size), Cell(text)), gap=_GAP_MM)
