"""What leaders had better not run over: the frames of what is enlarged, mirrors and doors.

A leader over the markers in such a frame reads as theirs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Aside, Box
from guidegen.plan.insets import Detail

_MARK_MM = 1.1  # half the side of a square about a marker in a frame
# How much longer a leader may be to keep off one of each.
_MARK_PRICE_MM, _FRAME_PRICE_MM, _OUTSIDE_PRICE_MM = 60.0, 5.0, 3.0


def asides(details: Iterable[tuple[Detail, Iterable[Point]]], standing_out: Iterable[Box]) -> Iterator[Aside]:
    """Of a plan's insets, each with its markers' places on the plan, and of what stands out of the body."""
    for d, places in details:
        own = f"inset:{d.letter}"
        yield Aside(d.source, _FRAME_PRICE_MM, own)
        for x, y in places:
            yield Aside((x - _MARK_MM, y - _MARK_MM, 2 * _MARK_MM, 2 * _MARK_MM), _MARK_PRICE_MM, own)
    for box in standing_out:
        yield Aside(box, _OUTSIDE_PRICE_MM)
