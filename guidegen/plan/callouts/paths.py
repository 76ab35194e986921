"""The path of a leader from a site to the near edge of a badge, straight or with one bend.

Bent leaders are those of M. A. Bekos, M. Kaufmann, A. Symvonis and A. Wolff (Computational Geometry 36,
2007): po runs parallel to the side first, do diagonally; both then meet the side at right angles. How well
each is read: L. Barth, A. Gemsa, B. Niedermann and M. Nöllenburg, "On the Readability of Boundary Labeling",
GD 2015.
"""

from __future__ import annotations

import math

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Badge, Box, LeaderStyle, Site

LEAST_JOG_MM = 1.8  # a shorter first leg would look like a slip of the pen
_ROUNDING_MM = 1e-6


def seat(anchor: Point, normal: Point, badge: Badge) -> Box:
    """The box of a badge whose near edge has the anchor in its middle; normal points away from the body."""
    w, h = badge.width_mm, badge.height_mm
    across, down = 1.5 * normal[0], 1.5 * normal[1]
    x = anchor[0] + (1.0 if across > 1.0 else -1.0 if across < -1.0 else across) * w / 2
    y = anchor[1] + (1.0 if down > 1.0 else -1.0 if down < -1.0 else down) * h / 2
    return (x - w / 2, y - h / 2, w, h)


def leader_path(style: LeaderStyle, site: Site, anchor: Point, normal: Point) -> tuple[Point, ...]:
    """Corner points from the marker's edge to the anchor; empty if the style has no such leader.

    Bent leaders need a normal along an axis.
    """
    start, end = (site.x, site.y), anchor
    nx, ny = normal
    out = (end[0] - start[0]) * nx + (end[1] - start[1]) * ny
    along = (end[1] - start[1]) * nx - (end[0] - start[0]) * ny
    if out <= site.radius_mm:
        return ()
    if style == "straight" or abs(along) < 1e-6:
        return _trimmed([start, end], site.radius_mm)
    if abs(along) < max(LEAST_JOG_MM, site.radius_mm):
        return ()
    rise = abs(along) if style == "do" else 0.0
    if out - rise < LEAST_JOG_MM:
        return ()
    knee = (start[0] + nx * rise - ny * along, start[1] + ny * rise + nx * along)
    return _trimmed([start, knee, end], site.radius_mm)


def _trimmed(path: list[Point], radius: float) -> tuple[Point, ...]:
    """The path without the first radius mm of its first leg, which is longer than that."""
    (x, y), (tx, ty) = path[0], path[1]
    share = radius / math.dist(path[0], path[1])
    return ((x + (tx - x) * share, y + (ty - y) * share), *path[1:])


def length_of(path: tuple[Point, ...]) -> float:
    return sum(math.dist(a, b) for a, b in zip(path, path[1:], strict=False))


def point_to_segment(p: Point, a: Point, b: Point) -> float:
    """Distance in mm."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    t = max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square)) if square else 0.0
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def segments_apart(a: Point, b: Point, c: Point, d: Point) -> float:
    """Distance of two segments in mm, 0 if they cross."""

    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    if side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0:
        return 0.0
    return min(
        point_to_segment(a, c, d),
        point_to_segment(b, c, d),
        point_to_segment(c, a, b),
        point_to_segment(d, a, b),
    )


def closer(a: Point, b: Point, c: Point, d: Point, than: float) -> bool:
    """Whether two segments are less than so many mm apart."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = a, b, c, d
    ux, uy, vx, vy, beyond = bx - ax, by - ay, dx - cx, dy - cy, (than + _ROUNDING_MM) ** 2
    one, two = ux * (cy - ay) - uy * (cx - ax), ux * (dy - ay) - uy * (dx - ax)
    # Well on one side of the other's line: most need no more.
    if one * two > 0 and min(one * one, two * two) > beyond * (ux * ux + uy * uy):
        return False
    one, two = vx * (ay - cy) - vy * (ax - cx), vx * (by - cy) - vy * (bx - cx)
    if one * two > 0 and min(one * one, two * two) > beyond * (vx * vx + vy * vy):
        return False
    return segments_apart(a, b, c, d) < than
