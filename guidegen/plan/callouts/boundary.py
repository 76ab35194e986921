"""Where badges may stand: rings of ports about the convex hull of the body and the sites."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Box

_Piece: TypeAlias = tuple[Point, Point, float, float]

PROUD_MM = 1.5  # how far a site may stand outside the body with no dent in the ring
FINE = 4  # places per pitch of a ring
_NEAR_MM = 1e-6  # from as much beyond an obstacle ports are looked at, whatever is lost by rounding


class Port(Struct, frozen=True):
    """A place for a badge's centre, the outward normal there, and the ring, counted from the body."""

    x: float
    y: float
    normal: Point
    ring: int = 0


def convex_hull(points: Iterable[Point]) -> tuple[Point, ...]:
    """Corners clockwise as seen on the sheet (A. M. Andrew's monotone chain, 1979)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def chain(run: Iterable[Point]) -> list[Point]:
        hull: list[Point] = []
        for p in run:
            x, y = p
            while len(hull) > 1:
                (ax, ay), (bx, by) = hull[-2], hull[-1]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 1e-9:  # to the right of a → b on the sheet
                    break
                hull.pop()
            hull.append(p)
        return hull[:-1]

    return tuple(chain(ordered) + chain(reversed(ordered)))


def surrounding_hull(body: Iterable[Point], sites: Iterable[Point]) -> tuple[Point, ...]:
    """The hull of the body, drawn further out only for sites that stand well outside of it."""
    hull = _hull(tuple(body))
    far = list(sites if len(hull) < 3 else _outside(hull, sites))
    return convex_hull([*hull, *far]) if far else hull


@lru_cache(maxsize=32)  # the plans of one scale have one body
def _hull(body: tuple[Point, ...]) -> tuple[Point, ...]:
    return convex_hull(body)


def _outside(hull: tuple[Point, ...], places: Iterable[Point]) -> Iterator[Point]:
    """Those that stand well out beyond an edge of the hull."""
    edges = [
        (ax, ay, bx - ax, by - ay, -math.dist((ax, ay), (bx, by)))
        for (ax, ay), (bx, by) in zip(hull, hull[1:] + hull[:1], strict=True)
    ]
    for x, y in places:
        for ax, ay, ux, uy, length in edges:
            if (ux * (y - ay) - uy * (x - ax)) / length > PROUD_MM:
                yield x, y
                break


class Offset(Struct, frozen=True):
    """The closed curve at one distance outside a convex polygon: edges moved out, joined by arcs."""

    hull: tuple[Point, ...]
    distance: float

    def pieces(self) -> tuple[_Piece, ...]:
        """Corner, unit direction of the edge that follows, its length, and the arc's angle before it."""
        return _pieces(self.hull)

    def length(self) -> float:
        return sum(length + self.distance * bend for _, _, length, bend in self.pieces())

    def ports(self, pitch: float, phase: float, ring: int, fine: int) -> list[Port]:
        """Ports at equal distances along the curve, clockwise: as many as keep at least pitch, fine times."""
        count = _whole(self.length() / pitch) * fine
        return [Port(*at, normal, ring) for at, normal in self.points(count, phase * fine)]

    def points(self, count: int, phase: float) -> list[tuple[Point, Point]]:
        """So many points at equal distances along the curve, clockwise, each with the outward normal."""
        total, distance = self.length(), self.distance
        step, at, out = total / count, phase * total / count, []
        for (cx, cy), (dx, dy), length, bend in self.pieces():
            arc = distance * bend
            if at < arc:
                first = math.atan2(dy, dx) - math.pi / 2 - bend
                while at < arc:
                    angle = first + at / distance
                    nx, ny = math.cos(angle), math.sin(angle)
                    out.append(((cx + nx * distance, cy + ny * distance), (nx, ny)))
                    at += step
            at -= arc
            if at < length:
                x, y, normal = cx + dy * distance, cy - dx * distance, (dy, -dx)
                while at < length:
                    out.append(((x + dx * at, y + dy * at), normal))
                    at += step
            at -= length
        return out[:count]


def _whole(ports: float) -> int:
    """How many ports there are where so many have room."""
    return max(1, math.floor(ports))


@lru_cache(maxsize=128)  # of one hull at every distance
def _pieces(hull: tuple[Point, ...]) -> tuple[_Piece, ...]:
    n, found = len(hull), []
    steps = [_step(hull[k], hull[(k + 1) % n]) for k in range(n)]
    for k in range(n):
        (ax, ay, _), (bx, by, length) = steps[k - 1], steps[k]
        bend = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        found.append((hull[k], (bx, by), length, bend if n > 2 else math.pi))
    return tuple(found)


