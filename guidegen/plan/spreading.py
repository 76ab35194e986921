"""Makes room between markers: near ones are nudged apart, tight crowds become insets.

All lengths are paper mm. A nudge stays below the width of a marker, so a place is never untrue to
more than a hand's breadth on the vehicle.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.plan.reaches import Reach, kept

APART_MM = 2.9  # least distance of two markers' centres
WIDEST_MM = 11.0  # extent of a crowd on the plan
MOST = 9  # points in a crowd
NUDGE_MM = 1.7  # the most that a marker is moved from its true place
# How many times as far markers are thought to be pushed within a round.
_STRAYS = (2.0, 3.0, 4.0, 5.5, 8.0, math.inf)
_FEW = 24  # markers that are all looked at, whether near or not


EVERYWHERE: Mapping[str, Reach] = MappingProxyType({})


class Spread(Struct, frozen=True):
    """Where each key stands after nudging, and the crowds that nudging cannot part."""

    places: dict[str, Point]
    crowds: tuple[tuple[str, ...], ...]


class Crowding(Struct, frozen=True):
    """What becomes an inset: groups of `size` or more whose neighbours are within near_mm.

    forced: also where nudging would part them. most: of such groups; the largest come first.
    """

    near_mm: float
    size: int
    forced: bool
    most: int = 8


# From the plainest drawing to the one with most insets.
CROWDINGS = (
    Crowding(3.0, 3, False),
    Crowding(3.4, 4, True),
    Crowding(4.4, 3, True),
    Crowding(5.5, 2, True, 12),
)


def spread(
    places: dict[str, Point],
    crowding: Crowding = CROWDINGS[0],
    enough: float = math.inf,
    reaches: Mapping[str, Reach] = EVERYWHERE,
) -> Spread:
    """Parts the places; groups that crowd, or that nudging cannot part, become crowds.

    enough: once there are more crowds than so many, no further ones are looked for.
    reaches: where on the sheet a marker may stand.
    """
    found = [part for g in clusters(places, crowding.near_mm) for part in _compact(g, places)]
    groups = [g for g in found if len(g) >= crowding.size]
    if not crowding.forced:
        groups = [g for g in groups if _overcrowded(g, places, reaches)]
    crowds = sorted(groups, key=lambda g: (-len(g), g))[: crowding.most]
    free = {k: p for k, p in places.items() if not any(k in g for g in crowds)}
    while True:
        moved = nudge(free, reaches=reaches)
        left = _unparted(moved)
        if not left or len(crowds) > enough:
            return Spread(moved, tuple(sorted(tuple(sorted(g)) for g in crowds)))
        crowds.append(left)
        free = {k: p for k, p in free.items() if k not in left}


def _compact(group: tuple[str, ...], places: dict[str, Point]) -> list[tuple[str, ...]]:
    """The group cut at its widest gaps until no part is wider or fuller than an inset should be."""
    extents = [max(places[k][axis] for k in group) - min(places[k][axis] for k in group) for axis in (0, 1)]
    for axis in (0, 1) if len(group) <= MOST else (extents.index(max(extents)),):
        along = sorted(group, key=lambda k: (places[k][axis], k))
        at = [places[k][axis] for k in along]
        if extents[axis] > WIDEST_MM or len(group) > MOST:
            middle = (at[0] + at[-1]) / 2
            cut = max(range(1, len(at)), key=lambda n: (at[n] - at[n - 1], -abs(at[n] - middle)))
            parts = (tuple(sorted(along[:cut])), tuple(sorted(along[cut:])))
            return [small for part in parts for small in _compact(part, places)]
    return [group]


def clusters(places: dict[str, Point], within_mm: float) -> list[tuple[str, ...]]:
    """Groups of keys joined by distances below within_mm (single linkage), each of two keys or more."""
    keys = sorted(places)
    parent = {k: k for k in keys}

    def root(key: str) -> str:
        while parent[key] != key:
            key = parent[key]
        return key

    at = [places[k] for k in keys]
    for i, later in enumerate(_neighbours(at, within_mm)):
        for j in later:
            if math.dist(at[i], at[j]) < within_mm:
                parent[root(keys[j])] = root(keys[i])
    groups: dict[str, list[str]] = {}
    for key in keys:
        groups.setdefault(root(key), []).append(key)
    return [tuple(g) for g in groups.values() if len(g) > 1]


def _overcrowded(group: tuple[str, ...], places: dict[str, Point], reaches: Mapping[str, Reach]) -> bool:
    """Whether the group's markers cannot stand apart within a nudge of where they are."""
    moved = nudge({k: places[k] for k in group}, reaches=reaches)
    return bool(_unparted(moved))


