"""Round badges on straight leaders where they stand now, on finely spaced places about the body."""

from __future__ import annotations

import math
from collections.abc import Sequence

from guidegen.plan.callouts.boundary import Port
from guidegen.plan.callouts.model import Site
from guidegen.plan.callouts.repair import CONFLICT_MM
from guidegen.plan.callouts.sight import SAME_PLACE_MM, SLACK_MM, Sight
from guidegen.plan.callouts.straight import PARTING

WINDOW_MM = 100.0  # how much longer than its shortest a leader may get
SLIDE = 4  # places either way that a callout may slide when all is clean


class RoundField:
    """Callouts whose badge is a circle and whose leader is one straight line; see repair.Field."""

    def __init__(
        self,
        sites: Sequence[Site],
        size: float,
        clearance: float,
        gap: float,
        places: Sequence[Port],
        sight: Sight,
    ) -> None:
        """places: where a badge may go, all outside the convex hull of the sites."""
        self.sites, self.places, self.sight = sites, places, sight
        self.count = len(sites)
        self.reach = size / 2 + clearance + SLACK_MM
        self.apart = size + gap
        self._ends = [(p.x, p.y) for p in places]
        self._at = [-1] * self.count
        self._rays = [(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)] * self.count  # start, end, direction, length
        self._extents = [(0.0, 0.0, 0.0, 0.0)] * self.count
        self._choices: list[list[tuple[float, int]] | None] = [None] * self.count

    def length(self, i: int) -> float:
        return self._rays[i][6]

    def place_of(self, i: int) -> int:
        return self._at[i]

    def put(self, i: int, place: int) -> None:
        ax, ay = self.sites[i].x, self.sites[i].y
        x, y = self._ends[place]
        length = math.hypot(x - ax, y - ay)
        self._at[i] = place
        self._rays[i] = (ax, ay, x, y, (x - ax) / length, (y - ay) / length, length)
        self._extents[i] = (min(ax, x), max(ax, x), min(ay, y), max(ay, y))

    def choices(self, i: int) -> list[tuple[float, int]]:
        """Places whose leader from site i passes no marker and no obstacle too near, nearest first."""
        found = self._choices[i]
        if found is None:
            found = self._choices[i] = self._free_places(i)
        return found

    def _free_places(self, i: int) -> list[tuple[float, int]]:
        ax, ay, hypot, atan2 = self.sites[i].x, self.sites[i].y, math.hypot, math.atan2
        blocked, obstructed = self.sight.blocked, self.sight.obstructed
        away = [hypot(x - ax, y - ay) for x, y in self._ends]
        far = min(away, default=0.0) + WINDOW_MM
        out = []
        for d, k in sorted((d, k) for k, d in enumerate(away) if d < far):
            end = self._ends[k]
            angle = atan2(end[1] - ay, end[0] - ax)
            if not blocked(i, angle) and not obstructed(i, angle, end):
                out.append((d, k))
        return out

    def nearby(self, i: int) -> list[tuple[float, int]]:
        """As choices, but only the places next to where callout i stands, on the same ring."""
        (ax, ay), at = self.sight.places[i], self._at[i]
        ring, out = self.places[at].ring, []
        for step in range(-SLIDE, SLIDE + 1):
            k = (at + step) % len(self.places)
            x, y = self._ends[k]
            angle = math.atan2(y - ay, x - ax)
            barred = self.sight.blocked(i, angle) or self.sight.obstructed(i, angle, (x, y))
            if self.places[k].ring == ring and not barred:
                out.append((math.hypot(x - ax, y - ay), k))
        return sorted(out)

    def clashes(
        self, i: int, place: int, order: Sequence[int], prices: dict[int, float], limit: float
    ) -> tuple[float, list[int]]:
        ax, ay = self.sites[i].x, self.sites[i].y
        ex, ey = self._ends[place]
        length = math.hypot(ex - ax, ey - ay)
        ux, uy = (ex - ax) / length, (ey - ay) / length
        reach, near, margin = self.reach, self.apart * self.apart - 1e-6, max(self.apart, self.reach)
        left, right = min(ax, ex) - margin, max(ax, ex) + margin
        top, bottom = min(ay, ey) - margin, max(ay, ey) + margin
        rays, extents, total = self._rays, self._extents, 0.0
        met: list[int] = []
        for j in order:
            l2, r2, t2, b2 = extents[j]
            if l2 > right or r2 < left or t2 > bottom or b2 < top:
                continue
            sx, sy, bx, by, wx, wy, reached = rays[j]
            px, py, qx, qy = bx - ax, by - ay, ex - sx, ey - sy
            badge_off, end_off = ux * py - uy * px, wx * qy - wy * qx
            if not (
                (ex - bx) * (ex - bx) + (ey - by) * (ey - by) < near
                or (-reach < badge_off < reach and 0.0 < ux * px + uy * py < length)
                or (-reach < end_off < reach and 0.0 < wx * qx + wy * qy < reached)
            ):
                dx, dy = sx - ax, sy - ay
                if abs(dx) < SAME_PLACE_MM and abs(dy) < SAME_PLACE_MM:
                    if abs(ux * wy - uy * wx) > PARTING or ux * wx + uy * wy < 0:
                        continue
                elif (ux * dy - uy * dx) * badge_off > 0 or (wy * dx - wx * dy) * end_off > 0:
                    continue
            met.append(j)
            total += prices.get(i * self.count + j if i < j else j * self.count + i, CONFLICT_MM)
            if total >= limit:
                break
        return total, met
