"""How far a marker may be pushed: one on a wall along it alone, any other through no wall."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TypeAlias

from guidegen.drawing.primitives import Point
from guidegen.plan.crowd_titles import Member
from guidegen.plan.frame import Frame
from guidegen.vehicle.layout import XY, Layout, Side
from guidegen.vehicle.outline import edge_x, edge_y

# Least and greatest x, least and greatest y.
Reach: TypeAlias = tuple[float, float, float, float]

_OFF_WALL_MM = 30.0  # of the vehicle, from a wall's face to the middle of a marker that keeps clear of it
_STRAIGHT_MM = 100.0  # as far to both sides of a point is the wall looked at
_LONG_SIDES: tuple[Side, Side] = ("nearside", "offside")
_ENDS: tuple[Side, Side] = ("front", "rear")


def reach(layout: Layout, p: Member) -> Reach:
    """Where the marker of a point may stand, in vehicle mm; its own place is always within."""
    return _along_wall(layout, p) or _between_walls(layout, p)


def on_sheet(held: Reach, frame: Frame) -> Reach:
    """The same on the sheet."""
    (x1, y1), (x2, y2) = frame.at(held[0], held[2]), frame.at(held[1], held[3])
    return (min(x1, x2), max(x1, x2), min(y1, y2), max(y1, y2))


def kept(place: Point, held: Reach) -> Point:
    """The place, or the nearest one within reach."""
    (x, y), (left, right, top, bottom) = place, held
    return (
        left if x < left else right if x > right else x,
        top if y < top else bottom if y > bottom else y,
    )


def _along_wall(layout: Layout, p: Member) -> Reach | None:
    """The line of the straight outer wall that a point outside is on."""
    near = (-_STRAIGHT_MM, 0.0, _STRAIGHT_MM)
    for side in _LONG_SIDES:
        if p.where == side and {edge_y(layout, side, p.x + d) for d in near} == {p.y}:
            return (-math.inf, math.inf, p.y, p.y)
    for side in _ENDS:
        if p.where == side and {edge_x(layout, side, p.y + d) for d in near} == {p.x}:
            return (p.x, p.x, -math.inf, math.inf)
    return None


def _between_walls(layout: Layout, p: Member) -> Reach:
    """The room about a point as far as the outer walls, of one inside as far as the inner ones too."""
    off = layout.wall + _OFF_WALL_MM
    low_x, high_x = edge_x(layout, "front", p.y) + off, edge_x(layout, "rear", p.y) - off
    low_y, high_y = edge_y(layout, "nearside", p.x) + off, edge_y(layout, "offside", p.x) - off
    for axis, at in _inner_walls(layout, (p.x, p.y)) if p.where == "inside" else ():
        if axis == 0:
            low_x, high_x = (low_x, min(high_x, at - off)) if p.x < at else (max(low_x, at + off), high_x)
        else:
            low_y, high_y = (low_y, min(high_y, at - off)) if p.y < at else (max(low_y, at + off), high_y)
    return (min(low_x, p.x), max(high_x, p.x), min(low_y, p.y), max(high_y, p.y))


def _inner_walls(layout: Layout, place: XY) -> Iterator[tuple[int, float]]:
    """The straight partitions that a place faces: the axis at right angles, and where on it."""
    for wall in layout.partitions:
        for axis in (0, 1):
            low, high = sorted((wall.start[1 - axis], wall.end[1 - axis]))
            if wall.start[axis] == wall.end[axis] and low <= place[1 - axis] <= high:
                yield axis, wall.start[axis]
