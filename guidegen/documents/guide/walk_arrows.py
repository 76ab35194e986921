"""Which way a walk goes on its map: arrow heads on the way, clear of dots, numbers and each other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from guidegen.documents.guide.walk_tags import Line, boxes_meet
from guidegen.drawing.boxes import Box, box_about, grown
from guidegen.drawing.primitives import Point

Head = tuple[Point, Point, Point]  # its tip, and the corners of its back

_FROM_MM = 4.0  # the least of a piece that has one
_END_MM = 0.3  # between a head and the end of its piece
_APART_MM = 0.4  # between two heads
_WIDE = 0.84  # of its length
_STEP = 0.5  # of its length, from place to place
_ALIKE = 0.9  # the cosine between heads that point the same way


def arrow_heads(ways: Sequence[Sequence[Point]], long_mm: float, taken: Sequence[Box]) -> Iterator[Head]:
    """Heads so long, in mm, that lie on the ways and outside the boxes taken, not more than one for each.

    It lies near the middle of the way's longest piece that has room for it, those of there and back one
    behind the other. A way has none where it has no room, or another's head in its place points the same way.
    """
    drawn: list[tuple[Box, Point]] = []
    for way in ways:
        pieces = [piece for piece in pairwise(way) if math.dist(*piece) >= _FROM_MM]
        found = _first(sorted(pieces, key=lambda ends: -math.dist(*ends)), long_mm, taken, drawn)
        if found:
            head, towards = found
            drawn.append((grown(box_about(head), _APART_MM), towards))
            yield head


def _first(
    pieces: Sequence[Line], long_mm: float, taken: Sequence[Box], drawn: Sequence[tuple[Box, Point]]
) -> tuple[Head, Point] | None:
    """The first head on one of the pieces that is clear, and where it points."""
    for piece in pieces:
        towards = ux, uy = _direction(piece)
        for n, head in enumerate(_along(piece, towards, long_mm)):
            box = box_about(head)
            near = [way for other, way in drawn if boxes_meet(box, other)]
            if not n and any(x * ux + y * uy > _ALIKE for x, y in near):
                return None
            if not near and not any(boxes_meet(box, one) for one in taken):
                return head, towards
    return None


def _along(piece: Line, towards: Point, long_mm: float) -> Iterator[Head]:
    """Heads on a piece, from its middle outwards."""
    (x0, y0), (ux, uy), length = piece[0], towards, math.dist(*piece)
    half = _WIDE / 2 * long_mm
    middle = length / 2 + min(2.2, 0.5 * long_mm + 0.25 * (length - _FROM_MM))
    steps = range(1, math.ceil(length / (_STEP * long_mm)))
    for aside in (0.0, *(side * n * _STEP * long_mm for n in steps for side in (1, -1))):
        tip = middle + aside
        if not aside or long_mm + _END_MM <= tip <= length - _END_MM:
            x, y = x0 + ux * tip, y0 + uy * tip
            bx, by = x - ux * long_mm, y - uy * long_mm
            yield (x, y), (bx - uy * half, by + ux * half), (bx + uy * half, by - ux * half)


def _direction(piece: Line) -> Point:
    """Of length 1."""
    (x1, y1), (x2, y2) = piece
    length = math.dist(*piece)
    return (x2 - x1) / length, (y2 - y1) / length
