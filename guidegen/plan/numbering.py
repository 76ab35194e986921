"""Callout numbers: clockwise round the drawing from the habitation door, pinned ones kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from guidegen.plan.arrange import Subject, arrange
from guidegen.plan.callouts import Box
from guidegen.plan.frame import Orientation
from guidegen.vehicle.model import ServicePoint, Vehicle

# The sheet that the numbers follow: A4 landscape within 10 mm margins, less its head and foot.
NUMBERING_BOX: Box = (10.0, 29.0, 277.0, 162.0)


def subject_of(vehicle: Vehicle, orientation: Orientation = "landscape") -> Subject:
    """The vehicle with all its points as the plan's subject, with round badges."""
    return Subject(vehicle.layout, vehicle.points, vehicle.nearside, orientation)


def numbered(vehicle: Vehicle) -> Vehicle:
    """The vehicle with a number on every point.

    Raises SheetTooSmallError when the points fit on no plan.
    """
    if not vehicle.points or all(p.number for p in vehicle.points):
        return vehicle
    order = arrange(subject_of(vehicle), NUMBERING_BOX).order
    numbers = dict(_numbers(order, {p.id: p for p in vehicle.points}))
    points = tuple(replace(p, number=numbers[p.id]) for p in vehicle.points)
    return replace(vehicle, points=points)


def _numbers(order: tuple[str, ...], points: dict[str, ServicePoint]) -> Iterator[tuple[str, int]]:
    """New points get the next free number."""
    taken = {p.number for p in points.values() if p.pinned}
    free = (n for n in range(1, 2 * len(points) + max(taken, default=0) + 1) if n not in taken)
    for key in order:
        yield key, points[key].number if points[key].pinned else next(free)
