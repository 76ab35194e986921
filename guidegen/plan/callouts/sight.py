"""What a straight leader would pass too near: angles that markers block, wedges that boxes fill."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import accumulate
from typing import TypeAlias

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Aside, Box, Site

SAME_PLACE_MM = 0.01
SLACK_MM = 0.02  # what rounding of coordinates may take from a clearance
_Marker: TypeAlias = tuple[float, float, float]  # x, y, radius
_BELOW = -9.0  # under every angle


class Sight:
    """The directions free of other markers and of obstacles, seen from each site, and the price of the rest.

    Only leaders that end beyond every marker are judged rightly: ports lie outside the hull of the sites.
    """

    def __init__(
        self, sites: Sequence[Site], clearance: float, obstacles: Sequence[Box], asides: Sequence[Aside] = ()
    ) -> None:
        self.places = [(s.x, s.y) for s in sites]
        clear = clearance + SLACK_MM
        self.obstacles = [(x - clear, y - clear, w + 2 * clear, h + 2 * clear) for x, y, w, h in obstacles]
        self.ranges = _ranges(tuple((s.x, s.y, s.radius_mm) for s in sites), clear)
        self._wedges = [[(*w, box) for box in self.obstacles for w in _wedges(p, box)] for p in self.places]
        self._prices = [_steps(s, asides) for s in sites]
        self.priced = bool(asides)

    def price(self, i: int, angle: float) -> float:
        """What a leader of site i at the angle costs in mm for the asides that it runs over."""
        angles, prices = self._prices[i]
        return prices[bisect_right(angles, angle)]

    def open(self, i: int, keys: Iterable[int], angles: Iterable[float]) -> list[tuple[int, float, float]]:
        """Those keys at whose angle a leader of site i passes no marker, with the angle and its price."""
        (starts, ends), (steps, prices) = self.ranges[i], self._prices[i]
        return [
            (key, angle, prices[bisect_right(steps, angle)])
            for key, angle in zip(keys, angles, strict=True)
            if angle > ends[bisect_right(starts, angle) - 1]
        ]

    def length(self, i: int, end: Point) -> float:
        """Of the leader from site i to end in mm, its price added."""
        x, y = self.places[i]
        dx, dy = end[0] - x, end[1] - y
        return math.hypot(dx, dy) + (self.price(i, math.atan2(dy, dx)) if self.priced else 0.0)

    def lengths(self, i: int, ends: Sequence[Point]) -> list[float]:
        """As `length`, of the leaders to many ends."""
        x, y = self.places[i]
        away = [math.hypot(end_x - x, end_y - y) for end_x, end_y in ends]
        return self.priced_lengths(i, away, (math.atan2(end_y - y, end_x - x) for end_x, end_y in ends))

    def priced_lengths(self, i: int, lengths: list[float], angles: Iterable[float]) -> list[float]:
        """The lengths of leaders of site i at the angles, their prices added."""
        if not self.priced:
            return lengths
        steps, prices = self._prices[i]
        return [d + prices[bisect_right(steps, angle)] for d, angle in zip(lengths, angles, strict=True)]

    def blocked(self, i: int, angle: float) -> bool:
        """Whether a leader of site i at the angle passes another marker too near."""
        starts, ends = self.ranges[i]
        return angle <= ends[bisect_right(starts, angle) - 1]

    def bars(self, i: int, end: Point) -> bool:
        """Whether the leader from site i to end passes a marker too near or touches an obstacle."""
        x, y = self.places[i]
        angle = math.atan2(end[1] - y, end[0] - x)
        return self.blocked(i, angle) or bool(self.obstacles and self.obstructed(i, angle, end))

    def obstructed(self, i: int, angle: float, end: Point) -> bool:
        """Whether the leader from site i to end, which has the angle, touches an obstacle."""
        for low, high, box in self._wedges[i]:
            if low <= angle <= high and meets_box(self.places[i], end, box):
                return True
        return False


@lru_cache(maxsize=64)  # rooms of one inset, and prices of one plan, have the same markers
def _ranges(sites: tuple[_Marker, ...], clear: float) -> tuple[tuple[list[float], list[float]], ...]:
    """For each marker, the ranges of angles in which a leader comes near another, as `_merged` has them."""
    return tuple(map(_merged, _marker_ranges(sites, clear)))


def _marker_ranges(sites: Sequence[_Marker], clearance: float) -> list[list[tuple[float, float]]]:
    """For each site the ranges of angles, within -pi to pi, in which a leader comes near another marker."""
    ranges: list[list[tuple[float, float]]] = [[] for _ in sites]
    hypot, atan2, asin, pi = math.hypot, math.atan2, math.asin, math.pi
    for i, (x, y, radius) in enumerate(sites):
        own = ranges[i]
        for j in range(i):
            other_x, other_y, other_radius = sites[j]
            dx, dy = other_x - x, other_y - y
            away = hypot(dx, dy)
            if away < SAME_PLACE_MM:
                continue
            middle = atan2(dy, dx)
            opposite = middle + pi if middle <= 0 else middle - pi
            if away > 4 * (radius + other_radius + clearance):
                half, back = asin((other_radius + clearance) / away), asin((radius + clearance) / away)
            else:
                half = blocked_half_angle(away, radius, other_radius + clearance)
                back = blocked_half_angle(away, other_radius, radius + clearance)
            for into, mid, h in ((own, middle, half), (ranges[j], opposite, back)):
                low, high = mid - h, mid + h
                into.append((low, high))
                if low < -pi:
                    into.append((low + math.tau, 9.0))
                elif high > pi:
                    into.append((_BELOW, high - math.tau))
    return ranges


def _merged(ranges: list[tuple[float, float]]) -> tuple[list[float], list[float]]:
    """The union as starts and ends of disjoint ranges in order, led by an empty one."""
    ranges.sort()
    starts, ends = [_BELOW], [_BELOW]
    for low, high in ranges:
        if low > ends[-1]:
            starts.append(low)
            ends.append(high)
        elif high > ends[-1]:
            ends[-1] = high
    return starts, ends


def _steps(site: Site, asides: Sequence[Aside]) -> tuple[list[float], list[float]]:
    """Angles in order at which the sum of prices changes, and the sums before the first and after each."""
    changes = []
    for aside in asides:
        if aside.site != site.key:
            for low, high in _wedges((site.x, site.y), aside.box):
                changes.append((low, aside.price_mm))
                changes.append((high, -aside.price_mm))
    changes.sort()
    return [angle for angle, _ in changes], list(accumulate([more for _, more in changes], initial=0.0))


def _wedges(place: Point, box: Box) -> list[tuple[float, float]]:
    """The ranges of angles under which a box is seen; all angles from within."""
    (x, y, w, h), (px, py), atan2 = box, place, math.atan2
    left, right, above, below = x - px, x + w - px, y - py, y + h - py
    if left > 0:
        return [(atan2(above, left if above < 0 else right), atan2(below, left if below > 0 else right))]
    if right < 0:
        if above < 0 <= below:  # behind, where angles begin anew
            return [(atan2(below, right), 9.0), (_BELOW, atan2(above, right))]
        near, far = (right, left) if above >= 0 else (left, right)
        return [(atan2(below, near), atan2(above, far))]
    if above <= 0 <= below:
        return [(_BELOW, 9.0)]
    y, near, far = (above, right, left) if above > 0 else (below, left, right)
    return [(atan2(y, near), atan2(y, far))]


def blocked_half_angle(away: float, start: float, reach: float) -> float:
    """Half the angle under which a ray that begins start mm from its origin comes within reach of a point.

    away: the point's distance from the origin.
    """
    if away > reach and away * away - reach * reach >= start * start:
        return math.asin(reach / away)
    cosine = (start * start + away * away - reach * reach) / (2 * start * away) if start > 0 else -1.0
    return math.acos(max(-1.0, min(1.0, cosine)))


def meets_box(a: Point, b: Point, box: Box) -> bool:
    """Whether the segment meets the box (Liang and Barsky, "A New Concept … for Line Clipping", 1984)."""
    (ax, ay), (bx, by), (x, y, w, h) = a, b, box
    dx, dy = bx - ax, by - ay
    low, high = 0.0, 1.0
    if -1e-12 < dx < 1e-12:
        if not x <= ax <= x + w:
            return False
    else:
        one, two = ((x - ax) / dx, (x + w - ax) / dx) if dx > 0 else ((x + w - ax) / dx, (x - ax) / dx)
        low, high = one if one > 0.0 else 0.0, two if two < 1.0 else 1.0
    if -1e-12 < dy < 1e-12:
        return low <= high and y <= ay <= y + h
    one, two = ((y - ay) / dy, (y + h - ay) / dy) if dy > 0 else ((y + h - ay) / dy, (y - ay) / dy)
    return max(low, one) <= min(high, two)
