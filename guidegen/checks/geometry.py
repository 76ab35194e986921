"""Distances between points and the openings of a layout, in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable

from guidegen.vehicle.layout import Area, Layout, RoofOpening, Window
from guidegen.vehicle.model import ServicePoint

_SIDES = ("front", "rear", "nearside", "offside")


def plan_distance(a: ServicePoint, b: ServicePoint) -> float:
    """Distance seen from above."""
    return math.hypot(a.x - b.x, a.y - b.y)


def distance(a: ServicePoint, b: ServicePoint) -> float:
    return math.dist((a.x, a.y, a.z), (b.x, b.y, b.z))


def nearest(point: ServicePoint, others: Iterable[ServicePoint]) -> float:
    """Distance from above to the nearest of them; infinite without any."""
    return min((plan_distance(point, other) for other in others), default=math.inf)


def beyond(low: float, value: float, high: float) -> float:
    """How far the value lies outside the span."""
    return max(low - value, 0.0, value - high)


def along(point: ServicePoint, side: str) -> float:
    """The point's distance along a side, as openings count it."""
    return point.x if side in ("nearside", "offside") else point.y


def to_window(point: ServicePoint, window: Window) -> float:
    """Distance on the wall between a point outside and a window; infinite on another side."""
    if point.where != window.side:
        return math.inf
    beside = beyond(window.start, along(point, window.side), window.start + window.width)
    return math.hypot(beside, beyond(window.sill_mm, point.z, window.top_mm))


def beside_window(point: ServicePoint, window: Window, layout: Layout) -> float:
    """Distance from above between a point and a window, wherever the point is."""
    if window.side in ("nearside", "offside"):
        depth = point.y if window.side == "nearside" else layout.width - point.y
    else:
        depth = point.x if window.side == "front" else layout.length - point.x
    beside = beyond(window.start, along(point, window.side), window.start + window.width)
    return math.hypot(beside, abs(depth))


def to_area(point: ServicePoint, area: Area) -> float:
    """Distance from above to an area, 0 within it."""
    return math.hypot(
        beyond(area.x, point.x, area.x + area.length), beyond(area.y, point.y, area.y + area.width)
    )


def overlap(a: Area, b: Area) -> bool:
    return a.x < b.x + b.length and b.x < a.x + a.length and a.y < b.y + b.width and b.y < a.y + a.width


def roof_opening_under(point: ServicePoint, layout: Layout) -> tuple[RoofOpening | None, float]:
    """The roof opening nearest to the point, and how far it is."""
    found = min(layout.roof, key=lambda r: to_area(point, r.area), default=None)
    return found, to_area(point, found.area) if found else math.inf


def on_a_side(point: ServicePoint) -> bool:
    return point.where in _SIDES
