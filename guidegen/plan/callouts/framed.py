"""Badges of any size on straight or bent leaders: slower than RoundField, and judged by their true shapes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import chain, count, repeat
from typing import NamedTuple, TypeAlias

from guidegen.drawing.boxes import grown
from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.boundary import Port
from guidegen.plan.callouts.model import Badge, Box, Task
from guidegen.plan.callouts.paths import closer, leader_path, length_of, point_to_segment, seat
from guidegen.plan.callouts.repair import to_front
from guidegen.plan.callouts.sight import SAME_PLACE_MM, SLACK_MM, Sight, meets_box

WINDOW_MM = 120.0  # how much longer than its shortest a leader may get
_BANDS_MM = (10.0, 30.0, WINDOW_MM)  # of which places are put in order one after the other
SLIDE = 3
PARTED_MM = 0.1  # least distance of two leaders of one place once they have left the marker

_ROUNDING_MM = 1e-6

# Left, right, top, bottom.
_Sides: TypeAlias = tuple[float, float, float, float]
# Start, end, and the sides of the box about both, as much wider as others must stay clear.
_Leg: TypeAlias = tuple[Point, Point, float, float, float, float]


class Stand(NamedTuple):
    """A callout at a place; a leader that cannot be is empty and dear."""

    cost: float
    path: tuple[Point, ...]
    box: Box  # of the badge
    extent: _Sides  # of leader and badge
    legs: Sequence[_Leg]
    number: int


_NOWHERE = Stand(0.0, (), (0.0, 0.0, 0.0, 0.0), (0.0, 0.0, 0.0, 0.0), (), -1)


class FramedField:
    """Callouts on places given by anchors, the middles of the badges' near edges; see repair.Field."""

    def __init__(self, task: Task, places: Sequence[Port]) -> None:
        """places: anchors outside the hull of body and sites."""
        self.task, self.places = task, places
        self.sites, self.count = task.sites, len(task.sites)
        self.clear = task.clearance_mm + SLACK_MM
        self._gap = task.gap_mm - 1e-9
        self._blocks = [grown(box, self.clear) for box in task.obstacles]
        self._taken = [_sides(grown(box, self.clear)) for box in (*task.obstacles, *task.off_badges)]
        self._markers = [((s.x, s.y), s.radius_mm + self.clear) for s in task.sites]
        self._far = max(reach for _, reach in self._markers)
        self._sight = Sight(task.sites, task.clearance_mm, task.obstacles)
        self._straight = task.style == "straight"
        sizes = sorted({s.badge for s in task.sites}, key=lambda b: (b.width_mm, b.height_mm, b.round))
        self._size = [sizes.index(s.badge) for s in task.sites]
        self._boxes = [[seat((p.x, p.y), p.normal, badge) for p in places] for badge in sizes]
        self._ends = [
            list(map(_end, repeat(b), row, places)) for b, row in zip(sizes, self._boxes, strict=True)
        ]
        self._costs: dict[int, list[float]] = {}
        self._near: dict[tuple[int, int], list[Point] | None] = {}
        self._at = [-1] * self.count
        self._stands = [_NOWHERE] * self.count
        self._seen: list[dict[int, Stand]] = [{} for _ in task.sites]
        self._made = count()
        self._meeting: dict[tuple[int, int], bool] = {}  # of two stands, by their numbers
        self._known: dict[int, list[tuple[float, int]]] = {}
        self._rest: dict[int, Iterator[tuple[float, int]]] = {}

    def cost(self, i: int) -> float:
        return self._stands[i].cost

    def place_of(self, i: int) -> int:
        return self._at[i]

    def end_of(self, place: int) -> Point:
        return (self.places[place].x, self.places[place].y)

    def stand(self, i: int) -> Stand:
        """Callout i where it stands."""
        return self._stands[i]

    def put(self, i: int, place: int) -> None:
        self._at[i] = place
        self._stands[i] = self.standing(i, place)

    def standing(self, i: int, place: int) -> Stand:
        """Callout i at a place."""
        found = self._seen[i].get(place)
        if found is None:
            found = self._seen[i][place] = self._stood(i, place)
        return found

    def _stood(self, i: int, place: int) -> Stand:
        site, size = self.sites[i], self._size[i]
        box, (x, y, nx, ny) = self._boxes[size][place], self._ends[size][place]
        path = leader_path(self.task.style, site, (x, y), (nx, ny))
        if not path:
            return Stand(math.inf, path, box, _sides(box), (), next(self._made))
        length = math.dist((site.x, site.y), (x, y)) if self._straight else length_of(path) + site.radius_mm
        wider = self.clear + _ROUNDING_MM
        legs = [_leg(a, b, wider) for a, b in zip(path, path[1:], strict=False)]
        return Stand(length, path, box, _extent(path, box), legs, next(self._made))

    def _crowding(self, i: int, place: int) -> list[Point] | None:
        """The markers that badge i would be too near to at a place; None where it has no room."""
        key = (self._size[i], place)
        if key not in self._near:
            self._near[key] = self._crowded(self._boxes[key[0]][place])
        return self._near[key]

    def _crowded(self, box: Box) -> list[Point] | None:
        if not _inside(box, self.task.room) or _touches(box, self._taken):
            return None
        left, right, top, bottom = _sides(grown(box, self._far))
        return [
            p
            for p, reach in self._markers
            if left < p[0] < right and top < p[1] < bottom and _box_to_point(box, p) < reach
        ]

    def choices(self, i: int) -> Iterator[tuple[float, int]]:
        known = self._known.get(i)
        if known is None:
            known, self._rest[i] = self._known.setdefault(i, []), _nearest_first(self.costs(i))
        return chain(known, self._unknown(i, known))

    def _unknown(self, i: int, known: list[tuple[float, int]]) -> Iterator[tuple[float, int]]:
        """The choices that nobody has asked for yet."""
        for choice in self._rest[i]:
            if self.free(i, choice[1]):
                known.append(choice)
                yield choice

    def best(
        self, i: int, order: list[int], row: Sequence[float], limit: float
    ) -> tuple[int, list[int]] | None:
        found = None
        for cost, place in self.choices(i):
            if cost >= limit:
                break
            price, met = self.clashes(i, place, order, row, limit - cost)
            if price + cost < limit:
                limit, found = price + cost, (place, met)
            elif met:
                to_front(order, met[-1])
        return found

    def costs(self, i: int) -> list[float]:
        """What callout i costs at each place, were it alone; infinite where it cannot have a leader."""
        found = self._costs.get(i)
        if found is None:
            found = self._costs[i] = self._straight_costs(i) if self._straight else self._bent_costs(i)
        return found

    def _bent_costs(self, i: int) -> list[float]:
        return [self.standing(i, k).cost for k in range(len(self.places))]

    def _straight_costs(self, i: int) -> list[float]:
        site, inf, hypot = self.sites[i], math.inf, math.hypot
        x, y, radius = site.x, site.y, site.radius_mm
        return [
            hypot(dx, dy) if (dx := ex - x) * nx + (dy := ey - y) * ny > radius else inf
            for ex, ey, nx, ny in self._ends[self._size[i]]
        ]

    def free(self, i: int, place: int) -> bool:
        """Whether the badge fits there and its leader passes no other marker and no obstacle."""
        near, here = self._crowding(i, place), self.sites[i]
        if near is None or (near and any(math.dist(p, (here.x, here.y)) >= SAME_PLACE_MM for p in near)):
            return False
        if self._straight:
            x, y, nx, ny = self._ends[self._size[i]][place]
            away = (x - here.x) * nx + (y - here.y) * ny
            return away > here.radius_mm and not self._sight.bars(i, (x, y))
        return self._passes(i, self.standing(i, place).path)

    def _passes(self, i: int, path: tuple[Point, ...]) -> bool:
        """Whether a bent leader passes no other marker and no obstacle too near."""
        here, legs = self.sites[i], list(zip(path, path[1:], strict=False))
        for j, other in enumerate(self.sites):
            p, reach = (other.x, other.y), other.radius_mm + self.clear
            if j == i or math.hypot(other.x - here.x, other.y - here.y) < SAME_PLACE_MM:
                continue
            if any(point_to_segment(p, a, b) < reach for a, b in legs):
                return False
        return bool(path) and not any(meets_box(a, b, block) for a, b in legs for block in self._blocks)

    def nearby(self, i: int) -> list[tuple[float, int]]:
        at, found = self._at[i], []
        for k in range(at - SLIDE, at + SLIDE + 1):
            k %= len(self.places)
            if self.places[k].ring == self.places[at].ring and (k == at or self.free(i, k)):
                found.append((self.standing(i, k).cost, k))
        return sorted(found)

    def clashes(
        self, i: int, place: int, order: Sequence[int], row: Sequence[float], limit: float
    ) -> tuple[float, list[int]]:
        stand, stands, meeting = self.standing(i, place), self._stands, self._meeting
        number = stand.number
        left, right, top, bottom = stand.extent
        near = max(self.task.gap_mm, self.clear) + _ROUNDING_MM
        left, right, top, bottom = left - near, right + near, top - near, bottom + near
        total = 0.0
        met: list[int] = []
        for j in order:
            other = stands[j]
            first, last, upper, lower = other.extent
            if first > right or last < left or upper > bottom or lower < top:
                continue
            pair = number, other.number
            if pair not in meeting:
                meeting[pair] = self._meet(i, stand, j, other)
            if meeting[pair]:
                met.append(j)
                total += row[j]
                if total >= limit:
                    break
        return total, met

    def _meet(self, i: int, one: Stand, j: int, two: Stand) -> bool:
        (_, _, box, _, legs, _), (_, _, other_box, _, other_legs, _) = one, two
        if _boxes_within(box, other_box, self._gap):
            return True
        if _meets(legs, other_box, self.clear) or _meets(other_legs, box, self.clear):
            return True
        here, there = self.sites[i], self.sites[j]
        for a, b, left, right, top, bottom in legs:
            for c, d, first, last, upper, lower in other_legs:
                if first > right or last < left or upper > bottom or lower < top:
                    continue
                same = math.hypot(here.x - there.x, here.y - there.y) < SAME_PLACE_MM
                if closer(a, b, c, d, PARTED_MM if same else self.clear):
                    return True
        return False


