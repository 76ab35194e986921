"""The little map of the handover: the faded vehicle, the walk with arrows, the stops numbered along it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from guidegen.documents.handover_rows import stop_tag
from guidegen.documents.parts import INK
from guidegen.drawing.primitives import WHITE, Circle, Item, Line, Point, Style, Text
from guidegen.paper.blocks import Drawing
from guidegen.plan.body import draw_vehicle
from guidegen.plan.frame import Frame
from guidegen.sequence.touring import Stop, Tour
from guidegen.vehicle.model import Vehicle

HEIGHT_MM = 74.0
_MARGIN_MM = 420.0  # of the vehicle's mm, beyond the outermost stop
_WAY = Style(stroke="#3a3a3a", width_mm=0.5)
_HALO = Style(stroke=WHITE, width_mm=1.2)
_ARROW_FROM_MM = 5.0
_RIGHT_MM = 0.65  # of the middle of the way
_SHARP = 0.3  # of 1 + the cosine of a turn: sharper ones are not mitred
_APART_MM = 6.0
_CLEAR_MM = 4.4  # between a tag's middle and the circle's
_WORD_MM = (-2.6, 0.8, 5.4)  # of the word Front, upright: left and right of its baseline, half its length
_BEYOND_MM = 2.0
_NUDGE = 0.02  # of the way to a stop's points


def draw_map(vehicle: Vehicle, route: Tour, width: float, most: float = HEIGHT_MM) -> Drawing:
    """The map in a box of that width, so high at most."""
    frame, height = _frame(vehicle, route, width, most)
    items: list[Item] = [*draw_vehicle(vehicle.layout, frame, faded=True)]
    for leg in route.legs:
        items += _leg([frame.at(*p) for p in leg])
    tags = _apart([_towards_points(stop, frame) for stop in route.stops], width, height)
    begin = "outside the door"
    if route.legs:
        start = frame.at(*route.legs[0][0])
        if all(math.dist(start, tag) > _CLEAR_MM for tag in tags):
            items.append(Circle(*start, 1.3, Style(fill=WHITE, stroke=INK, width_mm=0.5)))
            begin = "at the circle outside the door"
    for number, (x, y) in enumerate(tags, 1):
        items.append(Circle(x, y, 3.2, Style(fill=WHITE, fill_opacity=0.8)))
        items += stop_tag(number, x, y)
    ways = [[frame.at(*p) for p in leg] for leg in route.legs]
    front = _word_at(frame.at(-vehicle.layout.drawbar, vehicle.layout.width / 2), tags, ways)
    items.append(Text(*front, "Front", 8.5, "bold", INK, "middle", turn_deg=-90))
    stops = len(route.stops)
    words = f"{stops} stop{'s' if stops > 1 else ''}, {route.walk_m:.0f} m of walking. Begin {begin}."
    words = words if stops else "No point is located yet."
    items.append(Text(width, height - 0.8, words, 8.5, "regular", INK, "end"))
    return Drawing(items=tuple(items), width=width, height=height, title="map of the walk")


def _towards_points(stop: Stop, frame: Frame) -> Point:
    """The place of a stop, a little nearer to its points: the tags of two at one place part that way."""
    x, y = frame.at(stop.x, stop.y)
    px, py = zip(*(frame.at(point.x, point.y) for point in stop.points), strict=True)
    return x + _NUDGE * (math.fsum(px) / len(px) - x), y + _NUDGE * (math.fsum(py) / len(py) - y)


def _word_at(front: Point, tags: Sequence[Point], ways: Sequence[Sequence[Point]]) -> Point:
    """Where the word Front stands: before the vehicle where tags and ways leave room, else beyond them."""
    left, right, half = _WORD_MM
    x, y = front[0] - 4.0, front[1]
    near = [
        *_dots(ways),
        *((tag[0] + dx, tag[1] + dy) for tag in tags for dx in (-2.3, 2.3) for dy in (-2.3, 2.3)),
    ]
    if not any(x + left < px < x + right and abs(py - y) < half for px, py in near):
        return x, y
    return min((px for px, py in near if abs(py - y) < half + 4.0), default=x) - _BEYOND_MM, y


def _dots(ways: Sequence[Sequence[Point]]) -> Iterator[Point]:
    """Points on the ways, no further apart than half a millimetre."""
    for a, b in (pair for way in ways for pair in itertools.pairwise(way)):
        steps = max(1, round(2 * math.dist(a, b)))
        yield from (
            (a[0] + (b[0] - a[0]) * n / steps, a[1] + (b[1] - a[1]) * n / steps) for n in range(steps + 1)
        )


def _frame(vehicle: Vehicle, route: Tour, width: float, most: float) -> tuple[Frame, float]:
    layout = vehicle.layout
    path = [p for leg in route.legs for p in leg]
    xs = [*(p[0] for p in path), -layout.drawbar, layout.length]
    ys = [*(p[1] for p in path), 0.0, layout.width]
    long, across = max(xs) - min(xs) + 2 * _MARGIN_MM, max(ys) - min(ys) + 2 * _MARGIN_MM
    scale = min(width / long, most / across, 1 / 40)
    above = max(ys) - layout.width if vehicle.nearside == "left" else -min(ys)
    left = (width - long * scale) / 2 + (_MARGIN_MM - min(xs)) * scale
    top = (above + _MARGIN_MM) * scale
    return Frame(scale, left, top, layout.width, "landscape", vehicle.nearside), across * scale + 4.0


def _beside(points: Sequence[Point]) -> list[Point]:
    """The way as one keeps right on it, so that the way back does not lie on the way out.

    Every piece stays parallel to itself.
    """
    right = []
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        length = math.dist((ax, ay), (bx, by))
        right.append((-(by - ay) / length * _RIGHT_MM, (bx - ax) / length * _RIGHT_MM))
    found = []
    for (x, y), (ux, uy), (vx, vy) in zip(points, (right[0], *right), (*right, right[-1]), strict=True):
        share = 1 + (ux * vx + uy * vy) / _RIGHT_MM**2
        if share < _SHARP:  # turning back: across the way, not far beyond its end
            found += [(x + ux, y + uy), (x + vx, y + vy)]
        else:
            found.append((x + (ux + vx) / share, y + (uy + vy) / share))
    return found


def _leg(way: Sequence[Point]) -> Iterator[Item]:
    apart = [point for point, _ in itertools.groupby(way)]
    if len(apart) < 2:
        return
    points = _beside(apart)
    yield Line(tuple(points), _HALO)
    yield Line(tuple(points), _WAY)
    a, b = max(zip(points, points[1:], strict=False), key=lambda piece: math.dist(*piece))
    length = math.dist(a, b)
    if length < _ARROW_FROM_MM:
        return
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    ahead = 1.0 + max(0.0, min(2.0, length / 2 - 4.0))  # not beside that of the way back
    x, y = (a[0] + b[0]) / 2 + ux * ahead, (a[1] + b[1]) / 2 + uy * ahead
    back = (x - ux * 2.0, y - uy * 2.0)
    wings = ((back[0] - uy * 0.9, back[1] + ux * 0.9), (back[0] + uy * 0.9, back[1] - ux * 0.9))
    yield Line(((x, y), *wings), Style(fill="#3a3a3a", stroke=WHITE, width_mm=0.25), closed=True)


def _apart(places: Sequence[Point], width: float, height: float) -> list[Point]:
    """The places pushed apart until no two tags touch, within the map."""
    at = [list(place) for place in places]
    for _ in range(100):
        still = True
        for i in range(len(at)):
            for j in range(i + 1, len(at)):
                dx, dy = at[j][0] - at[i][0], at[j][1] - at[i][1]
                axis = 0 if abs(dx) >= abs(dy) else 1  # tags are square: one axis apart is enough
                apart = max(abs(dx), abs(dy))
                if apart >= _APART_MM - 1e-6:
                    continue
                still = False
                push = math.copysign((_APART_MM - apart) / 2, (dx, dy)[axis])
                at[i][axis] -= push
                at[j][axis] += push
        for place in at:
            place[0] = min(max(place[0], 3.5), width - 3.5)
            place[1] = min(max(place[1], 3.0), height - 3.0)
        if still:
            break
    return [(x, y) for x, y in at]
