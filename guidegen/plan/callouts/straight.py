"""Straight leaders from sites to ports: what they cost and what they meet."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from guidegen.plan.callouts.boundary import Port
from guidegen.plan.callouts.model import Site
from guidegen.plan.callouts.sight import SAME_PLACE_MM, SLACK_MM, Sight

PASS_MM = 1000.0  # price of a leader that passes too near a marker or an obstacle: dearer than any leader
FREE_MM, STRAY = 20.0, 2.0  # detour that is thought nothing of; what each mm beyond costs more
PARTING = 0.12  # least sine between two leaders of one place


def cost_of(length: float, least: float) -> float:
    """What a leader costs: its length, and more for a long detour; least: the shortest of its site.

    A few leaders across the drawing are worse to read than many that are a little longer.
    """
    beyond = length - least - FREE_MM
    return length + STRAY * beyond if beyond > 0 else length


class StraightLeaders:
    """All leaders between sites and ports; ports lie on convex curves that have every site inside.

    costs[i][p] is the cost of the leader from site i to port p with the asides that it runs over, plus
    PASS_MM if it passes a marker or an obstacle within the clearance; least[i] the length of the shortest of
    site i.
    """

    def __init__(
        self, sites: Sequence[Site], ports: Sequence[Port], size: float, clearance: float, sight: Sight
    ) -> None:
        """size: diameter of the badges; sight: that of the same sites."""
        self.size, self.clearance = size, clearance + SLACK_MM
        self.places = sight.places
        self.ends = [(p.x, p.y) for p in ports]
        dist = math.dist
        self.lengths = [[dist(a, b) for b in self.ends] for a in self.places]
        self.least = [min(row, default=0.0) for row in self.lengths]
        self._order: list[list[int]] = []
        self.costs = [self._priced(i, sight) for i in range(len(sites))]
        self._hits: dict[tuple[int, int], frozenset[int]] = {}

    def _priced(self, i: int, sight: Sight) -> list[float]:
        (x, y), atan2 = self.places[i], math.atan2
        angles = [atan2(q - y, p - x) for p, q in self.ends]
        order = sorted(range(len(angles)), key=angles.__getitem__)
        self._order.append(order)
        ordered, free = [angles[p] for p in order], self.least[i] + FREE_MM
        row = sight.priced_lengths(i, self.lengths[i], angles)
        row = [d + STRAY * (d - free) if d > free else d for d in row]
        for low, high in zip(*sight.ranges[i], strict=True):
            for k in range(bisect_left(ordered, low), bisect_right(ordered, high)):
                row[order[k]] += PASS_MM
        if sight.obstacles:
            for p, angle in enumerate(angles):
                if row[p] < PASS_MM and sight.obstructed(i, angle, self.ends[p]):
                    row[p] += PASS_MM
        return row

    def crosses(self, i: int, p: int, j: int, q: int) -> bool:
        """Whether leaders i → p and j → q meet (those of one place: whether they do not part)."""
        (ax, ay), (bx, by) = self.places[i], self.ends[p]
        (cx, cy), (dx, dy) = self.places[j], self.ends[q]
        ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
        if abs(ax - cx) < SAME_PLACE_MM and abs(ay - cy) < SAME_PLACE_MM:
            sine = (ux * vy - uy * vx) / (self.lengths[i][p] * self.lengths[j][q])
            return abs(sine) < PARTING and ux * vx + uy * vy > 0
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
