"""What the stops of the handover are called: side or room, and a landmark where two would be called alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from guidegen.sequence.touring import Stop
from guidegen.vehicle.layout import Layout

_LEVELS = {"high up", "low", "low down", "below the body", "overhead"}
_AT = ("at waist", "at eye", "at floor", "in the ceiling", "in the middle", "on the ")
_ENDS = (" end", " side", " corner", " edge", "nearside", "offside")


def stop_titles(stops: Sequence[Stop], layout: Layout) -> tuple[str, ...]:
    """A title for each stop, such as "Outside, nearside, behind the rear wheel"."""
    areas = [_area(stop, layout) for stop in stops]
    often = Counter(areas)
    pairs = zip(stops, areas, strict=True)
    return tuple(_with_landmark(stop, area) if often[area] > 1 else area for stop, area in pairs)


def _area(stop: Stop, layout: Layout) -> str:
    """Where most of the stop's points are, in two words of their places; outside, where one stands."""
    said = Counter(", ".join(point.place.split(", ")[:2]) for point in stop.points)
    outside = {place: n for place, n in said.items() if not stop.outside or place.startswith("Outside")}
    if not outside:
        return f"Outside, {_side(stop, layout)}"
    return max(outside, key=lambda place: (outside[place], place))


def _side(stop: Stop, layout: Layout) -> str:
    beyond = {
        "nearside": -stop.y,
        "offside": stop.y - layout.width,
        "front": -stop.x,
        "rear": stop.x - layout.length,
    }
    return max(beyond, key=lambda side: beyond[side])


def _with_landmark(stop: Stop, area: str) -> str:
    """The area with the landmark that most of its points name; of points all under the floor, theirs."""
    own = [point.place for point in stop.points if point.place.startswith(area)]
    places = own or [point.place for point in stop.points]
    marks = Counter(mark for place in places if (mark := _landmark(place)))
    return f"{area}, {marks.most_common(1)[0][0]}" if marks else area


def _landmark(place: str) -> str:
    """The part of a place, behind side or room, that says by what one stands; "" where it has none."""
    for part in place.split(", ")[2:]:
        if part.startswith("near ") or not (part in _LEVELS or part.startswith(_AT) or part.endswith(_ENDS)):
            return part.removeprefix("just ")
    return ""
