"""Rows and links of the guide: every badge leads to its place in the key, every key row can be reached."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Self

from msgspec.structs import replace

from guidegen.documents.guide.pages import Kit
from guidegen.documents.parts import BADGE_MM, INK, KEY_BAR_MM, badge, badge_width_mm
from guidegen.drawing.codes import qr_code
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Circle, Colour, Destination, Group, Item, Link, Rect, Style
from guidegen.drawing.symbols import symbol
from guidegen.errors import GuidegenError
from guidegen.paper.blocks import Block, Drawing, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.text import Span, TextStyle
from guidegen.vehicle.model import ServicePoint

CODE_MM, _LARGEST_CODE_MM, _CODE_GAP_MM = 20.0, 60.0, 3.0
_BAR_MM = KEY_BAR_MM + 1.8
_FIGURE = re.compile(r"(?<!\S{24}) (?=\d)")  # behind a word that may have to part the figure stays free
_DOT_MM = 0.6  # radius of what stands where a row has no badge


def place_of(id: str) -> str:
    """The name of a point's destination in the key."""
    return f"point-{id}"


def held(name: str) -> str:
    """A name in which each figure keeps to the word before it: no line begins with the 2 of a battery."""
    return _FIGURE.sub("\N{NO-BREAK SPACE}", name)


class Anchored(Block, frozen=True, kw_only=True):
    """A block that links can lead to; in the outline when level is 0 or more."""

    block: Block
    destination: str
    title: str = ""
    level: int = -1

    def height_mm(self, width_mm: float) -> float:
        return self.block.height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        place = Destination(self.destination, y, self.title, self.level)
        return (place, *self.block.draw(x, y, width_mm))

    def closer(self, share: float) -> Self:
        return replace(super().closer(share), block=self.block.closer(share))

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.block.first_baseline_mm(width_mm)

    @property
    def name(self) -> str:
        return self.block.name


def anchored(block: Block, destination: str) -> Anchored:
    """The block, never split, with its own spaces."""
    return Anchored(
        block=block,
        destination=destination,
        space_before_mm=block.space_before_mm,
        space_after_mm=block.space_after_mm,
        keep_with_next=block.keep_with_next,
        keep_together=True,
    )


def linked_badges(
    kit: Kit, points: Sequence[ServicePoint], per_line: int = 2, colours: Mapping[str, Colour] | None = None
) -> Drawing:
    """Badges that lead to their points in the key, as large as the look's text asks for.

    colours: by point id; ink where there is none.
    """
    gap, size = 0.6, BADGE_MM
    items: list[Item] = []
    x, y, width = 0.0, 0.0, 0.0
    column = per_line * (size + gap) - gap
    for point in points:
        wide = badge_width_mm(point.number)
        if x and x + wide > column + 1e-9:
            x, y = 0.0, y + size + gap
        shapes = badge(point.number, x + wide / 2, y + size / 2, (colours or {}).get(point.id, INK))
        shape = shapes[0]
        items += shapes
        if isinstance(shape, Circle | Rect):
            items.append(badge_link(shape, point))
        width = max(width, x + wide)
        x += wide + gap
    return _scaled_badges(kit, items, width, y + size if points else 0.0)


def marked_badge(kit: Kit, text: str) -> Drawing:
    """A badge with any text, which leads nowhere."""
    wide = badge_width_mm(text)
    return _scaled_badges(kit, badge(text, wide / 2, BADGE_MM / 2), wide, BADGE_MM)


def dot(kit: Kit) -> Drawing:
    """Where a row has no badge, in the middle of where it would be: the row is not one with that above it."""
    wide, radius = BADGE_MM * kit.look.badge_scale, _DOT_MM * kit.look.badge_scale
    return Drawing(
        items=(Circle(wide / 2, radius, radius, Style(fill=INK)),),
        width=wide,
        height=2 * radius,
        baseline=radius + cap_height_mm(kit.look.body.size_pt) / 2,
        title="dot",
    )


def _scaled_badges(kit: Kit, items: Sequence[Item], width: float, height: float) -> Drawing:
    """The badges at the look's scale, their first line in the middle of a line of its body text."""
    scale = kit.look.badge_scale
    middle = BADGE_MM * scale / 2
    return Drawing(
        items=tuple(items) if scale == 1.0 else (Group(tuple(items), transform=(scale, 0, 0, scale, 0, 0)),),
        width=width * scale,
        height=height * scale,
        baseline=middle + cap_height_mm(kit.look.body.size_pt) / 2 if items else None,
        title="badges",
    )


