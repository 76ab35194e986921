"""Where badges may stand: rings of ports about the convex hull of the body and the sites."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.model import Box


@dataclass(frozen=True, slots=True)
class Port:
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


def turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of the triangle; > 0 if c lies to the right of a → b on the sheet."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


@dataclass(frozen=True, slots=True)
class Offset:
    """The closed curve at one distance outside a convex polygon: edges moved out, joined by arcs."""

    hull: tuple[Point, ...]
    distance: float

    def pieces(self) -> list[tuple[Point, Point, float, float]]:
        """Corner, unit direction of the edge that follows, its length, and the arc's angle before it."""
        n, found = len(self.hull), []
        steps = [_step(self.hull[k], self.hull[(k + 1) % n]) for k in range(n)]
        for k in range(n):
            (ax, ay, _), (bx, by, length) = steps[k - 1], steps[k]
            bend = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
            found.append((self.hull[k], (bx, by), length, bend if n > 2 else math.pi))
        return found

    def ports(self, pitch: float, phase: float, ring: int) -> list[Port]:
        """Ports at equal distances along the curve, as many as keep at least pitch, clockwise."""
        pieces = self.pieces()
        total = sum(length + self.distance * bend for _, _, length, bend in pieces)
        count = max(1, math.floor(total / pitch))
        step, at, out = total / count, phase * total / count, []
        for (cx, cy), (dx, dy), length, bend in pieces:
            arc = self.distance * bend
            while at < arc:
                angle = math.atan2(dy, dx) - math.pi / 2 - bend + at / self.distance
                nx, ny = math.cos(angle), math.sin(angle)
                out.append(Port(cx + nx * self.distance, cy + ny * self.distance, (nx, ny), ring))
                at += step
            at -= arc
            while at < length:
                px, py = cx + dy * self.distance + dx * at, cy - dx * self.distance + dy * at
                out.append(Port(px, py, (dy, -dx), ring))
                at += step
            at -= length
        return out[:count]


def _step(a: Point, b: Point) -> tuple[float, float, float]:
    length = math.dist(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length, length


def ring_of_ports(
    hull: tuple[Point, ...], distance: float, size: float, gap: float, phase: float, ring: int
) -> list[Port]:
    """Ports for round badges of one size (mm) with a gap between neighbours, chords on arcs included."""
    curve, pitch = Offset(hull, distance), size + gap
    for _ in range(60):
        ports = curve.ports(pitch, phase, ring)
        chord = min((_chord(ports, k) for k in range(len(ports))), default=0.0)
        if len(ports) < 2 or chord >= size + gap - 1e-9:
            return ports
        pitch += max(0.005, (size + gap - chord) / 2)
    return ports


def _chord(ports: Sequence[Port], k: int) -> float:
    a, b = ports[k - 1], ports[k]
    return math.hypot(a.x - b.x, a.y - b.y)


def fits(port: Port, width: float, height: float, room: Box, obstacles: Sequence[Box], apart: float) -> bool:
    """Whether a badge at the port lies in the room and stays apart (mm) from every obstacle."""
    left, top, right, bottom = (
        port.x - width / 2,
        port.y - height / 2,
        port.x + width / 2,
        port.y + height / 2,
    )
    x, y, w, h = room
    if left < x or top < y or right > x + w or bottom > y + h:
        return False
    return not any(
        left < ox + ow + apart and right > ox - apart and top < oy + oh + apart and bottom > oy - apart
        for ox, oy, ow, oh in obstacles
    )
