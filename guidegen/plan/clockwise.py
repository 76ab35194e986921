"""The order of numbers: clockwise round the plan, from the habitation door."""

from __future__ import annotations

import math
from collections.abc import Sequence

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Placement
from guidegen.plan.frame import Frame
from guidegen.plan.insets import Detail
from guidegen.vehicle.contour import flattened
from guidegen.vehicle.layout import Layout


def clockwise(
    layout: Layout, frame: Frame, placement: Placement, details: Sequence[Detail]
) -> tuple[str, ...]:
    """The keys of the points, those of an inset where its own badge stands."""
    centre = _centroid([frame.at(*p) for p in flattened(layout.outline)])
    door = next((d for d in layout.doors if d.kind in ("habitation", "sliding")), None)
    start = -math.pi / 2
    if door:
        along = {"nearside": (0.0, 0.0), "offside": (0.0, layout.width)}.get(door.side, (0.0, 0.0))[1]
        entry = (
            (door.start, along)
            if door.side in ("nearside", "offside")
            else (0.0 if door.side == "front" else layout.length, door.start)
        )
        at = frame.at(*entry)
        start = math.atan2(at[1] - centre[1], at[0] - centre[0])
        far = (door.start + door.width, along) if door.side in ("nearside", "offside") else entry
        other = frame.at(*far)
        turn = math.atan2(other[1] - centre[1], other[0] - centre[0])
        if (turn - start) % math.tau > math.pi:  # begin at the edge that a clockwise round meets first
            start = turn
    members = {f"inset:{d.letter}": d.keys for d in details}
    ring = sorted(
        placement.callouts,
        key=lambda c: ((math.atan2(c.y - centre[1], c.x - centre[0]) - start + 1e-6) % math.tau, c.key),
    )
    return tuple(key for c in ring for key in members.get(c.key, (c.key,)))


def _centroid(polygon: Sequence[Point]) -> Point:
    """Of the area within the polygon."""
    area = cx = cy = 0.0
    for (x1, y1), (x2, y2) in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        cross = x1 * y2 - x2 * y1
        area, cx, cy = area + cross, cx + (x1 + x2) * cross, cy + (y1 + y2) * cross
    return (cx / (3 * area), cy / (3 * area))