def badge_column_mm(kit: Kit, badges_beside: int = 1) -> float:
    """How wide a column for so many round badges side by side is."""
    return (badges_beside * (BADGE_MM + 0.6) - 0.6) * kit.look.badge_scale


def badges_within(kit: Kit, width_mm: float) -> int:
    """How many round badges side by side a width has room for, one at least."""
    one = badge_column_mm(kit, 2) - badge_column_mm(kit)
    return max(1, 1 + int((width_mm - badge_column_mm(kit)) / one + 1e-9))


class KeyLine(Block, frozen=True, kw_only=True):
    """A row of the key behind a bar in its system's colour."""

    row: Row
    colour: Colour
    padding_mm: float = 0.7
    keep_together: bool = True
    space_after_mm: float = 0.5

    def height_mm(self, width_mm: float) -> float:
        return self.row.height_mm(width_mm - _BAR_MM) + 2 * self.padding_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        bar = Rect(x, y, KEY_BAR_MM, self.height_mm(width_mm), Style(fill=self.colour))
        return (bar, *self.row.draw(x + _BAR_MM, y + self.padding_mm, width_mm - _BAR_MM))

    def closer(self, share: float) -> Self:
        return replace(super().closer(share), padding_mm=share * self.padding_mm)

    @property
    def name(self) -> str:
        return self.row.name


def key_line(kit: Kit, badge_drawing: Drawing, symbol_name: str, colour: Colour, *texts: Block) -> KeyLine:
    """Bar, badge, symbol, and the texts one below the other."""
    size = BADGE_MM * kit.look.badge_scale
    drawn = Drawing(
        items=(symbol(symbol_name, 0.0, 0.0, size, INK),),
        width=size,
        height=size,
        baseline=size / 2 + cap_height_mm(kit.look.body.size_pt) / 2,
    )
    cells = (
        Cell(badge_drawing, max(size, badge_drawing.width)),
        Cell(drawn, size),
        Cell(Stack(blocks=texts)),
    )
    return KeyLine(row=Row(cells=cells, gap=1.8), colour=colour)


def badge_link(shape: Circle | Rect, point: ServicePoint) -> Link:
    """The active box of one badge."""
    target = f"#{place_of(point.id)}"
    if isinstance(shape, Rect):
        return Link(shape.x, shape.y, shape.width, shape.height, target)
    r = shape.radius
    return Link(shape.x - r, shape.y - r, 2 * r, 2 * r, target)


def web_block(kit: Kit, address: str, words: str) -> Row:
    """A QR code with its address in text beside it, both of which lead there on screen."""
    style = kit.look.small
    size = code_size_mm(address)
    code = Drawing(
        items=(qr_code(address, 0.0, 0.0, size), Link(0.0, 0.0, size, size, address)),
        width=size,
        height=size,
        title=address,
    )
    lines = address_lines(address, kit.look.column - size - _CODE_GAP_MM, style)
    text = Stack(
        blocks=(
            Paragraph(text=words, style=kit.look.body),
            *(Paragraph(text=(Span(line, target=address),), style=style) for line in lines),
        )
    )
    return Row(
        cells=(Cell(code, size), Cell(text)), gap=_CODE_GAP_MM, space_before_mm=3.0, space_after_mm=3.0
    )


def code_size_mm(address: str) -> float:
    """The side of a code that a phone can still read: longer addresses have more and smaller modules."""
    for size in range(int(CODE_MM), int(_LARGEST_CODE_MM), 2):
        try:
            qr_code(address, 0.0, 0.0, float(size))
        except GuidegenError:
            continue
        return float(size)
    return _LARGEST_CODE_MM


def address_lines(address: str, width_mm: float, style: TextStyle) -> list[str]:
    """The address in lines that fit, broken where it is best read aloud and never with a hyphen added."""
    lines, rest = [], address
    while style.width_mm(rest) > width_mm:
        fitting = next(
            n for n in range(len(rest) - 1, 0, -1) if style.width_mm(rest[:n]) <= width_mm or n == 1
        )
        good = max((rest.rfind(mark, 0, fitting) + 1 for mark in "/?&=-_."), default=0)
        cut = good if good > fitting / 2 else fitting
        lines.append(rest[:cut])
        rest = rest[cut:]
    return [*lines, rest]
