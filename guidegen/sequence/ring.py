"""The way round the vehicle on foot: a closed line beside the body, and distances along it."""

from __future__ import annotations

import math

from msgspec import Struct

from guidegen.vehicle.layout import XY, Layout

BESIDE_MM = 500  # how far from the body one walks


class Ring(Struct, frozen=True):
    """A closed line, its corners in order, each with its distance along the line in mm."""

    corners: tuple[XY, ...]
    marks: tuple[float, ...]
    length: float

    def along(self, x: float, y: float, side: str = "") -> float:
        """Where on the line one stands to reach the place; on that side of the vehicle if named."""
        best = (math.inf, 0.0)
        for k, (a, b) in enumerate(self._edges()):
            if side and not _faces(a, b, side):
                continue
            dx, dy = b[0] - a[0], b[1] - a[1]
            span = math.hypot(dx, dy)
            t = min(max(((x - a[0]) * dx + (y - a[1]) * dy) / span**2, 0.0), 1.0)
            off = math.hypot(a[0] + t * dx - x, a[1] + t * dy - y)
            best = min(best, (off, self.marks[k] + t * span))
        return best[1] if best[0] < math.inf else self.along(x, y)

    def point(self, mark: float) -> XY:
        mark %= self.length
        k = max(i for i, m in enumerate(self.marks) if m <= mark)
        a, b = self._edges()[k]
        t = (mark - self.marks[k]) / math.dist(a, b)
        return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))

    def distance(self, one: float, other: float) -> float:
        straight = abs(one - other)
        return min(straight, self.length - straight)

    def way(self, one: float, other: float) -> list[XY]:
        """The corners passed on the shorter way, with both ends."""
        ahead = (other - one) % self.length
        if ahead <= self.length - ahead:
            passed = sorted(
                ((m - one) % self.length, c) for m, c in zip(self.marks, self.corners, strict=True)
            )
            between = [c for m, c in passed if 0 < m < ahead]
        else:
            back = self.length - ahead
            passed = sorted(
                ((one - m) % self.length, c) for m, c in zip(self.marks, self.corners, strict=True)
            )
            between = [c for m, c in passed if 0 < m < back]
        return [self.point(one), *between, self.point(other)]

    def round_trip(self, start: float) -> list[XY]:
        passed = sorted(((m - start) % self.length, c) for m, c in zip(self.marks, self.corners, strict=True))
        return [self.point(start), *(c for _, c in passed), self.point(start)]

    def _edges(self) -> list[tuple[XY, XY]]:
        return list(zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True))


def ring_of(layout: Layout) -> Ring:
    """Round the body, and round the drawbar of a caravan."""
    low, wide, long = -BESIDE_MM, layout.width + BESIDE_MM, layout.length + BESIDE_MM
    corners: list[XY] = [(low, low), (long, low), (long, wide), (low, wide)]
    if layout.drawbar:
        tip = -layout.drawbar - BESIDE_MM
        corners += [(tip, layout.width / 2 + 200), (tip, layout.width / 2 - 200)]
    marks, total = [], 0.0
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        marks.append(total)
        total += math.dist(a, b)
    return Ring(tuple((float(x), float(y)) for x, y in corners), tuple(marks), total)


def _faces(a: XY, b: XY, side: str) -> bool:
    if side == "nearside":
        return a[1] == b[1] < 0
    if side == "offside":
        return a[1] == b[1] > 0
    if side == "rear":
        return a[0] == b[0] > 0
    return min(a[0], b[0]) < 0 and max(a[0], b[0]) < 0
