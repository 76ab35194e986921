"""What leaders had better not run over: the frames of what is enlarged, mirrors and doors.

A leader over the markers in such a frame reads as theirs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Aside, CannotPlace, Placement, Task, place
from guidegen.plan.insets import Detail

_MARK_MM = 1.1  # half the side of a square about a marker in a frame
# How much longer a leader may be to keep off one of each.
_MARK_PRICE_MM, _FRAME_PRICE_MM, _OUTSIDE_PRICE_MM = 60.0, 5.0, 3.0
_MANY = 6  # conflicts left over, from which another price would not help either
_CROWDED_PRICE_MM = 15.0  # of markers, where leaders find no way at the price above


def place_beside(task: Task, details: Sequence[tuple[Detail, Iterable[Point]]]) -> Placement:
    """The placement of a task with these insets, each with its markers' places on the plan.

    Raises CannotPlace.
    """
    try:
        return place(replace(task, asides=tuple(_asides(task, details, _MARK_PRICE_MM))))
    except CannotPlace as error:
        if error.keys or error.left > _MANY or not details:
            raise
        return place(replace(task, asides=tuple(_asides(task, details, _CROWDED_PRICE_MM))))


def _asides(task: Task, details: Sequence[tuple[Detail, Iterable[Point]]], mark_mm: float) -> Iterator[Aside]:
    for d, places in details:
        own = f"inset:{d.letter}"
        yield Aside(d.source, _FRAME_PRICE_MM, own)
        for x, y in places:
            yield Aside((x - _MARK_MM, y - _MARK_MM, 2 * _MARK_MM, 2 * _MARK_MM), mark_mm, own)
    for box in task.off_badges:
        yield Aside(box, _OUTSIDE_PRICE_MM)
