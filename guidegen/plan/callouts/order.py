"""The order in which badges run round a centre."""

from __future__ import annotations

import math

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Callout, Placement


def clockwise(placement: Placement, centre: Point, start_deg: float = -90.0) -> tuple[str, ...]:
    """Keys of the callouts clockwise on the sheet about centre, by the angles of the badges' centres.

    start_deg: where the round begins, clockwise from the sheet's +x direction (-90 is straight up).
    """
    start = math.radians(start_deg)

    def turn(callout: Callout) -> tuple[float, str]:
        return (math.atan2(callout.y - centre[1], callout.x - centre[0]) - start) % math.tau, callout.key

    return tuple(c.key for c in sorted(placement.callouts, key=turn))
