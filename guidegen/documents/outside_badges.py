"""Where the badges of a view from outside stand: near the body, none over another, leaders short."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, product

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.parts import BADGE_MM, badge_width_mm, badges
from guidegen.drawing.primitives import Circle, Item, Point, Rect, moved
from guidegen.plan.callouts import (
    Aside,
    Badge,
    Box,
    Callout,
    CannotPlace,
    Placement,
    Polygon,
    Site,
    Task,
    TooFar,
    place,
)
from guidegen.plan.markers import colour_of
from guidegen.plan.spreading import clusters
from guidegen.vehicle.model import ServicePoint

RING_MM = 12.0
MARKER_MM = 1.1
_NEAR_MM = (2.6, 3.6, 5.0, 8.0, 12.0, 18.0)  # markers nearer than this share one leader
_BETWEEN_MM = 0.6
_ON_A_LINE = 4
_LONGEST_MM = 45.0  # of a leader: from the middle of the roof and the sill to badges beyond, with some over
_OFFSETS_MM = (3.0, 2.0, 9.0)  # of the badges from the body
_SHOWN_PRICE_MM, _OPENING_PRICE_MM = 20.0, 8.0  # by which a leader may be longer to keep off one
_RINGS_MM = (24.0, 36.0)  # room about the body for badges above and below it
_ENOUGH = 1.1  # times as long as the longest leader must be: no other offset is worth its time

# What more is drawn for a badge: its shape and its point; a link, for instance.
OverBadge = Callable[[Circle | Rect, ServicePoint], Sequence[Item]]


class Space(Struct, frozen=True):
    """What the badges of a view stand about: the body, what is kept clear beside it, the drawing's box.

    over: boxes that leaders had better not run over, each with the id of the point that it shows, if any.
    """

    scale: float
    body: Polygon
    clear: tuple[Box, ...]
    box: Box
    over: tuple[tuple[Box, str], ...]


def _groups(at: dict[str, Point], near_mm: float) -> dict[str, tuple[str, ...]]:
    """Points that would lie on one another, by a key of their own; the others alone."""
    crowds = clusters(at, near_mm)
    crowded = {k for crowd in crowds for k in crowd}
    groups = {f"crowd:{crowd[0]}": tuple(crowd) for crowd in crowds}
    groups |= {k: (k,) for k in at if k not in crowded}
    return groups


def placed_outside(
    at: dict[str, Point], by_id: dict[str, ServicePoint], space: Space
) -> tuple[dict[str, tuple[str, ...]], Placement]:
    """The groups and where their badges stand; more points share a leader where there is no other way.

    The badges stand nearer or further off, too, where a leader would run right across the vehicle.
    """
    last: CannotPlace | None = None
    for near in _NEAR_MM:
        groups = _groups(at, near)
        sites = tuple(_site(key, [by_id[k] for k in ids], at) for key, ids in sorted(groups.items()))
        keys = {id: key for key, ids in groups.items() for id in ids}
        asides = tuple(
            Aside(box, _SHOWN_PRICE_MM if id else _OPENING_PRICE_MM, keys.get(id, ""))
            for box, id in space.over
        )
        task = Task(sites, (space.body,), space.box, off_badges=space.clear, asides=asides)
        try:
            return groups, _nearest(task, space)
        except CannotPlace as error:
            last = error
    assert last is not None
    raise last


def _nearest(task: Task, space: Space) -> Placement:
    """The first placement whose leaders are all short enough, or as short as can be."""
    try:
        return _shortest(task, space, _LONGEST_MM, _LONGEST_MM + task.ends_mm)
    except TooFar as error:
        least = error.needed_mm - task.ends_mm
        return _shortest(task, space, max(_LONGEST_MM, _ENOUGH * least))


def _shortest(task: Task, space: Space, enough_mm: float, wanted_mm: float = math.inf) -> Placement:
    """The first placement whose leaders are all short enough, or the one whose longest is shortest.

    Raises CannotPlace; TooFar when all others would have leaders that are longer than wanted.
    """
    found: list[Placement] = []
    faults: list[CannotPlace] = []
    roomy = -1.0  # the offset with which more room would change nothing
    for offset, ring in product(_OFFSETS_MM, _RINGS_MM):
        if offset == roomy:
            continue
        room = (0.0, space.box[1] - ring, space.box[2] + 2 * RING_MM, space.box[3] + 2 * ring)
        try:
            placement = place(replace(task, room=room, offset_mm=offset, wanted_mm=wanted_mm))
        except CannotPlace as error:
            faults.append(error)
            continue
        roomy = offset if placement.roomy else roomy
        if any(_overlap(a, b) for a, b in combinations(placement.callouts, 2)):
            faults.append(CannotPlace("Badges overlap."))
            continue
        found.append(placement)
        if placement.longest_mm <= enough_mm:
            break
    if found:
        return min(found, key=lambda one: one.longest_mm)
    too_far = (fault for fault in faults if isinstance(fault, TooFar))
    raise min(too_far, key=lambda fault: fault.needed_mm, default=faults[-1])


def _site(key: str, members: Sequence[ServicePoint], at: dict[str, Point]) -> Site:
    x = sum(at[p.id][0] for p in members) / len(members)
    y = sum(at[p.id][1] for p in members) / len(members)
    width, height = _size(members)
    return Site(key, x, y, MARKER_MM, Badge(width, height, len(members) == 1))


def _overlap(one: Callout, other: Callout) -> bool:
    apart_x = abs(one.x - other.x) - (one.width_mm + other.width_mm) / 2
    apart_y = abs(one.y - other.y) - (one.height_mm + other.height_mm) / 2
    return max(apart_x, apart_y) < _BETWEEN_MM / 2


def _lines(points: Sequence[ServicePoint]) -> list[Sequence[ServicePoint]]:
    """The badges of one callout, a few on a line."""
    return [points[n : n + _ON_A_LINE] for n in range(0, len(points), _ON_A_LINE)]


def _line_width(points: Sequence[ServicePoint]) -> float:
    return sum(badge_width_mm(p.number) + _BETWEEN_MM for p in points) - _BETWEEN_MM


def _size(points: Sequence[ServicePoint]) -> tuple[float, float]:
    lines = _lines(points)
    return max(_line_width(line) for line in lines), len(lines) * (BADGE_MM + _BETWEEN_MM) - _BETWEEN_MM


def drawn_badges(
    context: Context, points: Sequence[ServicePoint], x: float, y: float, over: OverBadge
) -> Iterator[Item]:
    """The badges of one callout about x, y, each in its own colour."""
    top = y - _size(points)[1] / 2
    for line in _lines(points):
        left = x - _line_width(line) / 2
        for point in line:
            drawn = badges((point.number,), 1, colour=colour_of(point, context.trade))
            shape = drawn.items[0]
            more = over(shape, point) if isinstance(shape, Circle | Rect) else ()
            yield moved((*drawn.items, *more), left, top)
            left += badge_width_mm(point.number) + _BETWEEN_MM
        top += BADGE_MM + _BETWEEN_MM
