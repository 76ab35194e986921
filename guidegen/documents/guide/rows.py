"""Rows and links of the guide: every badge leads to its place in the key, every key row can be reached."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from guidegen.documents.guide.pages import Kit
from guidegen.documents.parts import badges
from guidegen.drawing.codes import qr_code
from guidegen.drawing.primitives import Circle, Destination, Item, Link, Rect
from guidegen.paper.blocks import Block, Drawing, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.text import Span, TextStyle
from guidegen.vehicle.model import ServicePoint

CODE_MM = 20.0


def place_of(point: ServicePoint) -> str:
    """The name of a point's destination in the key."""
    return f"point-{point.id}"


@dataclass(frozen=True, kw_only=True)
class Anchored(Block):
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
    points: Sequence[ServicePoint], colours: Sequence[str], style: TextStyle, per_line: int = 2
) -> Drawing:
    """Badges that lead to their points in the key; one colour for each, or one for all."""
    size = style.size_pt
    drawn = badges([p.number for p in points], per_line, size, colours[0] if colours else "#1a1a1a")
    boxes = [item for item in drawn.items if isinstance(item, Circle | Rect)]
    links = [badge_link(shape, point) for shape, point in zip(boxes, points, strict=True)]
    return replace(drawn, items=(*drawn.items, *links))


def badge_link(shape: Circle | Rect, point: ServicePoint) -> Link:
    """The active box of one badge."""
    target = f"#{place_of(point)}"
    if isinstance(shape, Rect):
        return Link(shape.x, shape.y, shape.width, shape.height, target)
    r = shape.radius
    return Link(shape.x - r, shape.y - r, 2 * r, 2 * r, target)


def web_block(kit: Kit, address: str, words: str) -> Row:
    """A QR code with its address in text beside it, both of which lead there on screen."""
    code = Drawing(
        items=(qr_code(address, 0.0, 0.0, CODE_MM), Link(0.0, 0.0, CODE_MM, CODE_MM, address)),
        width=CODE_MM,
        height=CODE_MM,
        title=address,
    )
    text = Stack(
        blocks=(
            Paragraph(text=words, style=kit.look.body),
            Paragraph(text=(Span(address, target=address),), style=kit.look.small),
        )
    )
    return Row(cells=(Cell(code, CODE_MM), Cell(text)), gap=3.0, space_before_mm=3.0, space_after_mm=3.0)
