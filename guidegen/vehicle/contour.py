"""Rounded contours: polygons with rounded corners, their walls, and points on them.

Every function is pure and works in the vehicle's frame, in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TypeAlias

from msgspec import Struct

from guidegen.vehicle.layout import XY, Corner, Layout, Side

_Edge: TypeAlias = tuple[float, float, float, float]  # start along and across a side, end along and across


class Bend(Struct, frozen=True):
    """A rounded corner as one cubic curve; a sharp corner has all four points in one place."""

    start: XY
    control_1: XY
    control_2: XY
    end: XY


def mirrored(half: Sequence[Corner], width: float) -> tuple[Corner, ...]:
    """The full outline from its nearside half, whose first and last corner lie on the middle line."""
    back = [(x, width - y, radius) for x, y, radius in reversed(half[1:-1])]
    return (*half, *back)


def bends(corners: Sequence[Corner]) -> tuple[Bend, ...]:
    """One bend for each corner of a closed polygon.

    A radius that would need more than its share of an edge is made smaller, so that
    neighbouring bends meet at most.
    """
    count = len(corners)
    wanted = [_tangent(corners[i - 1], corners[i], corners[(i + 1) % count]) for i in range(count)]
    edges = [math.dist(corners[i][:2], corners[(i + 1) % count][:2]) for i in range(count)]
    found = []
    for i, corner in enumerate(corners):
        tangent = min(
            _share(wanted[i], wanted[i - 1], edges[i - 1]),
            _share(wanted[i], wanted[(i + 1) % count], edges[i]),
        )
        found.append(_bend(corners[i - 1], corner, corners[(i + 1) % count], tangent))
    return tuple(found)


@lru_cache(maxsize=256)  # one vehicle is drawn many times
def flattened(corners: tuple[Corner, ...], pieces: int = 8) -> tuple[XY, ...]:
    """The closed polygon with each bend cut into straight pieces."""
    points: list[XY] = []
    for bend in bends(corners):
        if bend.start == bend.end:
            points.append(bend.start)
        else:
            points.extend(_on_curve(bend, i / pieces) for i in range(pieces + 1))
    return tuple(points)


def inset(corners: Sequence[Corner], distance: float) -> tuple[Corner, ...]:
    """The polygon moved inwards by a wall's thickness; outer radii shrink and inner ones grow."""
    turn = 1.0 if _signed_area(corners) > 0 else -1.0
    count = len(corners)
    moved = []
    for i, corner in enumerate(corners):
        before = _unit(corners[i - 1], corner)
        after = _unit(corner, corners[(i + 1) % count])
        # Inward normals of both edges; their sum points along the mitre.
        n1, n2 = (-before[1] * turn, before[0] * turn), (-after[1] * turn, after[0] * turn)
        scale = distance / max(0.2, 1 + n1[0] * n2[0] + n1[1] * n2[1])
        bulges = (before[0] * after[1] - before[1] * after[0]) * turn > 0
        radius = max(0.0, corner[2] - distance if bulges else corner[2] + distance)
        moved.append((corner[0] + (n1[0] + n2[0]) * scale, corner[1] + (n1[1] + n2[1]) * scale, radius))
    return tuple(moved)


def encloses(polygon: Sequence[XY], point: XY) -> bool:
    """Whether the point lies inside the polygon (even-odd rule)."""
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            inside = not inside
    return inside


def behind(polygon: Sequence[XY], x_min: float) -> tuple[XY, ...]:
    """The part of a polygon with x ≥ x_min (Sutherland and Hodgman's clipping by one edge)."""
    kept: list[XY] = []
    for p, q in zip((polygon[-1], *polygon[:-1]), polygon, strict=True):
        if (p[0] >= x_min) != (q[0] >= x_min):
            share = (x_min - p[0]) / (q[0] - p[0])
            kept.append((x_min, p[1] + share * (q[1] - p[1])))
        if q[0] >= x_min:
            kept.append(q)
    return tuple(kept)


