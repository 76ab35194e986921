"""Badges on straight leaders where they stand now, on finely spaced places about the body."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import chain, repeat
from typing import TypeAlias

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.boundary import Boundary, Port
from guidegen.plan.callouts.model import Site
from guidegen.plan.callouts.repair import to_front
from guidegen.plan.callouts.sight import SAME_PLACE_MM, SLACK_MM, Sight
from guidegen.plan.callouts.straight import PARTING, cost_of

NEAR_MM = 30.0  # as far beyond its shortest most leaders end
WINDOW_MM = 100.0  # how much longer than its shortest a leader may get
HATCH_MM = 1.0  # what a leader along a 45° hatching may cost to turn
HATCH_SINE = math.sin(math.radians(82))  # of twice the angle: within 4° of the hatching
SLIDE = 4  # places either way that a callout may slide when all is clean

# A leader: the box about it (left, right, top, bottom), then its start, its end, its direction, its length.
_Ray: TypeAlias = tuple[
    tuple[float, float, float, float], tuple[float, float, float, float, float, float, float]
]


class RoundField:
    """Callouts whose badges are judged by the circles about them, on straight leaders; see repair.Field."""

    def __init__(
        self,
        sites: Sequence[Site],
        radii: Sequence[float],
        clearance: float,
        gap: float,
        boundary: Boundary,
        sight: Sight,
        least: Sequence[float],
        longest: float = math.inf,
    ) -> None:
        """radii: of the circles about the badges. boundary: where a badge may go.

        Its rings that nobody has asked for yet are taken in once a callout looks for another place.
        least: about how short the leader of each site could be. longest: how long one may be.
        """
        self.sites, self.places, self.sight = sites, list[Port](), sight
        self.count, self._fixed, self._boundary = len(sites), 0, boundary
        self._given = (radii, clearance, gap, boundary)
        self._reaches = [r + clearance + SLACK_MM for r in radii]
        self._shares = [r + gap / 2 - 1e-7 for r in radii]  # of the least distance between two badges
        self._broadest = max(self._shares) if max(radii) > min(radii) else -math.inf
        self._least, self._longest = least, longest
        self._widest = max(max(self._reaches), 2 * max(self._shares))
        self.apart = 2 * min(self._shares)
        self._ends: list[Point] = []
        self._at = [-1] * self.count
        self._costs = [0.0] * self.count
        self._boxes = [(0.0, 0.0, 0.0, 0.0)] * self.count
        self._rays = [(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)] * self.count
        self._stands = (self._boxes, self._rays, self._reaches, self._shares)
        self._known_rays: list[dict[int, _Ray]] = [{} for _ in sites]
        self._known: dict[int, list[tuple[float, int]]] = {}
        self._rest: dict[int, Iterator[tuple[float, int]]] = {}
        self._grid: defaultdict[tuple[float, float], list[int]] = defaultdict(list)  # places by square cells
        self._spots: dict[int, list[int]] = {}
        self._covered: list[list[int]] = []
        self._moves, self._moved = 0, [0] * self.count
        # What each callout met at a place when it was last asked, and after how many moves that was.
        self._witnesses: list[dict[int, tuple[int, list[int]]]] = [{} for _ in sites]
        self._take_in(boundary.known())

    def under(self, sight: Sight) -> RoundField:
        """The callouts where they stand, with other prices of what leaders run over."""
        twin = RoundField(self.sites, *self._given, sight, self._least, self._longest)
        for i, place in enumerate(self._at):
            twin.put(i, place)
        return twin

    def cost(self, i: int) -> float:
        return self._costs[i]

    def end_of(self, place: int) -> Point:
        return self._ends[place]

    def place_of(self, i: int) -> int:
        return self._at[i]

    def put(self, i: int, place: int) -> None:
        if self._at[i] >= 0:
            for k in self._overlapping(self._at[i]):
                self._covered[k].remove(i)
        for k in self._overlapping(place):
            self._covered[k].append(i)
        self._at[i] = place
        self._moves += 1
        self._moved[i] = self._moves
        self._boxes[i], self._rays[i] = self._known_rays[i].get(place) or self._ray(i, place)
        ax, ay, x, y, _, _, length = self._rays[i]
        self._costs[i] = self._cost(i, length, math.atan2(y - ay, x - ax))

    def _cost(self, i: int, length: float, angle: float) -> float:
        return cost_of(length + (self.sight.price(i, angle) if self.sight.priced else 0.0), self._least[i])

    def choices(self, i: int) -> Iterator[tuple[float, int]]:
        """Places whose leader from site i passes no marker and no obstacle too near, cheapest first."""
        known = self._known.get(i)
        if known is None:
            self._take_in(self._boundary.places)
            known = self._known[i] = []
            self._rest[i] = _free_places(self.sight, self._ends, i, self._least[i], self._longest)
        return chain(known, self._unknown(i, known))

    def _unknown(self, i: int, known: list[tuple[float, int]]) -> Iterator[tuple[float, int]]:
        """The choices that nobody has asked for yet."""
        for choice in self._rest[i]:
            known.append(choice)
            yield choice

    def best(
        self, i: int, order: list[int], row: Sequence[float], limit: float
    ) -> tuple[int, list[int]] | None:
        """As in Field; what callout i met at a place before is likely to stand there still."""
        covered, moved, witnesses, meets = self._covered, self._moved, self._witnesses[i], self._meets
        found, most = None, limit
        for cost, place in self.choices(i):
            here, known, seen = covered[place], cost, None
            for j in here:
                known += row[j]
            if known < most and place in witnesses:
                then, others = seen = witnesses[place]
                for j in others:
                    if moved[j] <= then and j not in here:
                        known += row[j]
            if known >= limit:  # the choices come in two runs: cheaper ones may follow dear ones
                if cost >= (limit if known < most else most):
                    break
                continue
            price, met = meets(i, place, order, row, limit - cost, here, seen)
            if price + cost < limit:
                limit, found = price + cost, (place, met)
            elif met and met[-1] != order[0]:
                to_front(order, met[-1])
        return found

    def nearby(self, i: int) -> list[tuple[float, int]]:
        """Where callout i could slide on its ring, with its own place and the one squarely before the site.

        Leaders along a hatching cost a little more.
        """
        sight, places, ends, at = self.sight, self.places, self._ends, self._at[i]
        (ax, ay), ring, near, out = sight.places[i], places[at].ring, {at}, []
        if at < self._fixed:
            near.update(map(self._stepped, repeat(at), range(-SLIDE, SLIDE + 1)), self._foot(i))
            near.discard(-1)
        level = [k for k in near if places[k].ring == ring]
        angles = [math.atan2(ends[k][1] - ay, ends[k][0] - ax) for k in level]
        for k, angle, price in sight.open(i, level, angles):
            if not (sight.obstacles and sight.obstructed(i, angle, ends[k])):
                along_hatch = abs(math.sin(2 * angle)) > HATCH_SINE
                length = math.hypot(ends[k][0] - ax, ends[k][1] - ay)
                out.append((cost_of(length + price, self._least[i]) + along_hatch * HATCH_MM, k))
        return sorted(out)

    def _stepped(self, place: int, by: int) -> int:
        """The place so many steps, few, from a fixed one; -1 where that is on a ring that is not taken in."""
        k = place + by
        if not 0 <= k < self._fixed:
            k %= len(self._boundary.known(self._fixed + SLIDE))
        return k if k < self._fixed else -1

    def _foot(self, i: int) -> list[int]:
        """A new place at which the leader of site i meets its side squarely, if there is one at hand."""
        (ax, ay), at = self.sight.places[i], self._at[i]
        here, (x, y) = self.places[at], self._ends[at]
        nx, ny = here.normal
        shift = nx * (ay - y) - ny * (ax - x)
        way = 1 if shift > 0 else -1
        last = (x, y)
        for step in range(1, SLIDE + 1):
            k = self._stepped(at, way * step)
            straight = k >= 0 and self.places[k].normal == here.normal and self.places[k].ring == here.ring
            if not straight or math.dist(last, self._ends[k]) > self.apart / 2:
                break
            last = self._ends[k]
            if abs(nx * (last[1] - y) - ny * (last[0] - x)) >= abs(shift) > 1e-6:
                return [self._add(Port(x - ny * shift, y + nx * shift, here.normal, here.ring))]
        return []

    def _take_in(self, places: Sequence[Port]) -> None:
        """Take in those of the boundary's places that are not yet; none once other places were added."""
        more = range(self._fixed, len(places))
        if not more or len(self.places) > self._fixed:
            return
        self.places += places[self._fixed :]
        self._ends += [(p.x, p.y) for p in self.places[self._fixed :]]
        self._covered += [[] for _ in more]
        apart, grid = self.apart, self._grid
        for k, (x, y) in enumerate(self._ends[self._fixed :], self._fixed):
            grid[x // apart, y // apart].append(k)
        self._fixed = len(places)
        self._spots.clear()
        for i in sorted((i for i in range(self.count) if self._at[i] >= 0), key=self._moved.__getitem__):
            for k in self._overlapping(self._at[i]):
                if k in more:
                    self._covered[k].append(i)

    def _add(self, port: Port) -> int:
        """Take in one more place."""
        k = len(self.places)
        self.places.append(port)
        self._ends.append((port.x, port.y))
        self._grid[port.x // self.apart, port.y // self.apart].append(k)
        spots = self._overlapping(k)
        for other in spots:
            if other != k and other in self._spots:
                self._spots[other].append(k)
        on = set(spots)
        self._covered.append([j for j in range(self.count) if self._at[j] in on])
        return k

    def _overlapping(self, place: int) -> list[int]:
        """Places where a badge would be too near to one at the place, itself included."""
        found = self._spots.get(place)
        if found is None:
            ends, grid, near = self._ends, self._grid, self.apart * self.apart
            x, y = ends[place]
            column, row = x // self.apart, y // self.apart
            found = self._spots[place] = [
                k
                for across in (column - 1, column, column + 1)
                for down in (row - 1, row, row + 1)
                for k in grid.get((across, down), ())
                if (ends[k][0] - x) ** 2 + (ends[k][1] - y) ** 2 < near
            ]
        return found

    def clashes(
        self, i: int, place: int, order: Sequence[int], row: Sequence[float], limit: float
    ) -> tuple[float, list[int]]:
        seen = self._witnesses[i].get(place)
        return self._meets(i, place, order, row, limit, self._covered[place], seen)

    def _meets(
        self,
        i: int,
        place: int,
        order: Sequence[int],
        row: Sequence[float],
        limit: float,
        here: list[int],
        seen: tuple[int, list[int]] | None,
    ) -> tuple[float, list[int]]:
        """As `clashes`; here: whose badges stand too near. seen: whom it met when it was last asked."""
        total = 0.0
        met: list[int] = []
        for j in here:
            if j != i:
                met.append(j)
                total += row[j]
        if seen:
            then, others = seen
            moved = self._moved
            for j in others:  # most stand there still, and spoil the place
                if moved[j] <= then and j not in met:
                    met.append(j)
                    total += row[j]
        if total >= limit:
            return total, met
        ray = self._known_rays[i].get(place) or self._ray(i, place)
        (left, right, top, bottom), (ax, ay, ex, ey, ux, uy, length) = ray
        boxes, rays, reaches, shares = self._stands
        reach, share, known = reaches[i], shares[i], tuple(met)
        wide = share + self._broadest  # with badges of one size, those too near are told by their places
        for j in order:
            l2, r2, t2, b2 = boxes[j]
            if l2 > right or r2 < left or t2 > bottom or b2 < top or j in known:
                continue
            sx, sy, bx, by, wx, wy, reached = rays[j]
            px, py, qx, qy = bx - ax, by - ay, ex - sx, ey - sy
            badge_off, end_off = ux * py - uy * px, wx * qy - wy * qx
            far = reaches[j]
            if not (
                (-far < badge_off < far and 0.0 < ux * px + uy * py < length)
                or (-reach < end_off < reach and 0.0 < wx * qx + wy * qy < reached)
                or (-wide < ex - bx < wide and math.hypot(ex - bx, ey - by) < share + shares[j])
            ):
                dx, dy = sx - ax, sy - ay
                if -SAME_PLACE_MM < dx < SAME_PLACE_MM and -SAME_PLACE_MM < dy < SAME_PLACE_MM:
                    if abs(ux * wy - uy * wx) > PARTING or ux * wx + uy * wy < 0:
                        continue
                elif (ux * dy - uy * dx) * badge_off > 0 or (wy * dx - wx * dy) * end_off > 0:
                    continue
            met.append(j)
            total += row[j]
            if total >= limit:
                break
        self._witnesses[i][place] = (self._moves, met)
        return total, met

    def _ray(self, i: int, place: int) -> _Ray:
        """The leader of callout i to a place, which is kept."""
        (ax, ay), (x, y), by = self.sight.places[i], self._ends[place], self._widest / 2
        dx, dy = x - ax, y - ay
        length = math.hypot(dx, dy)
        left, right = (ax, x) if dx > 0 else (x, ax)
        top, bottom = (ay, y) if dy > 0 else (y, ay)
        box = (left - by, right + by, top - by, bottom + by)
        found = (box, (ax, ay, x, y, dx / length, dy / length, length))
        self._known_rays[i][place] = found
        return found


def _free_places(
    sight: Sight, ends: Sequence[Point], i: int, least: float, longest: float
) -> Iterator[tuple[float, int]]:
    """As `choices`. Not of the field: it would hold what holds it, and both would stay in memory."""
    ax, ay = sight.places[i]
    away = list(map(math.dist, repeat((ax, ay)), ends))
    low, atan2 = min(away, default=0.0), math.atan2
    for least_mm, most_mm in ((0.0, low + NEAR_MM), (low + NEAR_MM, low + WINDOW_MM)):
        most_mm = min(most_mm, longest)
        near = [k for k, d in enumerate(away) if least_mm <= d < most_mm]
        angles = [atan2(y - ay, x - ax) for x, y in map(ends.__getitem__, near)]
        found = [(away[k] + price, k, angle) for k, angle, price in sight.open(i, near, angles)]
        found.sort()
        for d, k, angle in found:
            if not (sight.obstacles and sight.obstructed(i, angle, ends[k])):
                yield cost_of(d, least), k
