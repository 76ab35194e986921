"""Labels in columns beside a plan: what their leaders pass too near to, and where they may be straight."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Box
from guidegen.plan.callouts.paths import closer, point_to_segment
from guidegen.plan.callouts.sight import meets_box

CLEAR_MM = 0.65  # least distance of a leader from other callouts' markers and labels
APART_MM = 0.4  # and from other leaders
_BENDS = (0.2, 0.35, 0.5, 0.65, 0.8, 0.9)  # shares of the way to the label
_ASIDE = (-7.0, -4.5, -2.5, 2.5, 4.5, 7.0)  # mm up or down from the marker
_REACHES = (0.7, 0.85, 1.15, 1.3)  # times the way to the bend
_STRAIGHT_DEG = 2.0  # a bend that is less is none


class Label(Struct, frozen=True):
    """A label and its leader: from the marker's edge, perhaps over one bend, to the label's edge.

    place and radius_mm: the marker. lines: what the label says. extent: the box about the leader.
    """

    key: str
    place: Point
    radius_mm: float
    box: Box
    leader: tuple[Point, ...]
    lines: tuple[str, ...] = ()
    extent: Box = (0.0, 0.0, 0.0, 0.0)

    @property
    def legs(self) -> list[tuple[Point, Point]]:
        return list(zip(self.leader, self.leader[1:], strict=False))


def led(label: Label, bend: Point | None, end: Point) -> Label:
    """The label with a leader to its end, over the bend unless that is hardly one or within the marker."""
    path = [label.place, end]
    if bend is not None and math.dist(label.place, bend) > label.radius_mm and _turns(label.place, bend, end):
        path = [label.place, bend, end]
    away = math.dist(path[0], path[1])
    if away <= label.radius_mm:
        return replace(label, leader=(), extent=(*label.place, 0.0, 0.0))
    share = label.radius_mm / away
    (x, y), (tx, ty) = path[0], path[1]
    leader = ((x + (tx - x) * share, y + (ty - y) * share), *path[1:])
    xs, ys = [p[0] for p in leader], [p[1] for p in leader]
    extent = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    return replace(label, leader=leader, extent=extent)


def _turns(a: Point, b: Point, c: Point) -> bool:
    turn = math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
    return abs(math.remainder(turn, math.tau)) > math.radians(_STRAIGHT_DEG)


def clashes(one: Label, others: Sequence[Label]) -> int:
    """How many of the other callouts a leader passes too near, or is passed too near by."""
    return sum(meet(one, other) for other in others if other.key != one.key)


def meet(one: Label, other: Label) -> bool:
    """Whether the leader of either passes the other's marker, label or leader too near."""
    return _near(one, other) or _near(other, one) or _leaders_meet(one, other)


def _near(one: Label, other: Label) -> bool:
    """Whether the leader of one passes the marker or the label of the other too near."""
    reach = other.radius_mm + CLEAR_MM
    if _within(one.extent, other.place, reach) and any(
        point_to_segment(other.place, a, b) < reach for a, b in one.legs
    ):
        return True
    if not _overlap(one.extent, other.box, CLEAR_MM):
        return False
    x, y, w, h = other.box
    grown = (x - CLEAR_MM, y - CLEAR_MM, w + 2 * CLEAR_MM, h + 2 * CLEAR_MM)
    return any(meets_box(a, b, grown) for a, b in one.legs)


def _leaders_meet(one: Label, other: Label) -> bool:
    if not _overlap(one.extent, other.extent, APART_MM):
        return False
    return any(closer(a, b, c, d, APART_MM) for a, b in one.legs for c, d in other.legs)


def _within(box: Box, p: Point, by: float) -> bool:
    x, y, w, h = box
    return x - by < p[0] < x + w + by and y - by < p[1] < y + h + by


def _overlap(a: Box, b: Box, by: float) -> bool:
    return (
        a[0] < b[0] + b[2] + by
        and b[0] < a[0] + a[2] + by
        and a[1] < b[1] + b[3] + by
        and b[1] < a[1] + a[3] + by
    )


def straightened(labels: Sequence[Label]) -> list[Label]:
    """Leaders without their bends wherever these meet nothing."""
    found = list(labels)
    for n, label in enumerate(found):
        if len(label.leader) > 2:
            straight = led(label, None, label.leader[-1])
            if not clashes(straight, found):
                found[n] = straight
    return found


def mended(labels: Sequence[Label], rounds: int = 4) -> list[Label]:
    """The labels with other bends where leaders clash, so that fewer do, none at best."""
    found = list(labels)
    for _ in range(rounds):
        changed = False
        for n in range(len(found)):
            now = clashes(found[n], found)
            if not now:
                continue
            choices = [(clashes(c, found), _length(c), k, c) for k, c in enumerate(_otherwise(found[n]))]
            best = min(choices, key=lambda choice: choice[:3])
            if best[0] < now:
                found[n], changed = best[3], True
        if not changed:
            break
    return found


def meeting(labels: Sequence[Label]) -> list[tuple[str, str]]:
    """The pairs that meet."""
    return [(a.key, b.key) for a, b in combinations(labels, 2) if meet(a, b)]


def _length(label: Label) -> float:
    return sum(math.dist(a, b) for a, b in label.legs)


def _otherwise(label: Label) -> Iterator[Label]:
    """The same label on a straight leader, and with bends at several places before its end."""
    (x, y), end = label.place, label.leader[-1] if label.leader else label.place
    yield led(label, None, end)
    run = end[0] - x
    for share in _BENDS:
        bend_x = x + run * share
        for bend_y in (y, end[1], y + (end[1] - y) * 0.3, y + (end[1] - y) * 0.7, *(y + d for d in _ASIDE)):
            yield led(label, (bend_x, bend_y), end)
    if len(label.leader) > 2:
        bend = label.leader[1]
        for reach in _REACHES:
            yield led(label, (x + (bend[0] - x) * reach, y + (bend[1] - y) * reach), end)
