"""The rows of the handover: the head of a stop, and a point with what to show and say there."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from guidegen.documents.parts import BADGE_MM, INK, badge, badge_width_mm
from guidegen.documents.writing import BOX_MM, ticking
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Colour, Item, Line, Rect, Style, Text
from guidegen.paper.blocks import Block, draw_lines
from guidegen.paper.text import DoesNotFit, TextLine, TextStyle, fit_size, height_mm, wrap

_TITLE = TextStyle(9.5, "bold", INK, 1.2, "en")
_LEAST_TITLE_PT = 8.5  # as the names below it
_NAME = TextStyle(8.5, "bold", INK, 1.2, "en")
_SAY = TextStyle(8.5, "regular", INK, 1.2, "en")
_PLACE = TextStyle(7.5, "regular", INK, 1.2, "en")
_WORDS_MM = 7.5  # from the left of a stop's tag
AGAIN_MM = 4.8 + 1.9  # of the head of a stop that goes on, with the air below it
_LEFT_MM = BOX_MM + 2.0 + BADGE_MM + 2.0


def stop_tag(number: int, x: float, y: float) -> tuple[Item, ...]:
    """The number of a stop, white on dark in a square about x, y: no badge is square."""
    text, width = str(number), tag_width_mm(number)
    ground = Rect(x - width / 2, y - 2.3, width, 4.6, Style(fill=INK), radius=0.5, css="stop")
    return ground, Text(x, y + cap_height_mm(8.5) / 2, text, 8.5, "bold", WHITE, "middle")


def tag_width_mm(number: int) -> float:
    return max(4.6, TextStyle(8.5, "bold").width_mm(str(number)) + 1.8)


class StopHead(Block, frozen=True, kw_only=True):
    """The number of a stop and where it is."""

    number: int
    text: str
    style: TextStyle = _TITLE
    keep_with_next: bool = True
    keep_together: bool = True
    space_before_mm: float = 3.6
    space_after_mm: float = 1.0

    def height_mm(self, width_mm: float) -> float:
        return max(4.8, height_mm(self._lines(width_mm)))

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        lines = self._lines(width_mm)
        height = self.height_mm(width_mm)
        words = draw_lines(lines, x + _WORDS_MM, y + (height - height_mm(lines)) / 2, width_mm)
        rule = Line(
            ((x, y + height + 0.6), (x + width_mm, y + height + 0.6)), Style(stroke=INK, width_mm=0.25)
        )
        return (*stop_tag(self.number, x + tag_width_mm(self.number) / 2, y + height / 2), *words, rule)

    def _lines(self, width_mm: float) -> tuple[TextLine, ...]:
        return wrap(self.text, width_mm - _WORDS_MM, self.style)

    @property
    def name(self) -> str:
        return self.text

    def again(self, width_mm: float) -> StopHead:
        """The head atop a column in which its stop goes on, in one line, a little smaller if need be."""
        whole = f"{self.text}, continued"
        try:
            style = fit_size(whole, width_mm - _WORDS_MM, self.style, _LEAST_TITLE_PT)
        except DoesNotFit:
            return replace(self, text=f"Stop {self.number}, continued")
        return replace(self, text=whole, style=style)


class ShowRow(Block, frozen=True, kw_only=True):
    """Box to tick, badge, name, place, what to say; like: the point to which that refers, 0 for none."""

    number: int
    title: str
    place: str
    say: str
    like: int = 0
    colour: Colour = INK
    keep_together: bool = True
    space_before_mm: float = 1.3
    space_after_mm: float = 1.3

    def height_mm(self, width_mm: float) -> float:
        return max(BADGE_MM, sum(height_mm(lines) for lines in self._texts(width_mm)))

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return tuple(self._items(x, y, width_mm))

    @property
    def name(self) -> str:
        return self.title

    def _texts(self, width_mm: float) -> tuple[tuple[TextLine, ...], ...]:
        room = width_mm - _LEFT_MM
        pairs = ((self.title, _NAME), (self.place, _PLACE), (self.say, _SAY))
        return tuple(wrap(text, room, style) for text, style in pairs)

    def _items(self, x: float, y: float, width_mm: float) -> Iterator[Item]:
        middle = y + BADGE_MM / 2
        yield from ticking(x, middle - BOX_MM / 2)
        width = badge_width_mm(self.number)
        yield from badge(self.number, x + BOX_MM + 2.0 + width / 2, middle, self.colour)
        top = y + max(0.0, (BADGE_MM - _NAME.line_mm - _PLACE.line_mm) / 2)
        left = x + _LEFT_MM + width - BADGE_MM
        for lines in self._texts(width_mm):
            yield from draw_lines(lines, left, top, width_mm)
            top += height_mm(lines)
