"""Where things lie against the body's outline: edges, sides, rooms. All mm in the vehicle's frame."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TypeAlias

from guidegen.vehicle.layout import XY, Area, Corner, Layout, Side

# Least and greatest along the axis; start and way along it; start and way across it.
_Edge: TypeAlias = tuple[float, float, float, float, float, float]


def inside_body(layout: Layout, x: float, y: float) -> bool:
    """Whether a point lies in the body's plan (corners taken as sharp)."""
    corners = [(cx, cy) for cx, cy, _ in layout.outline]
    inside = False
    for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


def _crossings(layout: Layout, axis: int, at: float) -> list[float]:
    """Where the outline crosses the line x = at (axis 0) or y = at (axis 1): the other coordinate."""
    return [
        there + (at - here) / along * across
        for low, high, here, along, there, across in _edges(layout.outline, axis)
        if low <= at <= high
    ]


@lru_cache(maxsize=64)  # every point of a vehicle asks for the walls about it
def _edges(outline: tuple[Corner, ...], axis: int) -> tuple[_Edge, ...]:
    """The edges of the outline, corners taken as sharp, that do not run across the axis."""
    pairs = zip(outline, outline[1:] + outline[:1], strict=True)
    return tuple(
        (min(a[axis], b[axis]), max(a[axis], b[axis]), a[axis], b[axis] - a[axis])
        + (a[1 - axis], b[1 - axis] - a[1 - axis])
        for a, b in pairs
        if a[axis] != b[axis]
    )


def edge_y(layout: Layout, side: Side, x: float) -> float:
    found = _crossings(layout, 0, min(max(x, 1.0), layout.length - 1.0)) or [0.0, layout.width]
    return min(found) if side == "nearside" else max(found)


def edge_x(layout: Layout, side: Side, y: float) -> float:
    found = _crossings(layout, 1, min(max(y, 1.0), layout.width - 1.0)) or [0.0, layout.length]
    return min(found) if side == "front" else max(found)


def edge_at(layout: Layout, side: Side, x: float, y: float) -> XY:
    """The point of the body's outline on a side, level with x or y."""
    if side in ("nearside", "offside"):
        on_body = 0 <= x <= layout.length
        return (x, edge_y(layout, side, x) if on_body else (0.0 if side == "nearside" else layout.width))
    return (edge_x(layout, side, y), y)


def nearest_side(layout: Layout, x: float, y: float) -> Side:
    """The side of the body that a point is nearest to."""
    gaps: dict[Side, float] = {
        "nearside": abs(y - edge_y(layout, "nearside", x)),
        "offside": abs(edge_y(layout, "offside", x) - y),
        "front": abs(x - edge_x(layout, "front", y)),
        "rear": abs(edge_x(layout, "rear", y) - x),
    }
    if x < 0:
        return "front"
    if x > layout.length:
        return "rear"
    return min(gaps, key=lambda s: gaps[s])


def room_at(layout: Layout, x: float, y: float) -> str:
    """The id of the smallest room there, else the nearest one."""
    if not layout.rooms:
        return ""
    holding = [r for r in layout.rooms if r.area.contains(x, y, 1)]
    if holding:
        return min(holding, key=lambda r: r.area.length * r.area.width).id
    return min(layout.rooms, key=lambda r: _gap(r.area, x, y)).id


def _gap(area: Area, x: float, y: float) -> float:
    dx = max(area.x - x, 0.0, x - area.x - area.length)
    dy = max(area.y - y, 0.0, y - area.y - area.width)
    return math.hypot(dx, dy)
