"""Badges of any size on straight or bent leaders: slower than RoundField, and judged by their true shapes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.boundary import Port
from guidegen.plan.callouts.model import Badge, Box, Task
from guidegen.plan.callouts.paths import leader_path, length_of, point_to_segment, seat, segments_apart
from guidegen.plan.callouts.repair import to_front
from guidegen.plan.callouts.sight import SAME_PLACE_MM, SLACK_MM, Sight, meets_box

WINDOW_MM = 120.0  # how much longer than its shortest a leader may get
SLIDE = 3
PARTED_MM = 0.1  # least distance of two leaders of one place once they have left the marker

# Cost, leader, box of the badge, box about leader and badge.
Stand = tuple[float, tuple[Point, ...], Box, Box]


class Seat(NamedTuple):
    """A badge at a place: its box, where a leader ends, whether there is room."""

    box: Box
    end: Point
    fits: bool


class FramedField:
    """Callouts on places given by anchors, the middles of the badges' near edges; see repair.Field."""

    def __init__(self, task: Task, places: Sequence[Port]) -> None:
        """places: anchors outside the hull of body and sites."""
        self.task, self.places = task, places
        self.sites, self.count = task.sites, len(task.sites)
        self.clear = task.clearance_mm + SLACK_MM
        self._blocks = [_grown(box, self.clear) for box in task.obstacles]
        self._taken = self._blocks + [_grown(box, self.clear) for box in task.off_badges]
        self._markers = [((s.x, s.y), s.radius_mm + self.clear) for s in task.sites]
        self._far = max(reach for _, reach in self._markers)
        self._sight = Sight(task.sites, task.clearance_mm, task.obstacles)
        self._straight = task.style == "straight"
        sizes = sorted({s.badge for s in task.sites}, key=lambda b: (b.width_mm, b.height_mm, b.round))
        self._size = [sizes.index(s.badge) for s in task.sites]
        self._seats = [[self._seated(badge, port) for port in places] for badge in sizes]
        self._ends = [[(*s.end, *p.normal) for s, p in zip(row, places, strict=True)] for row in self._seats]
        self._costs: dict[int, list[float]] = {}
        self._near: dict[tuple[int, int], list[Point]] = {}
        self._at = [-1] * self.count
        nowhere = (0.0, 0.0, 0.0, 0.0)
        self._stands: list[Stand] = [(0.0, (), nowhere, nowhere)] * self.count
        self._seen: list[dict[int, Stand]] = [{} for _ in task.sites]
        self._known: dict[int, list[tuple[float, int]]] = {}
        self._rest: dict[int, Iterator[tuple[float, int]]] = {}

    def cost(self, i: int) -> float:
        return self._stands[i][0]

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
        """Callout i at a place; a leader that cannot be is empty and dear."""
        found = self._seen[i].get(place)
        if found is None:
            found = self._seen[i][place] = self._made(i, place)
        return found

    def _made(self, i: int, place: int) -> Stand:
        site, seat = self.sites[i], self._seat(i, place)
        path = leader_path(self.task.style, site, seat.end, self.places[place].normal)
        if not path:
            return math.inf, path, seat.box, seat.box
        length = self._sight.length(i, seat.end) if self._straight else length_of(path) + site.radius_mm
        return length, path, seat.box, _extent(path, seat.box)

    def _seat(self, i: int, place: int) -> Seat:
        """The badge of callout i at a place, whatever its leader."""
        return self._seats[self._size[i]][place]

    def _seated(self, badge: Badge, port: Port) -> Seat:
        x, y, w, h = box = seat((port.x, port.y), port.normal, badge)
        end = (port.x, port.y)
        if badge.round:  # the anchor of a corner is not on the circle
            end = (x + w / 2 - port.normal[0] * w / 2, y + h / 2 - port.normal[1] * h / 2)
        return Seat(box, end, _inside(box, self.task.room) and not _touches(box, self._taken))

    def _crowding(self, i: int, place: int) -> list[Point]:
        """The markers that badge i would be too near to at a place."""
        key = (self._size[i], place)
        found = self._near.get(key)
        if found is None:
            x, y, w, h = box = self._seat(i, place).box
            left, right, top, bottom = x - self._far, x + w + self._far, y - self._far, y + h + self._far
            found = self._near[key] = [
                p
                for p, reach in self._markers
                if left < p[0] < right and top < p[1] < bottom and _box_to_point(box, p) < reach
            ]
        return found

    def choices(self, i: int) -> Iterator[tuple[float, int]]:
        if i not in self._known:
            self._known[i], self._rest[i] = [], self._free_places(i)
        yield from self._known[i]
        for choice in self._rest[i]:
            self._known[i].append(choice)
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

    def _free_places(self, i: int) -> Iterator[tuple[float, int]]:
        reach = self.costs(i)
        far = min(reach, default=0.0) + WINDOW_MM
        for cost, k in sorted([(c, k) for k, c in enumerate(reach) if c < far]):
            if self.free(i, k):
                yield cost, k

    def costs(self, i: int) -> list[float]:
        """What callout i costs at each place, were it alone; infinite where it cannot have a leader."""
        found = self._costs.get(i)
        if found is None:
            found = self._costs[i] = self._straight_costs(i) if self._straight else self._bent_costs(i)
        return found

    def _bent_costs(self, i: int) -> list[float]:
        return [self.standing(i, k)[0] for k in range(len(self.places))]

    def _straight_costs(self, i: int) -> list[float]:
        site, inf = self.sites[i], math.inf
        x, y, radius = site.x, site.y, site.radius_mm
        return [
            self._sight.length(i, (ex, ey)) if (ex - x) * nx + (ey - y) * ny > radius else inf
            for ex, ey, nx, ny in self._ends[self._size[i]]
        ]

    def free(self, i: int, place: int) -> bool:
        """Whether the badge fits there and its leader passes no other marker and no obstacle."""
        seated, here = self._seat(i, place), self.sites[i]
        if not seated.fits or any(
            math.dist(p, (here.x, here.y)) >= SAME_PLACE_MM for p in self._crowding(i, place)
        ):
            return False
        if self._straight:
            (x, y), (nx, ny) = seated.end, self.places[place].normal
            away = (x - here.x) * nx + (y - here.y) * ny
            return away > here.radius_mm and not self._sight.bars(i, seated.end)
        return self._passes(i, self.standing(i, place)[1])

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
                found.append((self.standing(i, k)[0], k))
        return sorted(found)

    def clashes(
        self, i: int, place: int, order: Sequence[int], row: Sequence[float], limit: float
    ) -> tuple[float, list[int]]:
        stand = self.standing(i, place)
        left, top, width, height = _grown(stand[3], self.task.gap_mm + self.clear)
        right, bottom = left + width, top + height
        total = 0.0
        met: list[int] = []
        for j in order:
            other = self._stands[j]
            x, y, w, h = other[3]
            if x > right or x + w < left or y > bottom or y + h < top:
                continue
            if self._meet(i, stand, j, other):
                met.append(j)
                total += row[j]
                if total >= limit:
                    break
        return total, met

    def _meet(self, i: int, one: Stand, j: int, two: Stand) -> bool:
        (_, path, box, _), (_, other_path, other_box, _) = one, two
        if _boxes_apart(box, other_box) < self.task.gap_mm - 1e-9:
            return True
        legs = list(zip(path, path[1:], strict=False))
        other_legs = list(zip(other_path, other_path[1:], strict=False))
        if _meets(legs, _grown(other_box, self.clear)) or _meets(other_legs, _grown(box, self.clear)):
            return True
        here, there = self.sites[i], self.sites[j]
        same = math.hypot(here.x - there.x, here.y - there.y) < SAME_PLACE_MM
        least = PARTED_MM if same else self.clear
        return any(segments_apart(a, b, c, d) < least for a, b in legs for c, d in other_legs)