def wall_line(layout: Layout, side: Side, start: float, end: float, depth: float = 0.0) -> tuple[XY, ...]:
    """One side between two distances as a polyline, `depth` mm inside the outer face.

    Distances run from the front for nearside and offside, from the nearside for front and rear.
    """
    return _wall_line(layout.outline, side, start, end, depth)


@lru_cache(maxsize=512)  # one vehicle is drawn many times, with the same openings
def _wall_line(
    corners: tuple[Corner, ...], side: Side, start: float, end: float, depth: float
) -> tuple[XY, ...]:
    lengthwise = side in ("nearside", "offside")
    low, high, ring = _ring(corners, depth, lengthwise)
    choose = max if side in ("offside", "rear") else min
    first, last = min(start, high), max(end, low)
    edges = [e for e in ring if (e[0] <= last or e[2] <= last) and (e[0] > first or e[2] > first)]
    line = []
    for station in sorted({start, end, *(edge[0] for edge in edges if start < edge[0] < end)}):
        at = min(max(station, low), high)
        face = choose([c + (at - a) / (b - a) * (d - c) for a, c, b, d in edges if (a <= at) != (b <= at)])
        line.append((station, face) if lengthwise else (face, station))
    return tuple(line)


@lru_cache(maxsize=64)  # every opening of a drawing asks for the same few
def _ring(
    outline: tuple[Corner, ...], depth: float, lengthwise: bool
) -> tuple[float, float, tuple[_Edge, ...]]:
    """The edges of the outline at a depth in the wall, and the span along the side that they are cut in."""
    points = flattened(inset(outline, depth) if depth else outline)
    turned = points if lengthwise else tuple((y, x) for x, y in points)
    edges = tuple((*p, *q) for p, q in zip(turned, (*turned[1:], turned[0]), strict=True))
    return min(turned)[0] + 0.01, max(turned)[0] - 0.01, edges


def _tangent(before: Corner, corner: Corner, after: Corner) -> float:
    """Distance from the corner to where its arc starts."""
    turn = _turn(before, corner, after)
    return corner[2] * math.tan(turn / 2) if turn < math.pi - 0.01 else 0.0


def _turn(before: Corner, corner: Corner, after: Corner) -> float:
    a, b = _unit(before, corner), _unit(corner, after)
    return math.acos(max(-1.0, min(1.0, a[0] * b[0] + a[1] * b[1])))


def _share(own: float, other: float, edge: float) -> float:
    return own if own + other <= edge or own == 0 else edge * own / (own + other)


def _bend(before: Corner, corner: Corner, after: Corner, tangent: float) -> Bend:
    point = (corner[0], corner[1])
    turn = _turn(before, corner, after)
    if tangent <= 0 or turn < 1e-6:
        return Bend(point, point, point, point)
    a, b = _unit(before, corner), _unit(corner, after)
    # The usual cubic for a circular arc: handles of 4/3·tan(angle/4)·radius.
    handle = 4 / 3 * math.tan(turn / 4) * tangent / math.tan(turn / 2)
    start = (point[0] - a[0] * tangent, point[1] - a[1] * tangent)
    end = (point[0] + b[0] * tangent, point[1] + b[1] * tangent)
    return Bend(
        start,
        (start[0] + a[0] * handle, start[1] + a[1] * handle),
        (end[0] - b[0] * handle, end[1] - b[1] * handle),
        end,
    )


def _on_curve(bend: Bend, t: float) -> XY:
    s = 1 - t
    a, b, c, d = s**3, 3 * s * s * t, 3 * s * t * t, t**3
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = bend.start, bend.control_1, bend.control_2, bend.end
    return (a * x1 + b * x2 + c * x3 + d * x4, a * y1 + b * y2 + c * y3 + d * y4)


def _unit(start: Corner, end: Corner) -> XY:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy) or 1.0
    return (dx / length, dy / length)


def _signed_area(corners: Sequence[Corner]) -> float:
    ring = zip(corners, (*corners[1:], corners[0]), strict=True)
    return sum(p[0] * q[1] - q[0] * p[1] for p, q in ring) / 2
