"""What leaders had better not run over: the frames of what is enlarged, mirrors and doors.

A leader over the markers in such a frame reads as theirs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Aside, Placement, Task, place
from guidegen.plan.insets import Detail

_MARK_MM = 1.1  # half the side of a square about a marker in a frame
_OUTSIDE_PRICE_MM = 3.0  # how much longer a leader may be to keep off mirrors and doors


class _Prices(NamedTuple):
    """How many mm longer a leader may be to keep off the frame of another's inset, or a marker in it."""

    frame: float
    mark: float


_USUAL = _Prices(10.0, 60.0)
_CROWDED = _Prices(5.0, 15.0)  # where leaders find no way at the usual ones


def place_beside(task: Task, details: Sequence[tuple[Detail, Iterable[Point]]]) -> Placement:
    """The placement of a task with these insets, each with its markers' places on the plan.

    Raises CannotPlace.
    """
    usual, crowded = (tuple(_asides(task, details, prices)) for prices in (_USUAL, _CROWDED))
    return place(replace(task, asides=usual, easier=crowded if details else ()))


def _asides(
    task: Task, details: Sequence[tuple[Detail, Iterable[Point]]], prices: _Prices
) -> Iterator[Aside]:
    for d, places in details:
        own = f"inset:{d.letter}"
        yield Aside(d.source, prices.frame, own)
        for x, y in places:
            yield Aside((x - _MARK_MM, y - _MARK_MM, 2 * _MARK_MM, 2 * _MARK_MM), prices.mark, own)
    for box in task.off_badges:
        yield Aside(box, _OUTSIDE_PRICE_MM)
