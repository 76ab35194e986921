"""Where badges may stand: rings of ports about the convex hull of the body and the sites."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Box

_Piece: TypeAlias = tuple[Point, Point, float, float]

PROUD_MM = 1.5  # how far a site may stand outside the body with no dent in the ring
FINE = 4  # places per pitch of a ring


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
            while len(hull) > 1 and turn(hull[-2], hull[-1], p) <= 1e-9:
                hull.pop()
            hull.append(p)
        return hull[:-1]

    return tuple(chain(ordered) + chain(reversed(ordered)))


def surrounding_hull(body: Iterable[Point], sites: Iterable[Point]) -> tuple[Point, ...]:
    """The hull of the body, drawn further out only for sites that stand well outside of it."""
    hull = convex_hull(body)
    far = [p for p in sites if len(hull) < 3 or _outside(hull, p) > PROUD_MM]
    return convex_hull([*hull, *far]) if far else hull


def _outside(hull: tuple[Point, ...], p: Point) -> float:
    """How far p stands out beyond an edge of the hull, in mm; negative inside."""
    return max(-turn(a, b, p) / math.dist(a, b) for a, b in zip(hull, hull[1:] + hull[:1], strict=True))


def turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of the triangle; > 0 if c lies to the right of a → b on the sheet."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


class Offset(Struct, frozen=True):
    """The closed curve at one distance outside a convex polygon: edges moved out, joined by arcs."""

    hull: tuple[Point, ...]
    distance: float

    def pieces(self) -> tuple[_Piece, ...]:
        """Corner, unit direction of the edge that follows, its length, and the arc's angle before it."""
        return _pieces(self.hull)

    def ports(self, pitch: float, phase: float, ring: int, fine: int) -> list[Port]:
        """Ports at equal distances along the curve, clockwise: as many as keep at least pitch, fine times."""
        pieces = self.pieces()
        total = sum(length + self.distance * bend for _, _, length, bend in pieces)
        count = max(1, math.floor(total / pitch)) * fine
        step, at, out = total / count, phase * fine * total / count, []
        distance = self.distance
        for (cx, cy), (dx, dy), length, bend in pieces:
            arc = distance * bend
            if at < arc:
                first = math.atan2(dy, dx) - math.pi / 2 - bend
                while at < arc:
                    angle = first + at / distance
                    nx, ny = math.cos(angle), math.sin(angle)
                    out.append(Port(cx + nx * distance, cy + ny * distance, (nx, ny), ring))
                    at += step
            at -= arc
            if at < length:
                x, y, normal = cx + dy * distance, cy - dx * distance, (dy, -dx)
                while at < length:
                    out.append(Port(x + dx * at, y + dy * at, normal, ring))
                    at += step
            at -= length
        return out[:count]


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


class Boundary(Struct, frozen=True):
    """Places for badges on rings about a body, finely spaced; even: those of ports at full pitch, by ring."""

    places: tuple[Port, ...]
    even: tuple[tuple[int, ...], ...]

    def ports(self, least: int) -> tuple[int, ...]:
        """Places of the ports of as many rings, from the body outwards, as give at least so many."""
        found: tuple[int, ...] = ()
        for ring in self.even:
            if len(found) >= least:
                break
            found += ring
        return found


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
    places: list[Port] = []
    even: list[tuple[int, ...]] = []
    for ring in range(rings):
        curve = Offset(hull, offset + size / 2 + ring * (size + gap))
        free = in_room(_even_ports(curve, size + gap, ring), size / 2, room)
        for obstacle in obstacles:
            free = apart_from(free, size / 2, obstacle, gap)
        even.append(tuple(n for n, (k, _) in enumerate(free, len(places)) if k % FINE == 0))
        places += [port for _, port in free]
    return Boundary(tuple(places), tuple(even))


def in_room(ports: Sequence[Port], half: float, room: Box) -> list[tuple[int, Port]]:
    """Those whose badges, of so much on each side, lie in the room, with their indices."""
    left, top = room[0], room[1]
    right, bottom = left + room[2], top + room[3]
    across = [(k, port) for k, port in enumerate(ports) if left <= port.x - half and port.x + half <= right]
    return [(k, port) for k, port in across if top <= port.y - half and port.y + half <= bottom]


@lru_cache(maxsize=128)  # the rooms and the attempts of one task ask for the same rings
def _even_ports(curve: Offset, apart: float, ring: int) -> tuple[Port, ...]:
    """Ports of which each FINEth is at least apart (mm) from the next such, chords on arcs included."""
    pitch, phase = apart, ring % 2 / 2
    while True:
        full = curve.ports(pitch, phase, ring, 1)
        chord = min(math.hypot(a.x - b.x, a.y - b.y) for a, b in zip(full, full[1:] + full[:1], strict=True))
        if len(full) < 3 or chord >= apart - 1e-9:
            return tuple(curve.ports(pitch, phase, ring, FINE))
        pitch += max(0.005, (apart - chord) / 2)


def apart_from(
    ports: Sequence[tuple[int, Port]], half: float, obstacle: Box, apart: float
) -> list[tuple[int, Port]]:
    """Those whose badges, of so much on each side, stay apart (mm) from an obstacle."""
    x, y, w, h = obstacle
    left, right, top, bottom = x - apart, x + w + apart, y - apart, y + h + apart
    return [
        (k, port)
        for k, port in ports
        if port.x - half >= right or port.x + half <= left or port.y - half >= bottom or port.y + half <= top
    ]