def _meets(legs: Sequence[tuple[Point, Point]], box: Box) -> bool:
    """Whether any of the legs meets the box."""
    return any(meets_box(a, b, box) for a, b in legs)


def _grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + 2 * by, box[3] + 2 * by)


def _extent(path: tuple[Point, ...], badge: Box) -> Box:
    """The box about a leader and its badge."""
    x, y, w, h = badge
    xs, ys = [x, x + w, *(p[0] for p in path)], [y, y + h, *(p[1] for p in path)]
    left, top = min(xs), min(ys)
    return (left, top, max(xs) - left, max(ys) - top)


def _inside(box: Box, room: Box) -> bool:
    return (
        box[0] >= room[0]
        and box[1] >= room[1]
        and box[0] + box[2] <= room[0] + room[2]
        and box[1] + box[3] <= room[1] + room[3]
    )


def _touches(box: Box, blocks: Sequence[Box]) -> bool:
    """Whether the box overlaps any of the blocks."""
    left, top, w, h = box
    right, bottom = left + w, top + h
    for x, y, width, height in blocks:
        if left < x + width and right > x and top < y + height and bottom > y:
            return True
    return False


def _boxes_apart(a: Box, b: Box) -> float:
    dx = max(a[0] - b[0] - b[2], b[0] - a[0] - a[2], 0.0)
    dy = max(a[1] - b[1] - b[3], b[1] - a[1] - a[3], 0.0)
    return math.hypot(dx, dy)


def _box_to_point(box: Box, p: Point) -> float:
    dx = max(box[0] - p[0], p[0] - box[0] - box[2], 0.0)
    dy = max(box[1] - p[1], p[1] - box[1] - box[3], 0.0)
    return math.hypot(dx, dy)
