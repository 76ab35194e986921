"""Places callouts with badges of any size, or with bent leaders: rows of anchors outwards from the body."""

from __future__ import annotations

import math
from collections import deque

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.assignment import Matching
from guidegen.plan.callouts.boundary import Offset, Port, convex_hull
from guidegen.plan.callouts.framed import FramedField
from guidegen.plan.callouts.model import Badge, Box, Callout, CannotPlace, Placement, Task, TooFar
from guidegen.plan.callouts.paths import length_of, seat
from guidegen.plan.callouts.repair import Prices, Repair

STEP_MM = 2.0  # between anchors
LONG_MM = 15.0  # edges to which sites have feet
ROWS_OF_LABELS, ROWS = 8, 3
ROWS_WITH_FEET = 2  # in which anchors stand squarely before the sites as well
CONFLICT_MM = 48.0
IMPOSSIBLE_MM = 1e5
ROUNDS = 400
SHORTENED = 1.6  # how many times longer than wanted a leader may be that is likely to be shortened enough


def place_framed(task: Task, hull: tuple[Point, ...]) -> Placement:
    """Badges whose near edges lie on rows round the hull, each as the others allow.

    Raises CannotPlace, TooFar when leaders are likely to stay longer than wanted.
    """
    places = _anchors(task, hull)
    field = FramedField(task, places)
    start = _first(task, field)
    if start is None:
        raise _cannot(task, len(task.sites))
    for i, place in enumerate(start):
        field.put(i, place)
    state = Repair(field, Prices(field.count, CONFLICT_MM))
    for i, place in enumerate(start):
        if not field.free(i, place) and not state.better(i, math.inf):
            raise _cannot(task, 1, (task.sites[i].key,))
    if not state.run(ROUNDS):
        raise _cannot(task, state.conflicts())
    longest = max(length_of(field.stand(i)[1]) for i in range(field.count))
    if longest > SHORTENED * (task.wanted_mm - task.ends_mm):
        raise TooFar(task.wanted_mm)
    state.reroute(field.count)
    state.slide()
    return _placement(task, field)


def _cannot(task: Task, left: int, keys: tuple[str, ...] = ()) -> CannotPlace:
    return CannotPlace(
        f"No clean place was found for {len(task.sites)} labels: use a larger sheet, or shorter names.",
        left,
        keys,
    )


def _anchors(task: Task, hull: tuple[Point, ...]) -> list[Port]:
    """Rows of anchors, each beyond the last by the least height of badges; for bent leaders on four sides."""
    bent = task.style != "straight"
    if bent:
        xs, ys = [p[0] for p in hull], [p[1] for p in hull]
        hull = convex_hull((x, y) for x in (min(xs), max(xs)) for y in (min(ys), max(ys)))
    deep = min(s.badge.height_mm for s in task.sites) + task.gap_mm
    found: list[Port] = []
    labels, clear = any(not s.badge.round for s in task.sites), Clear(hull)
    smallest = min((s.badge for s in task.sites), key=lambda b: (b.width_mm, b.height_mm))
    for row in range(ROWS_OF_LABELS if labels else ROWS):
        curve = Offset(hull, task.offset_mm + row * deep)
        ports = curve.ports(STEP_MM, 0.0, row, 1)
        if bent:
            ports = [p for p in ports if min(abs(p.normal[0]), abs(p.normal[1])) < 1e-9]
        if row < ROWS_WITH_FEET:
            ports += [f for s in task.sites for f in _feet((s.x, s.y), curve, row)]
        found += [p for p in ports if _possible(task.room, p, smallest, clear)]
    return found


def _feet(site: Point, curve: Offset, row: int) -> list[Port]:
    """The anchors squarely before a site, one on each long enough edge that it faces."""
    (x, y), out, away = site, list[Port](), curve.distance
    for (ax, ay), (ux, uy), length, _ in curve.pieces():
        if length > LONG_MM and 0 <= (along := (x - ax) * ux + (y - ay) * uy) <= length:
            out.append(Port(ax + ux * along + uy * away, ay + uy * along - ux * away, (uy, -ux), row))
    return out


def _possible(room: Box, port: Port, badge: Badge, clear: Clear) -> bool:
    """Whether the badge there would be in the room and clear of the hull."""
    x, y, w, h = box = seat((port.x, port.y), port.normal, badge)
    rx, ry, rw, rh = room
    return rx <= x and ry <= y and x + w <= rx + rw and y + h <= ry + rh and clear.of(box)


class Clear:
    """Whether boxes lie beside a convex hull; the edge that told of the last one is asked first."""

    def __init__(self, hull: tuple[Point, ...]) -> None:
        pairs = zip(hull, hull[1:] + hull[:1], strict=True)
        self._edges = deque((a, (b[0] - a[0], b[1] - a[1])) for a, b in pairs)

    def of(self, box: Box) -> bool:
        """Whether some edge of the hull has the whole box on its outer side."""
        (x, y, w, h), edges = box, self._edges
        for _ in range(len(edges)):
            (ax, ay), (ux, uy) = edges[0]
            nearest_x, nearest_y = x if uy > 0 else x + w, y + h if ux > 0 else y
            if ux * (nearest_y - ay) - uy * (nearest_x - ax) < 0:
                return True
            edges.rotate(-1)
        return False


def _first(task: Task, field: FramedField) -> list[int] | None:
    """A cheapest assignment to anchors so far apart that the widest badges would not overlap."""
    widest = max((s.badge for s in task.sites), key=lambda b: b.width_mm)
    apart: list[int] = []
    corners, gap = list[Point](), task.gap_mm
    for k, port in enumerate(field.places):
        box = seat((port.x, port.y), port.normal, widest)
        left, top, w, h = box
        for x, y in reversed(corners):
            if left < x + w + gap and left + w + gap > x and top < y + h + gap and top + h + gap > y:
                break
        else:
            apart.append(k)
            corners.append((left, top))
    if len(apart) < field.count:
        spare = [k for k in range(0, len(field.places), 3) if k not in set(apart)]
        apart = sorted(apart + spare[: 2 * field.count])
    if len(apart) < field.count:
        return None
    costs = []
    for i in range(field.count):
        row = field.costs(i)
        costs.append([row[k] if row[k] < math.inf and field.free(i, k) else IMPOSSIBLE_MM for k in apart])
    return [apart[j] for j in Matching(costs).column_of]


def _placement(task: Task, field: FramedField) -> Placement:
    callouts, length, cost = [], 0.0, 0.0
    for i, site in enumerate(task.sites):
        own, path, (x, y, w, h), *_ = field.stand(i)
        cost += own
        length += length_of(path) + site.radius_mm
        ring = field.places[field.place_of(i)].ring
        callouts.append(Callout(site.key, x + w / 2, y + h / 2, w, h, path, ring))
    chosen = [field.place_of(i) for i in range(field.count)]
    costs = [[min(field.costs(i)[k], IMPOSSIBLE_MM) for k in chosen] for i in range(field.count)]
    rings = 1 + max(c.ring for c in callouts)
    return Placement(tuple(callouts), length, False, rings, cost / max(Matching(costs).cost(), 1e-9))
