"""How the pictures of the numbers look: text sizes, tints, hatching; lengths in mm."""

from __future__ import annotations

from msgspec import Struct

from guidegen.documents.parts import INK, SOFT_INK
from guidegen.drawing.primitives import Anchor, Colour, Item, Line, Rect, Style, Text
from guidegen.paper.text import TextStyle

HAIR = Style(stroke=INK, width_mm=0.18)
EDGE = Style(stroke=INK, width_mm=0.35)
LIMIT = Style(stroke=INK, width_mm=0.7, round_ends=False)
SPARE = Style(stroke=SOFT_INK, width_mm=0.18, dash_mm=(1.2, 0.8))
GREY: Colour = "#c6c6c6"  # darker than any tint beside it, so that a grey print keeps the difference


class Look(Struct, frozen=True):
    """The text sizes of one document."""

    body: TextStyle = TextStyle(10, colour=INK, leading=1.3)
    label: TextStyle = TextStyle(8.5, colour=INK, leading=1.2)
    small: TextStyle = TextStyle(8.5, colour=SOFT_INK, leading=1.18)

    @property
    def big(self) -> TextStyle:
        return TextStyle(1.6 * self.body.size_pt, "bold", INK, leading=1.1)


BOOKLET = Look(  # as the text beside it
    TextStyle(8.5, colour=INK, leading=1.3),
    TextStyle(8, colour=INK, leading=1.2),
    TextStyle(8, colour=SOFT_INK, leading=1.25),
)
LARGE_PRINT = Look(
    TextStyle(14, colour=INK, leading=1.3),
    TextStyle(14, colour=INK, leading=1.2),
    TextStyle(14, colour=SOFT_INK, leading=1.25),
)


def tint(colour: Colour, share: float) -> Colour:
    """The colour thinned with white; share 1 is the colour itself."""
    parts = (int(colour[n : n + 2], 16) for n in (1, 3, 5))
    return "#" + "".join(f"{round(255 - share * (255 - part)):02x}" for part in parts)


def put(x: float, baseline: float, text: str, style: TextStyle, anchor: Anchor = "start") -> Text:
    """One line of text in that style."""
    return Text(x, baseline, text, style.size_pt, style.weight, style.colour, anchor)


def hatched(x: float, y: float, width: float, height: float, step: float = 1.6) -> tuple[Item, ...]:
    """Lines at 45° that fill a box, cut at its edges, so that a grey print keeps them."""
    lines: list[Item] = []
    offset = step
    while offset < width + height:
        start = (x + max(0.0, offset - height), y + min(offset, height))
        end = (x + min(offset, width), y + max(0.0, offset - width))
        lines.append(Line((start, end), HAIR))
        offset += step
    return tuple(lines)


def box(x: float, y: float, width: float, height: float, fill: Colour | None, edge: Style = HAIR) -> Rect:
    """A filled box with that edge."""
    style = Style(fill=fill, stroke=edge.stroke, width_mm=edge.width_mm, dash_mm=edge.dash_mm)
    return Rect(x, y, width, height, style)
