"""Small shapes in a piece's own mm, and their way to the sheet.

A piece is described as seen by a person in front of it: u runs along its free edge, v from its back
to the free edge. Which way that lies in the vehicle is the piece's `facing`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Literal, TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Circle, Command, Item, Line, Path, Point, Rect, Style
from guidegen.plan.frame import Frame
from guidegen.plan.pens import DETAIL_MM, EDGE_MM, FINE_DASH_MM, HATCH_MM, LEAF_MM, Pens
from guidegen.vehicle.layout import XY, Area, Side

Pen: TypeAlias = Literal["edge", "detail", "strong", "fine"]
Tint: TypeAlias = Literal["none", "soft", "cushion", "floor"]

# Handle length of a cubic quarter circle, in radii.
_QUARTER = 0.5523


class Box(Struct, frozen=True):
    u: float
    v: float
    width: float
    depth: float
    radius: float = 0.0
    pen: Pen = "detail"
    tint: Tint = "none"


class Oval(Struct, frozen=True):
    u: float
    v: float
    radius_u: float
    radius_v: float
    pen: Pen = "detail"
    tint: Tint = "none"


class Stroke(Struct, frozen=True):
    points: tuple[XY, ...]
    pen: Pen = "detail"
    tint: Tint = "none"
    closed: bool = False


class Curve(Struct, frozen=True):
    """Commands as in a Path, in u and v."""

    commands: tuple[Command, ...]
    pen: Pen = "detail"
    tint: Tint = "none"


Mark: TypeAlias = Box | Oval | Stroke | Curve
Place: TypeAlias = Callable[[float, float], Point]


def size_of(area: Area, facing: Side) -> tuple[float, float]:
    """Width along the free edge and depth of a piece, in mm."""
    lengthwise = facing in ("nearside", "offside")
    return (area.length, area.width) if lengthwise else (area.width, area.length)


def place_in(area: Area, facing: Side, frame: Frame) -> Place:
    """From a piece's u, v to the sheet."""

    def place(u: float, v: float) -> Point:
        if facing == "offside":
            return frame.at(area.x + u, area.y + v)
        if facing == "nearside":
            return frame.at(area.x + u, area.y + area.width - v)
        if facing == "rear":
            return frame.at(area.x + v, area.y + u)
        return frame.at(area.x + area.length - v, area.y + u)

    return place


def drawn(marks: Sequence[Mark], place: Place, scale: float, pens: Pens, *, hidden: bool) -> Iterator[Item]:
    """The marks as primitives; what is hidden is dashed and has no tint."""
    for mark in marks:
        style = _style(mark.pen, mark.tint, pens, hidden)
        if isinstance(mark, Box):
            yield _rect(mark, place, scale, style)
        elif isinstance(mark, Oval):
            yield _oval(mark, place, scale, style)
        elif isinstance(mark, Stroke):
            yield Line(tuple(place(*p) for p in mark.points), style, closed=mark.closed)
        else:
            yield Path(placed(mark.commands, place), style)


def placed(commands: Sequence[Command], place: Place) -> tuple[Command, ...]:
    """Path commands with every point mapped."""
    found: list[Command] = []
    for command in commands:
        if command[0] == "Z" or len(command) == 1:
            found.append(("Z",))
        elif len(command) == 3:
            found.append((command[0], *place(command[1], command[2])))
        else:
            name, x1, y1, x2, y2, x, y = command
            found.append((name, *place(x1, y1), *place(x2, y2), *place(x, y)))
    return tuple(found)


def ring(u: float, v: float, radius_u: float, radius_v: float) -> tuple[Command, ...]:
    """A closed ellipse as four cubic quarters."""
    hu, hv = radius_u * _QUARTER, radius_v * _QUARTER
    return (
        ("M", u + radius_u, v),
        ("C", u + radius_u, v + hv, u + hu, v + radius_v, u, v + radius_v),
        ("C", u - hu, v + radius_v, u - radius_u, v + hv, u - radius_u, v),
        ("C", u - radius_u, v - hv, u - hu, v - radius_v, u, v - radius_v),
        ("C", u + hu, v - radius_v, u + radius_u, v - hv, u + radius_u, v),
        ("Z",),
    )


def _rect(box: Box, place: Place, scale: float, style: Style) -> Rect:
    (x1, y1), (x2, y2) = place(box.u, box.v), place(box.u + box.width, box.v + box.depth)
    width, height = abs(x2 - x1), abs(y2 - y1)
    radius = min(box.radius * scale, width / 2, height / 2)
    return Rect(min(x1, x2), min(y1, y2), width, height, style, radius)


def _oval(oval: Oval, place: Place, scale: float, style: Style) -> Item:
    if oval.radius_u == oval.radius_v:
        return Circle(*place(oval.u, oval.v), oval.radius_u * scale, style)
    return Path(placed(ring(oval.u, oval.v, oval.radius_u, oval.radius_v), place), style)


def _style(pen: Pen, tint: Tint, pens: Pens, hidden: bool) -> Style:
    width = {"edge": EDGE_MM, "detail": DETAIL_MM, "strong": LEAF_MM, "fine": HATCH_MM}[pen]
    colour = pens.detail if pen in ("detail", "fine") else pens.edge
    if hidden:
        return Style(stroke=colour, width_mm=min(width, EDGE_MM), dash_mm=FINE_DASH_MM)
    fill = {"none": None, "soft": pens.soft, "cushion": pens.cushion, "floor": pens.floor}[tint]
    return Style(fill=fill, stroke=colour, width_mm=width)
