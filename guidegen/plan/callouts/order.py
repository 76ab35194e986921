"""The order in which badges run round a centre."""

from __future__ import annotations

import math

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Placement


def clockwise(placement: Placement, centre: Point, start_deg: float = -90.0) -> tuple[str, ...]:
    """Keys of the callouts clockwise on the sheet about centre, by the angles of the badges' centres.

    start_deg: where the round begins, clockwise from the sheet's +x direction (-90 is straight up).
    """
    start = math.radians(start_deg)

    def angle(callout: object, x: float, y: float) -> float:
        return (math.atan2(y - centre[1], x - centre[0]) - start) % math.tau

    return tuple(c.key for c in sorted(placement.callouts, key=lambda c: (angle(c, c.x, c.y), c.key)))