def _step(a: Point, b: Point) -> tuple[float, float, float]:
    length = math.dist(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length, length


class Boundary:
    """Places for badges on rings about a body, finely spaced; most plans ask for no ring but the first.

    A ring is worked out when it is asked for.
    """

    def __init__(self, rings: Iterator[tuple[list[tuple[int, Port]], bool]]) -> None:
        """rings: from the body outwards, the free ports of each with their indices on it, and whether all are
        within the room."""
        self._rings, self._places, self._even = rings, list[Port](), list[tuple[int, ...]]()
        self._centres: list[list[Point]] = []
        self.roomy = True  # whether the room held back no port of the rings that are worked out

    @property
    def places(self) -> Sequence[Port]:
        """All places, ring by ring."""
        return self.known(math.inf)

    @property
    def even(self) -> Sequence[tuple[int, ...]]:
        """By ring, the places of ports at full pitch."""
        self.known(math.inf)
        return self._even

    def known(self, least: float = 0) -> Sequence[Port]:
        """The places that are worked out, which are as many as least unless those are all."""
        while len(self._places) < least and self._grow():
            pass
        return self._places

    def outwards(self) -> Iterator[Sequence[Point]]:
        """The centres of all places, ring by ring, none sooner worked out than it is needed."""
        ring = 0
        while ring < len(self._centres) or self._grow():
            yield self._centres[ring]
            ring += 1

    def ports(self, least: int) -> tuple[int, ...]:
        """Places of the ports of as many rings, from the body outwards, as give at least so many."""
        found: tuple[int, ...] = ()
        ring = 0
        while len(found) < least and (ring < len(self._even) or self._grow()):
            found += self._even[ring]
            ring += 1
        return found

    def _grow(self) -> bool:
        """Work out one more ring; False when there is none."""
        free, roomy = next(self._rings, (None, True))
        if free is None:
            return False
        self.roomy = self.roomy and roomy
        self._even.append(tuple(n for n, (k, _) in enumerate(free, len(self._places)) if k % FINE == 0))
        self._places += [port for _, port in free]
        self._centres.append([(port.x, port.y) for _, port in free])
        return True


def round_boundary(
    hull: tuple[Point, ...],
    size: float,
    gap: float,
    offset: float,
    rings: int,
    room: Box,
    obstacles: Sequence[Box],
) -> Boundary:
    """Rings for round badges of one size (mm), gap apart, that stay offset from the hull and on free room."""

    left, top, (xs, ys) = room[0], room[1], zip(*hull, strict=True)
    spare = min(min(xs) - left, left + room[2] - max(xs), min(ys) - top, top + room[3] - max(ys)) - _NEAR_MM

    def free(ring: int) -> tuple[list[tuple[int, Port]], bool]:
        curve = Offset(hull, offset + size / 2 + ring * (size + gap))
        ports = _even_ports(curve, size + gap, ring)
        narrow = curve.distance + size / 2 > spare
        inside = in_room(ports, size / 2, room) if narrow else list(enumerate(ports))
        return apart_from(inside, size / 2, obstacles, gap), len(inside) == len(ports)

    return Boundary(map(free, range(rings)))


def in_room(ports: Sequence[Port], half: float, room: Box) -> list[tuple[int, Port]]:
    """Those whose badges, of so much on each side, lie in the room, with their indices."""
    left, top = room[0], room[1]
    right, bottom = left + room[2], top + room[3]
    across = [(k, port) for k, port in enumerate(ports) if left <= port.x - half and port.x + half <= right]
    return [(k, port) for k, port in across if top <= port.y - half and port.y + half <= bottom]


@lru_cache(maxsize=128)  # the rooms and the attempts of one task ask for the same rings
def _even_ports(curve: Offset, apart: float, ring: int) -> tuple[Port, ...]:
    """Ports of which each FINEth is at least apart (mm) from the next such, chords on arcs included."""
    pitch, phase, length, count, chord = apart, ring % 2 / 2, curve.length(), 0, 0.0
    while True:
        if count != (count := _whole(length / pitch)):
            full = [at for at, _ in curve.points(count, phase)]
            chord = min(map(math.dist, full, full[1:] + full[:1]))
        if len(full) < 3 or chord >= apart - 1e-9:
            return tuple(curve.ports(pitch, phase, ring, FINE))
        pitch += max(0.005, (apart - chord) / 2)


def apart_from(
    ports: Sequence[tuple[int, Port]], half: float, obstacles: Sequence[Box], apart: float
) -> list[tuple[int, Port]]:
    """Those whose badges, of so much on each side, stay apart (mm) from all obstacles."""
    if not obstacles:
        return list(ports)
    across = [port.x for _, port in ports]
    order = sorted(range(len(ports)), key=across.__getitem__)
    across.sort()
    taken = set[int]()
    for x, y, w, h in obstacles:
        left, right, top, bottom = x - apart, x + w + apart, y - apart, y + h + apart
        first = bisect_left(across, left - half - _NEAR_MM)
        last = bisect_left(across, right + half + _NEAR_MM)
        for n in order[first:last]:
            px, py = ports[n][1].x, ports[n][1].y
            if px - half < right and px + half > left and py - half < bottom and py + half > top:
                taken.add(n)
    return [port for n, port in enumerate(ports) if n not in taken] if taken else list(ports)