def _end(badge: Badge, box: Box, port: Port) -> tuple[float, float, float, float]:
    """Where the leader of a badge in its box at a port ends, and the normal there."""
    nx, ny = port.normal
    if not badge.round:
        return port.x, port.y, nx, ny
    x, y, w, h = box  # the anchor of a corner is not on the circle
    return x + w / 2 - nx * w / 2, y + h / 2 - ny * h / 2, nx, ny


def _nearest_first(costs: Sequence[float]) -> Iterator[tuple[float, int]]:
    """Costs with their places, sorted band by band as far as they are asked for.

    Not of the field: it would hold what holds it, and both would stay in memory.
    """
    low = done = min(costs, default=0.0)
    for band in _BANDS_MM:
        yield from sorted([(cost, k) for k, cost in enumerate(costs) if done <= cost < low + band])
        done = low + band


def _meets(legs: Sequence[_Leg], box: Box, clear: float) -> bool:
    """Whether any of the legs comes so near to the box, across and down."""
    x, y, w, h = box
    for a, b, left, right, top, bottom in legs:
        beside = left > x + w or right < x or top > y + h or bottom < y
        if not beside and meets_box(a, b, grown(box, clear)):
            return True
    return False


def _leg(a: Point, b: Point, wider: float) -> _Leg:
    (ax, ay), (bx, by) = a, b
    left, right = (ax, bx) if ax < bx else (bx, ax)
    top, bottom = (ay, by) if ay < by else (by, ay)
    return (a, b, left - wider, right + wider, top - wider, bottom + wider)


