"""What the stops of the handover are called: by what all of their points share, or by where one stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec.structs import replace

from guidegen.sequence.touring import BONNET, Stop, Tour, way_of
from guidegen.vehicle.landmarks import landmark_phrase, without_side
from guidegen.vehicle.layout import XY, Layout


def named_stops(route: Tour, layout: Layout) -> tuple[Tour, tuple[str, ...]]:
    """The walk with neighbours of one name as one stop, and the name of each stop.

    Stops of one room that lie apart on the walk are told apart by what one stands at.
    """
    names = [_name(stop, layout) for stop in route.stops]
    runs: list[list[int]] = []
    for n, name in enumerate(names):
        if runs and names[runs[-1][0]] == name:
            runs[-1].append(n)
        else:
            runs.append([n])
    merged, legs = _joined(route, runs)
    often = Counter(names[run[0]] for run in runs)
    titles = []
    for run, stop in zip(runs, merged, strict=True):
        name = names[run[0]]
        piece = _piece(stop, layout) if often[name] > 1 and not stop.outside else ""
        titles.append(f"{name}, by the {piece}" if piece else name)
    return replace(route, stops=merged, legs=legs), tuple(titles)


def _joined(
    route: Tour, runs: Sequence[Sequence[int]]
) -> tuple[tuple[Stop, ...], tuple[tuple[XY, ...], ...]]:
    """Each run as one stop at its middle one; what is walked beyond that belongs to the next leg."""
    stops: list[Stop] = []
    legs: list[tuple[XY, ...]] = []
    left: list[XY] = []
    for run in runs:
        at = run[len(run) // 2]
        points = tuple(point for n in run for point in route.stops[n].points)
        stops.append(replace(route.stops[at], points=points))
        legs.append((*left, *(p for n in run if n <= at for p in route.legs[n])))
        left = [p for n in run if n > at for p in route.legs[n]]
    return tuple(stops), tuple(legs)


def _name(stop: Stop, layout: Layout) -> str:
    if stop.shared == BONNET:
        return "Outside, front, under the bonnet"
    way = way_of(stop.shared, layout)
    if way and not stop.outside:
        return f"Inside, by the {way.name}"
    if way and way.side in ("front", "rear"):
        return f"Outside, by the {way.name}"
    if way:
        return f"Outside, {way.side}, by the {without_side(way.name, way.side)}"
    room = layout.room(stop.shared)
    return f"Inside, {room.name}" if room else _outside(stop, layout) if stop.outside else "Inside"


def _outside(stop: Stop, layout: Layout) -> str:
    """The side where one stands, and a landmark there."""
    side = _side(stop, layout)
    if side in ("front", "rear"):
        drawbar = side == "front" and layout.drawbar > 0 and all(point.x < 0 for point in stop.points)
        return f"Outside, {side}, at the drawbar" if drawbar else f"Outside, {side}"
    mark = landmark_phrase(stop.x, side, layout).removeprefix("just ")
    return f"Outside, {side}, {mark}"


def _side(stop: Stop, layout: Layout) -> str:
    beyond = {
        "nearside": -stop.y,
        "offside": stop.y - layout.width,
        "front": -stop.x,
        "rear": stop.x - layout.length,
    }
    return max(beyond, key=lambda side: beyond[side])


def _piece(stop: Stop, layout: Layout) -> str:
    """The name of the furniture that most of the points are at; "" where they are at none."""
    at = Counter(point.furniture for point in stop.points if point.furniture)
    found = layout.piece(at.most_common(1)[0][0]) if at else None
    room = layout.room(stop.shared)
    return found.name.replace(f"{room.name} ", "", 1) if found and room else ""