def nudge(
    places: dict[str, Point],
    rounds: int = 60,
    furthest_mm: float = NUDGE_MM,
    reaches: Mapping[str, Reach] = EVERYWHERE,
) -> dict[str, Point]:
    """The places pushed apart towards APART_MM, none further than furthest_mm from where it was.

    reaches: where a place may be pushed; one without may be pushed anywhere.
    """
    keys = sorted(places)
    within = tuple(reaches.get(k) for k in keys)
    return dict(zip(keys, _nudged(tuple(places[k] for k in keys), within, rounds, furthest_mm), strict=True))


@lru_cache(maxsize=512)  # every sheet, every shape of an inset asks for the same crowds
def _nudged(
    homes: tuple[Point, ...], within: tuple[Reach | None, ...], rounds: int, furthest_mm: float
) -> tuple[Point, ...]:
    for stray in _STRAYS if len(homes) > _FEW else (math.inf,):
        near = _neighbours(homes, APART_MM + 2.1 * stray * furthest_mm)
        now = _parted(homes, within, near, rounds, furthest_mm, stray * furthest_mm)
        if now is not None:
            break
    return tuple((round(x, 3), round(y, 3)) for x, y in now or ())


def _parted(
    homes: Sequence[Point],
    within: Sequence[Reach | None],
    near: list[list[int]],
    rounds: int,
    furthest_mm: float,
    stray_mm: float,
) -> list[Point] | None:
    """The places after so many rounds, each pushed by those near it alone.

    None when one was further than stray_mm from home at any time, where it may have met others.
    """
    xs, ys = [x for x, _ in homes], [y for _, y in homes]
    pairs = [(i, j) for i, later in enumerate(near) for j in later]
    # The round in which each was last moved: a pair that stood still is not looked at.
    moved = [0] * len(homes)
    for turn in range(1, rounds + 1):
        still, before = True, turn - 1
        for i, j in pairs:
            if moved[i] < before and moved[j] < before:
                continue
            dx, dy = xs[j] - xs[i], ys[j] - ys[i]
            if abs(dx) >= APART_MM or abs(dy) >= APART_MM:
                continue
            gap = math.hypot(dx, dy)
            if gap >= APART_MM - 1e-6:
                continue
            still = False
            if gap < 1e-6:  # one and the same place: part them in a direction of their own
                angle = 2.4 * (i + j)
                dx, dy, gap = math.cos(angle), math.sin(angle), 1.0
                push = APART_MM / 2
            else:
                push = (APART_MM - gap) / 2
            dx, dy = dx / gap * push, dy / gap * push
            xs[i], ys[i], xs[j], ys[j] = xs[i] - dx, ys[i] - dy, xs[j] + dx, ys[j] + dy
            moved[i] = moved[j] = turn
            if stray_mm < math.inf and any(math.dist((xs[n], ys[n]), homes[n]) > stray_mm for n in (i, j)):
                return None
        for n, last in enumerate(moved):
            if last >= before:
                here = (xs[n], ys[n])
                held = _tethered(here, homes[n], furthest_mm)
                if (reach := within[n]) is not None:
                    held = kept(held, reach)
                if held != here:
                    xs[n], ys[n] = held
                    moved[n] = turn
        if still:
            break
    return list(zip(xs, ys, strict=True))


def _neighbours(places: Sequence[Point], within_mm: float) -> list[list[int]]:
    """For each place the later ones less than within_mm away both along and across, in their order."""
    found: list[list[int]] = [[] for _ in places]
    along = sorted(range(len(places)), key=lambda n: places[n][0])
    for at, i in enumerate(along):
        x, y = places[i]
        for j in along[at + 1 :]:
            if places[j][0] - x >= within_mm:
                break
            if abs(places[j][1] - y) < within_mm:
                found[min(i, j)].append(max(i, j))
    return [sorted(later) for later in found]


def _tethered(place: Point, home: Point, furthest_mm: float) -> Point:
    """The place, or where the way to it from home is so long."""
    away = math.dist(place, home)
    if away <= furthest_mm:
        return place
    share = furthest_mm / away
    return (home[0] + (place[0] - home[0]) * share, home[1] + (place[1] - home[1]) * share)


def _unparted(places: dict[str, Point]) -> tuple[str, ...]:
    """A group that still stands too close, the largest; empty when all stand apart."""
    groups = clusters(places, APART_MM - 0.25)
    return max(groups, key=lambda g: (len(g), g), default=())
