"""Callout numbers: clockwise round the drawing from the habitation door, pinned ones kept."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec.structs import replace

from guidegen.plan.arrange import Arrangement, Subject, arrange
from guidegen.plan.callouts import Box
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.frame import Orientation
from guidegen.vehicle.model import ServicePoint, Vehicle

# The sheet that the numbers follow: A4 landscape within 10 mm margins, less its head and foot.
NUMBERING_BOX: Box = (10.0, 29.0, 277.0, 162.0)
_SHEETS = {"A4": 1.0, "A3": math.sqrt(2), "A2": 2.0}  # ISO 216; the larger ones where A4 is too small


def subject_of(vehicle: Vehicle, orientation: Orientation = "landscape") -> Subject:
    """The vehicle with all its points as the plan's subject, with round badges."""
    return Subject(vehicle.layout, vehicle.points, vehicle.nearside, orientation)


def numbered(vehicle: Vehicle) -> Vehicle:
    """The vehicle with a number on every point.

    Raises SheetTooSmallError when the points fit on no plan.
    """
    if not vehicle.points or all(p.number for p in vehicle.points):
        return vehicle
    _, found = smallest_sheet(subject_of(vehicle))
    numbers = dict(_numbers(found.order, {p.id: p for p in vehicle.points}))
    points = tuple(replace(p, number=numbers[p.id]) for p in vehicle.points)
    return replace(vehicle, points=points)


def smallest_sheet(subject: Subject) -> tuple[str, Arrangement]:
    """The smallest of A4, A3 and A2 that holds all the points, and how they stand there.

    Raises SheetTooSmallError when none does.
    """
    for name, larger in _SHEETS.items():
        x, y, width, height = (length * larger for length in NUMBERING_BOX)
        try:
            return name, arrange(subject, (x, y, width, height))
        except SheetTooSmallError as error:
            too_small = error
    raise too_small


def _numbers(order: tuple[str, ...], points: dict[str, ServicePoint]) -> Iterator[tuple[str, int]]:
    """New points get the next free number."""
    taken = {p.number for p in points.values() if p.pinned}
    free = (n for n in range(1, 2 * len(points) + max(taken, default=0) + 1) if n not in taken)
    for key in order:
        yield key, points[key].number if points[key].pinned else next(free)
