"""What can stand on a sheet: immutable primitives in millimetres, y downwards, origin top left.

The writers (pdf, svg, png) know these and nothing of vehicles. A point is a pair (x, y) in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, TypeAlias

from msgspec import Struct, field

Point: TypeAlias = tuple[float, float]
Colour: TypeAlias = str  # "#rrggbb"
Weight: TypeAlias = Literal["regular", "bold"]
Anchor: TypeAlias = Literal["start", "middle", "end"]
# ("M", x, y) ("L", x, y) ("C", x1, y1, x2, y2, x, y) ("Z",)
Command: TypeAlias = (
    tuple[str] | tuple[str, float, float] | tuple[str, float, float, float, float, float, float]
)

PT_PER_MM = 72 / 25.4
BLACK: Colour = "#000000"
WHITE: Colour = "#ffffff"


class Style(Struct, frozen=True):
    """How a shape is painted: no fill or no stroke where the colour is None; dash lengths in mm."""

    fill: Colour | None = None
    stroke: Colour | None = None
    width_mm: float = 0.25
    dash_mm: tuple[float, ...] = ()
    round_ends: bool = True
    fill_opacity: float = 1.0


class Line(Struct, frozen=True):
    """A polyline, or a polygon when closed."""

    points: tuple[Point, ...]
    style: Style
    closed: bool = False
    css: str = ""


class Path(Struct, frozen=True):
    """Straight and cubic segments; filled by the non-zero rule, or even-odd when asked."""

    commands: tuple[Command, ...]
    style: Style
    css: str = ""
    even_odd: bool = False


class Circle(Struct, frozen=True):
    x: float
    y: float
    radius: float
    style: Style
    css: str = ""


class Rect(Struct, frozen=True):
    """Corner x, y is the top left one; radius rounds all corners."""

    x: float
    y: float
    width: float
    height: float
    style: Style
    radius: float = 0.0
    css: str = ""


class Text(Struct, frozen=True):
    """One line of text; x, y is on the baseline; turn_deg is clockwise about that point."""

    x: float
    y: float
    text: str
    size_pt: float
    weight: Weight = "regular"
    colour: Colour = BLACK
    anchor: Anchor = "start"
    turn_deg: float = 0.0
    css: str = ""


class Picture(Struct, frozen=True):
    """A raster picture (PNG or JPEG bytes) stretched to the box."""

    x: float
    y: float
    width: float
    height: float
    data: bytes
    description: str = ""


class Group(Struct, frozen=True):
    """Items drawn in order under one transform (a, b, c, d, e, f as in SVG) and one clip box (x, y, w, h).

    The clip box is in the group's own coordinates. css and attributes appear in SVG only.
    """

    items: tuple[Item, ...]
    transform: tuple[float, float, float, float, float, float] | None = None
    clip: tuple[float, float, float, float] | None = None
    css: str = ""
    attributes: tuple[tuple[str, str], ...] = ()
    title: str = ""


class Link(Struct, frozen=True):
    """An active box: target is "#name" of an Anchor in the same document, or an http(s) address."""

    x: float
    y: float
    width: float
    height: float
    target: str


class Destination(Struct, frozen=True):
    """A named place that links lead to; level ≥ 0 puts the title in the outline as well."""

    name: str
    y: float = 0.0
    title: str = ""
    level: int = -1


class FormField(Struct, frozen=True):
    """A field to fill in on screen."""

    x: float
    y: float
    width: float
    height: float
    name: str
    kind: Literal["text", "tick"] = "text"
    value: str = ""
    tooltip: str = ""


Item: TypeAlias = Line | Path | Circle | Rect | Text | Picture | Group | Link | Destination | FormField


class Sheet(Struct, frozen=True):
    """One side of paper."""

    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    title: str = ""
    description: str = ""


class Document(Struct, frozen=True):
    """Sheets in order; metadata values are plain text."""

    sheets: tuple[Sheet, ...]
    title: str = ""
    author: str = ""
    subject: str = ""
    language: str = "en-GB"
    keywords: tuple[str, ...] = field(default=())


def translate(dx: float, dy: float) -> tuple[float, float, float, float, float, float]:
    return (1.0, 0.0, 0.0, 1.0, dx, dy)


def moved(items: Sequence[Item], dx: float, dy: float) -> Group:
    """The items as one group, moved by dx, dy mm."""
    return Group(tuple(items), transform=translate(dx, dy))
