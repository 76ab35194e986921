"""Straight leaders from sites to ports: what they cost, what they meet, and how they are drawn."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import accumulate

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.boundary import Port
from guidegen.plan.callouts.model import Box, Site

SAME_PLACE_MM = 0.01
SLACK_MM = 0.02  # what rounding of coordinates may take from a clearance
PASS_MM = 1000.0  # price of one pass too near a marker: dearer than any leader


class StraightLeaders:
    """All leaders between sites and ports; ports lie on convex curves that have every site inside.

    costs[i][p] is the distance from site i to port p plus PASS_MM for each marker or obstacle that the
    leader passes within the clearance.
    """

    def __init__(
        self,
        sites: Sequence[Site],
        ports: Sequence[Port],
        size: float,
        clearance: float,
        obstacles: Sequence[Box],
    ) -> None:
        self.sites, self.ports, self.size = sites, ports, size
        self.clearance = clearance + SLACK_MM
        self.places = [(s.x, s.y) for s in sites]
        self.ends = [(p.x, p.y) for p in ports]
        dist = math.dist
        self.lengths = [[dist(a, b) for b in self.ends] for a in self.places]
        self._order: list[list[int]] = []
        self._angles: list[list[float]] = []
        for x, y in self.places:
            angles = [math.atan2(q - y, p - x) for p, q in self.ends]
            order = sorted(range(len(angles)), key=angles.__getitem__)
            self._order.append(order)
            self._angles.append([angles[p] for p in order])
        self.costs = [self._priced(i) for i in range(len(sites))]
        for box in obstacles:
            self._price_obstacle(box)
        self._hits: dict[tuple[int, int], frozenset[int]] = {}

    def _priced(self, i: int) -> list[float]:
        """Lengths from site i with near passes priced, counted by the angles that other markers block."""
        angles, (x, y), own = self._angles[i], self.places[i], self.sites[i].radius_mm
        count = len(angles)
        change = [0] * (count + 1)
        for j, (sx, sy) in enumerate(self.places):
            away = math.hypot(sx - x, sy - y)
            if j == i or away < SAME_PLACE_MM:
                continue
            half = blocked_half_angle(away, own, self.sites[j].radius_mm + self.clearance)
            middle = math.atan2(sy - y, sx - x)
            for turn in (-math.tau, 0.0, math.tau):
                if middle + turn + half > -math.pi and middle + turn - half < math.pi:
                    change[bisect_left(angles, middle + turn - half)] += 1
                    change[bisect_right(angles, middle + turn + half)] -= 1
        row = self.lengths[i][:]
        for p, passes in zip(self._order[i], accumulate(change), strict=False):
            if passes:
                row[p] += PASS_MM * passes
        return row

    def _price_obstacle(self, box: Box) -> None:
        x, y, w, h = box
        grown = (x - self.clearance, y - self.clearance, w + 2 * self.clearance, h + 2 * self.clearance)
        xs, ys = [e[0] for e in self.ends], [e[1] for e in self.ends]
        if grown[0] > max(xs) or grown[1] > max(ys) or x + w < min(xs) or y + h < min(ys):
            return
        for place, row in zip(self.places, self.costs, strict=True):
            for p, end in enumerate(self.ends):
                if meets_box(place, end, grown):
                    row[p] += PASS_MM

    def crosses(self, i: int, p: int, j: int, q: int) -> bool:
        """Whether leaders i → p and j → q meet (those of one place: whether they do not part)."""
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = self.places[i], self.ends[p], self.places[j], self.ends[q]
        if abs(ax - cx) < SAME_PLACE_MM and abs(ay - cy) < SAME_PLACE_MM:
            turn = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
            along = (bx - ax) * (dx - ax) + (by - ay) * (dy - ay)
            return abs(math.atan2(turn, along)) * self.sites[i].radius_mm < 0.1
        ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
        if (ux * (cy - ay) - uy * (cx - ax)) * (ux * (dy - ay) - uy * (dx - ax)) > 0:
            return False
        return (vx * (ay - cy) - vy * (ax - cx)) * (vx * (by - cy) - vy * (bx - cx)) <= 0

    def hits(self, i: int, p: int) -> frozenset[int]:
        """The ports whose badge the leader i → p would pass within the clearance."""
        found = self._hits.get((i, p))
        if found is None:
            found = self._hits[i, p] = frozenset(self._near_ports(i, p))
        return found

    def _near_ports(self, i: int, p: int) -> list[int]:
        order = self._order[i]
        (x, y), (ex, ey) = self.places[i], self.ends[p]
        length, reach = self.lengths[i][p], self.size / 2 + self.clearance
        ux, uy = (ex - x) / length, (ey - y) / length
        stop = length - self.size / 2
        at, count, found = order.index(p), len(order), []
        for way in (1, -1):
            for k in range(1, count):
                q = order[(at + way * k) % count]
                dx, dy = self.ends[q][0] - x, self.ends[q][1] - y
                along, off = ux * dx + uy * dy, abs(ux * dy - uy * dx)
                if along < 0 or off > 3 * reach:
                    break
                if along > stop:
                    off = math.hypot(off, along - stop)
                if off < reach:
                    found.append(q)
        return found

    def path(self, i: int, p: int) -> tuple[Point, ...]:
        """From the marker's edge to the badge's edge; empty where they touch."""
        (x, y), (ex, ey) = self.places[i], self.ends[p]
        length, start = self.lengths[i][p], self.sites[i].radius_mm
        stop = length - self.sites[i].badge.width_mm / 2
        if stop <= start:
            return ()
        ux, uy = (ex - x) / length, (ey - y) / length
        return ((x + ux * start, y + uy * start), (x + ux * stop, y + uy * stop))


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
    x, y, w, h = box
    low, high = 0.0, 1.0
    for start, delta, near, far in ((a[0], b[0] - a[0], x, x + w), (a[1], b[1] - a[1], y, y + h)):
        if abs(delta) < 1e-12:
            if not near <= start <= far:
                return False
            continue
        one, two = (near - start) / delta, (far - start) / delta
        low, high = max(low, min(one, two)), min(high, max(one, two))
    return low <= high