def _sides(box: Box) -> _Sides:
    x, y, w, h = box
    return (x, x + w, y, y + h)


def _extent(path: tuple[Point, ...], badge: Box) -> _Sides:
    """The sides of the box about a leader and its badge."""
    left, right, top, bottom = _sides(badge)
    for x, y in path:
        left, right = (x, right) if x < left else (left, x) if x > right else (left, right)
        top, bottom = (y, bottom) if y < top else (top, y) if y > bottom else (top, bottom)
    return (left, right, top, bottom)


def _inside(box: Box, room: Box) -> bool:
    return (
        box[0] >= room[0]
        and box[1] >= room[1]
        and box[0] + box[2] <= room[0] + room[2]
        and box[1] + box[3] <= room[1] + room[3]
    )


def _touches(box: Box, blocks: Sequence[_Sides]) -> bool:
    """Whether the box overlaps any of the blocks."""
    left, right, top, bottom = _sides(box)
    for first, last, upper, lower in blocks:
        if left < last and right > first and top < lower and bottom > upper:
            return True
    return False


def _boxes_within(a: Box, b: Box, apart: float) -> bool:
    """Whether two boxes are less than so far apart, or overlap."""
    x, y, w, h = a
    x2, y2, w2, h2 = b
    dx, dy = max(x - x2 - w2, x2 - x - w), max(y - y2 - h2, y2 - y - h)
    return dx < apart and dy < apart and (dx <= 0 or dy <= 0 or math.hypot(dx, dy) < apart)


def _box_to_point(box: Box, p: Point) -> float:
    dx = max(box[0] - p[0], p[0] - box[0] - box[2], 0.0)
    dy = max(box[1] - p[1], p[1] - box[1] - box[3], 0.0)
    return math.hypot(dx, dy)
