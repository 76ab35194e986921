"""Where a point is seen from outside: on the door's leaf, at the coupling, in the middle of its roof light.

A description says where a thing is reached; the marker of a view stands on what one looks for. All lengths
are mm of the vehicle: along a side from the front, or across an end from the nearside; z above the ground.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.elevation import (
    COUPLING_MM,
    DRAWBAR_MM,
    SILL_MM,
    door_heights,
    windscreen,
)
from guidegen.plan.elevation_frame import ElevationFrame
from guidegen.vehicle.layout import Door, Hatch, Layout, Side

CASE_MM = 110.0  # height of an awning's case
_BELOW_ROOF_MM = 40.0
# An awning shades the door and is about so long (common practice, no source).
_AWNING_MM, _LEAST_AWNING_MM = 3200.0, 2000.0
_BEFORE_DOOR_MM = 250.0
_ROUNDED_MM = 150.0  # the body's ends and its windscreen: no case is fixed there
_LAMP_MM = 80.0  # from a door's head to the lamp over it
_MARKER_MM = 1.4  # on paper, from a marker's middle to the locker's edge
_ON_ROOF_MM = 150.0  # a place said so far beside a roof light still names it


class Seen(Protocol):
    """A point as far as a view from outside is concerned."""

    @property
    def kind(self) -> str: ...
    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...
    @property
    def z(self) -> float: ...


class Case(Struct, frozen=True):
    """An awning's case on a long side: where it starts and ends along it, and the z of its middle."""

    start: float
    end: float
    z: float


def on_side(layout: Layout, side: Side, point: Seen, case: Case | None = None) -> tuple[float, float]:
    """Where a point of a side or an end is seen: along it, and above the ground."""
    lengthwise = side in ("nearside", "offside")
    along = point.x if lengthwise else point.y
    if point.kind == "habitation-door" and (door := _door_at(layout, side, along)):
        return (min(max(along, door.start), door.start + door.width), sum(door_heights(layout, door)) / 2)
    if case and point.kind == "awning":
        return (min(max(along, case.start + CASE_MM), case.end - 2 * CASE_MM), case.z)
    if case and point.kind == "awning-winder":
        return (case.end if along > (case.start + case.end) / 2 else case.start, case.z)
    if point.kind == "awning-light" and (door := _door_at(layout, side, along, 0.0)):
        return (along, max(point.z, door_heights(layout, door)[1] + _LAMP_MM))
    if side == "front" and layout.drawbar > 0 and point.x < 0:
        return (layout.width / 2, COUPLING_MM) if point.kind == "tow-hitch" else (along, _on_drawbar(point))
    return (along, point.z)


def on_roof(layout: Layout, point: Seen) -> tuple[float, float]:
    """x and y of a point that is seen from above: of a roof light those of its middle."""
    if point.kind == "roof-light":
        for opening in layout.roof:
            if opening.area.contains(point.x, point.y, _ON_ROOF_MM):
                return opening.area.centre
    return (point.x, point.y)


def lockers_about(
    layout: Layout, side: Side, frame: ElevationFrame, marked: Sequence[tuple[Point, Point]]
) -> Layout:
    """The layout with the lockers of a side drawn round all markers that stand for what is in them.

    marked: the true place on the sheet and that of the marker, which is moved where many stand together.
    """
    return replace(
        layout, hatches=tuple(_about(h, frame, marked) if h.side == side else h for h in layout.hatches)
    )


def _about(hatch: Hatch, frame: ElevationFrame, marked: Sequence[tuple[Point, Point]]) -> Hatch:
    start, end, bottom, top = hatch.start, hatch.start + hatch.width, hatch.bottom_mm, hatch.top_mm
    for true, to in marked:
        (along, z), (x, y) = frame.under(true), frame.under(to)
        inside = hatch.start <= along <= hatch.start + hatch.width and hatch.bottom_mm <= z <= hatch.top_mm
        if inside and true != to:
            half = _MARKER_MM / frame.scale
            start, end = min(start, x - half), max(end, x + half)
            bottom, top = min(bottom, y - half), max(top, y + half)
    bottom = max(bottom, min(hatch.bottom_mm, SILL_MM + _BELOW_ROOF_MM))
    return replace(hatch, start=start, width=end - start, bottom_mm=bottom, top_mm=top)


def awning_case(layout: Layout, side: Side, points: Sequence[Seen]) -> Case | None:
    """The case of the awning on a long side: along the roof's edge over the door, from its winder on."""
    awning = next((p for p in points if p.kind == "awning"), None)
    if awning is None or side not in ("nearside", "offside"):
        return None
    first, last = _straight_roof(layout)
    winder = next((p for p in points if p.kind == "awning-winder"), None)
    door = next(iter(_ways_in(layout, side)), None)
    shaded = (door.start - _BEFORE_DOOR_MM, door.start + door.width) if door else (awning.x, awning.x)
    if winder and winder.x < min(awning.x, shaded[0]):
        start = winder.x
        end = max(start + _AWNING_MM, shaded[1])
    elif winder:
        end = winder.x
        start = min(end - _AWNING_MM, shaded[0])
    else:
        middle = sum(shaded) / 2 if door else awning.x
        middle = min(max(awning.x, middle - _AWNING_MM / 2), middle + _AWNING_MM / 2)
        start, end = min(middle - _AWNING_MM / 2, shaded[0]), max(middle + _AWNING_MM / 2, shaded[1])
    start, end = max(start, first), min(end, last)
    z = max(corner[1] for corner in layout.profile) - _BELOW_ROOF_MM - CASE_MM / 2
    return Case(start, end, z) if end - start >= _LEAST_AWNING_MM / 2 else None


def _straight_roof(layout: Layout) -> tuple[float, float]:
    """Where the roof's edge begins behind the windscreen, and where it ends."""
    front = windscreen(layout)[1][0] if layout.bonnet > 0 else 0.0
    return front + _ROUNDED_MM, layout.length - _ROUNDED_MM


def _on_drawbar(point: Seen) -> float:
    return min(point.z, DRAWBAR_MM, COUPLING_MM + 40.0)


def _ways_in(layout: Layout, side: Side) -> Iterator[Door]:
    yield from (d for d in layout.doors if d.side == side and d.kind in ("habitation", "sliding"))


def _door_at(layout: Layout, side: Side, along: float, slack: float = 300.0) -> Door | None:
    """The way in that is at a place along a side, or right beside it."""
    return next(
        (d for d in _ways_in(layout, side) if d.start - slack <= along <= d.start + d.width + slack), None
    )
