"""Badges whose leaders pass beside the small frames of what is enlarged, where that costs no long detour.

A leader over the markers in such a frame reads as theirs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Aside, CannotPlace, Placement, Task, place
from guidegen.plan.callouts.paths import point_to_segment
from guidegen.plan.insets import Detail

_MARK_MM = 0.7  # radius of a marker in a frame, and a little
# What is kept clear in turn: a radius about each marker, and whether the frames' corners, too.
_KEPT_CLEAR = ((1.2, False), (0.7, False), (0.9, True))
_TOO_LONG = 3.0  # what each mm counts by which a leader is longer than the vehicle is wide
_ACROSS = 1.25  # of the vehicle's width: longer than that no leader may become for it


def place_beside(
    task: Task, details: Sequence[tuple[Detail, Iterable[Point]]], across_mm: float
) -> Placement:
    """The placement of a task whose insets have these frames, with their markers' places on the plan.

    across_mm: the width of the vehicle, which no leader should be longer than. Raises CannotPlace.
    """
    framed = [(d, tuple(places)) for d, places in details]
    marks = tuple(_asides(framed, _MARK_MM, False))
    best = place(task)
    furthest = max(_ACROSS * across_mm, _longest(best))
    for radius, corners in _KEPT_CLEAR if framed else ():
        if not _run_over(best, marks) and _longest(best) <= across_mm:
            break
        try:
            found = place(replace(task, asides=tuple(_asides(framed, radius, corners))))
        except CannotPlace:
            continue
        if _longest(found) <= furthest:
            best = min(
                best,
                found,
                key=lambda one: (_run_over(one, marks), _cost(one, across_mm)),
            )
    return best


def _asides(
    framed: Sequence[tuple[Detail, Sequence[Point]]], radius_mm: float, corners: bool
) -> Iterator[Aside]:
    for d, places in framed:
        own = f"inset:{d.letter}"
        yield from (Aside(*place, radius_mm, own) for place in places)
        if corners:
            x, y, w, h = d.source
            yield from (Aside(*at, 0.0, own) for at in ((x, y), (x + w, y), (x, y + h), (x + w, y + h)))


def _cost(placement: Placement, across_mm: float) -> float:
    return placement.length_mm + _TOO_LONG * max(0.0, _longest(placement) - across_mm)


def _run_over(placement: Placement, marks: Sequence[Aside]) -> int:
    """How many markers the leaders of others run over."""
    leaders = [(c.key, c.leader) for c in placement.callouts if len(c.leader) == 2]
    return sum(
        key != mark.site and point_to_segment((mark.x, mark.y), *leader) < mark.radius_mm
        for mark in marks
        for key, leader in leaders
    )


def _longest(placement: Placement) -> float:
    return max((math.dist(c.leader[0], c.leader[-1]) for c in placement.callouts if c.leader), default=0.0)
