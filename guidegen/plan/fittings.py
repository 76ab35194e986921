"""What one sees of service points from outside: vents, flaps, fillers, as plain shapes about their places.

Each is of the usual size of its kind, and smaller where a door, a window or another fitting is beside it: the
place is true, the shape says what to look for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Circle, Item, Line, Point, Rect, Style
from guidegen.plan.pens import DETAIL_MM, EDGE_MM, LEAF_MM, OUTLINE_MM, PLAIN

Box: TypeAlias = tuple[float, float, float, float]  # x, y of the top left corner, width, height

LEAST_MM = 3.6  # on paper: so much shows of a small fitting round its marker
_NARROWEST_MM, _LONGER_MM = 2.4, 3.0  # of what is left beside another: less would hide under the marker
_SLIM, _SLIMMEST_MM = (
    (0.8, 0.65, 0.5, 0.4),
    1.7,
)  # shares of a side in a narrow gap, and the least that is left
_APART_MM = 0.4
_JOINED = "cap"
_PIPE = "spout"
TANK = "tank"  # drawn only where one looks at the vehicle from above or below
_ABOUT_MM = 0.6  # from a place to the edge of its own fitting, at least
_EDGE = Style(fill=PLAIN.floor, stroke=PLAIN.edge, width_mm=EDGE_MM)
_SOFT = Style(fill=PLAIN.soft, stroke=PLAIN.edge, width_mm=EDGE_MM)
_GLASS = Style(fill=PLAIN.glass, stroke=PLAIN.edge, width_mm=EDGE_MM)
_FINE = Style(stroke=PLAIN.edge, width_mm=DETAIL_MM, round_ends=False)
_BOLD = Style(stroke=PLAIN.edge, width_mm=LEAF_MM, round_ends=False)
_DASHED = Style(stroke=PLAIN.edge, width_mm=EDGE_MM, dash_mm=(1.2, 0.8))
_THICK = Style(stroke=PLAIN.edge, width_mm=OUTLINE_MM, round_ends=False)


class Fitting(Struct, frozen=True):
    """One fitting on the sheet: its places and its box, in mm of the sheet."""

    shape: str  # one of SHAPES
    places: tuple[Point, ...]
    box: Box


def fitting(shape: str, at: Point, width_mm: float, height_mm: float) -> Fitting:
    """A fitting about its place, so large on paper; never so small that its marker hides it."""
    grow = max(1.0, LEAST_MM / max(width_mm, height_mm))
    width, height = width_mm * grow, height_mm * grow
    return Fitting(shape, (at,), (at[0] - width / 2, at[1] - height / 2, width, height))


def hung(one: Fitting, underside: float) -> Fitting:
    """A pipe below the body reaches up to the underside that it comes out of; others stay as they are."""
    x, y, width, height = one.box
    if one.shape != _PIPE or y <= underside:
        return one
    return Fitting(one.shape, one.places, (x, underside, width, y + height - underside))


def from_above(one: Fitting) -> Fitting:
    """A pipe as one looks down it; others, which lie flat, as they are."""
    if one.shape != _PIPE:
        return one
    (x, y), width = one.places[0], max(LEAST_MM, one.box[2])
    return Fitting("rings", one.places, (x - width / 2, y - width / 2, width, width))


def draw_fittings(fittings: Sequence[Fitting], taken: Sequence[Box], room: Box) -> tuple[Item, ...]:
    """The fittings, within the room, clear of what is drawn there already and of one another.

    Small ones keep their size and larger ones end beside them. One of which too little would be left stands
    beside its place, slimmer where there is less room. What stands within a door, say, is not drawn.
    """
    items: list[Item] = []
    drawn: list[Box] = []
    joined = sorted(_joined(fittings), key=lambda f: (f.box[2] * f.box[3], f.box))
    for one in joined:
        box: Box | None = _within(one.box, room)
        for other in (*taken, *drawn):
            box = box and _beside(box, one.places, other)
        if not (box and _shows(box, one.box)):
            places = [place for other in joined if other is not one for place in other.places]
            box = _moved_aside(one.box, (*taken, *drawn), room, places)
            if not (box or any(_inside(place, other) for place in one.places for other in taken)):
                ways = (_moved_aside(slim, (*taken, *drawn), room, places) for slim in _slimmer(one.box))
                box = next(filter(None, ways), None)
        if box:
            drawn.append(box)
            items += SHAPES[one.shape](box)
    return tuple(items)


def _shows(box: Box, whole: Box) -> bool:
    """Whether what is left of a fitting still shows round its marker."""
    return min(box[2:]) > min(_NARROWEST_MM, *whole[2:]) - 1e-6 and max(box[2:]) > _LONGER_MM - 1e-6


def _moved_aside(box: Box, others: Sequence[Box], room: Box, places: Sequence[Point]) -> Box | None:
    """The whole box beside what is in its way, its edge still at its marker; None where that is not free.

    places: those of other fittings, on which it would be taken for them.
    """
    x, y, width, height = box
    ways: list[Box] = []
    for ox, oy, ow, oh in (o for o in others if _touch(box, o)):
        ways += [(to, y, width, height) for to in (ox - _APART_MM - width, ox + ow + _APART_MM)]
        ways += [(x, to, width, height) for to in (oy - _APART_MM - height, oy + oh + _APART_MM)]
    free = (
        way
        for way in ways
        if abs(way[0] - x) <= width / 2 + _ABOUT_MM
        and abs(way[1] - y) <= height / 2 + _ABOUT_MM
        and way[:2] == _within(way, room)[:2]
        and min(a - b for a, b in zip(_within(way, room)[2:], way[2:], strict=True)) > -1e-6
        and not any(_touch(_less(way), other) for other in others)
        and not any(_holds(way, place) for place in places)
    )
    return min(free, key=lambda way: (abs(way[0] - x) + abs(way[1] - y), way), default=None)


def _inside(place: Point, box: Box) -> bool:
    x, y, width, height = box
    return x < place[0] < x + width and y < place[1] < y + height


def _slimmer(box: Box) -> Iterator[Box]:
    """The box narrower or lower about its middle, as long as its other side shows round its marker."""
    x, y, width, height = box
    for share in _SLIM:
        if width * share > _SLIMMEST_MM and height > _LONGER_MM:
            yield (x + width * (1 - share) / 2, y, width * share, height)
        if height * share > _SLIMMEST_MM and width > _LONGER_MM:
            yield (x, y + height * (1 - share) / 2, width, height * share)


def _less(box: Box) -> Box:
    """The box without what rounding may add to it."""
    return (box[0] + 1e-6, box[1] + 1e-6, box[2] - 2e-6, box[3] - 2e-6)


def _joined(fittings: Sequence[Fitting]) -> list[Fitting]:
    """Caps that would lie on one another as one: two fillers stand behind one flap."""
    left: list[Fitting] = []
    for one in fittings:
        for n, other in enumerate(left):
            if one.shape == other.shape == _JOINED and _touch(one.box, other.box):
                left[n] = Fitting(one.shape, (*other.places, *one.places), _about(one.box, other.box))
                break
        else:
            left.append(one)
    return left


def _touch(a: Box, b: Box) -> bool:
    return (
        a[0] < b[0] + b[2] + _APART_MM
        and b[0] < a[0] + a[2] + _APART_MM
        and a[1] < b[1] + b[3] + _APART_MM
        and b[1] < a[1] + a[3] + _APART_MM
    )


def _about(a: Box, b: Box) -> Box:
    x, y = min(a[0], b[0]), min(a[1], b[1])
    return (x, y, max(a[0] + a[2], b[0] + b[2]) - x, max(a[1] + a[3], b[1] + b[3]) - y)


def _within(box: Box, room: Box) -> Box:
    x, y = max(box[0], room[0]), max(box[1], room[1])
    right, foot = min(box[0] + box[2], room[0] + room[2]), min(box[1] + box[3], room[1] + room[3])
    return (x, y, right - x, foot - y)


def _beside(box: Box, places: Sequence[Point], other: Box) -> Box | None:
    """The largest part of the box beside another that holds the places; None where there is none."""
    if not _touch(box, other):
        return box
    x, y, right, foot = box[0], box[1], box[0] + box[2], box[1] + box[3]
    before, above = other[0] - _APART_MM, other[1] - _APART_MM
    behind, below = other[0] + other[2] + _APART_MM, other[1] + other[3] + _APART_MM
    parts = (
        (x, y, before - x, foot - y),
        (behind, y, right - behind, foot - y),
        (x, y, right - x, above - y),
        (x, below, right - x, foot - below),
    )
    holding = [part for part in parts if all(_holds(part, place) for place in places)]
    return max(holding, key=lambda part: part[2] * part[3], default=None)


def _holds(box: Box, place: Point) -> bool:
    around = [min(_ABOUT_MM, side / 2) for side in box[2:]]
    return (
        box[0] + around[0] <= place[0] + 1e-6 <= box[0] + box[2] - around[0] + 2e-6
        and box[1] + around[1] <= place[1] + 1e-6 <= box[1] + box[3] - around[1] + 2e-6
    )


def _louvres(box: Box) -> Iterator[Item]:
    """A vent's grille with its slats."""
    x, y, width, height = box
    yield Rect(*box, _SOFT, 0.4)
    count = max(2, round(height / 0.9))
    for n in range(1, count):
        level = y + height * n / count
        yield Line(((x + 0.5, level), (x + width - 0.5, level)), _FINE)


def _flap(box: Box) -> Iterator[Item]:
    """A small door with its hinge along the top and its lock below."""
    x, y, width, height = box
    yield Rect(*box, _EDGE, 0.5)
    yield Line(((x + 0.6, y + 0.1), (x + width - 0.6, y + 0.1)), _THICK)
    yield Line(((x + width / 2 - 0.4, y + height - 0.55), (x + width / 2 + 0.4, y + height - 0.55)), _BOLD)


def _cap(box: Box) -> Iterator[Item]:
    """A filler's cap with the bar to turn it by."""
    x, y, width, height = box
    yield Rect(*box, _SOFT, min(width, height) / 2)
    yield Line(((x + 0.3, y + height / 2), (x + width - 0.3, y + height / 2)), _THICK)


def _cowl(box: Box) -> Iterator[Item]:
    """A heater's cowl: a plate with a raised rim."""
    x, y, width, height = box
    yield Rect(*box, _EDGE, 0.6)
    yield Rect(x + 0.55, y + 0.55, width - 1.1, height - 1.1, _SOFT, 0.9)


def _rings(box: Box) -> Iterator[Item]:
    """What is round from above: a flue, an aerial."""
    x, y, width, height = box
    radius = min(width, height) / 2
    yield Circle(x + width / 2, y + height / 2, radius, _SOFT)
    yield Circle(x + width / 2, y + height / 2, radius - 0.45, _EDGE)


def _spout(box: Box) -> Iterator[Item]:
    """A pipe that comes down below the body, with its flange."""
    x, y, width, height = box
    yield Rect(x + width * 0.3, y, width * 0.4, height, _SOFT)
    yield Line(((x + width * 0.12, y + 0.1), (x + width * 0.88, y + 0.1)), _BOLD)
    yield Line(((x + width * 0.22, y + height), (x + width * 0.78, y + height)), _BOLD)


def _grille(box: Box) -> Iterator[Item]:
    """A small grille, such as that over a drop vent."""
    x, y, width, height = box
    yield Rect(*box, _SOFT, 0.3)
    for n in (1, 2, 3):
        yield Line(((x + width * n / 4, y), (x + width * n / 4, y + height)), _FINE)
        yield Line(((x, y + height * n / 4), (x + width, y + height * n / 4)), _FINE)


def _panel(box: Box) -> Iterator[Item]:
    """A solar panel with its cells."""
    x, y, width, height = box
    yield Rect(*box, _GLASS, 0.2)
    columns, rows = max(2, round(width / 3.0)), max(2, round(height / 3.0))
    for n in range(1, columns):
        yield Line(((x + width * n / columns, y), (x + width * n / columns, y + height)), _FINE)
    for n in range(1, rows):
        yield Line(((x, y + height * n / rows), (x + width, y + height * n / rows)), _FINE)


def _bar(box: Box) -> Iterator[Item]:
    """What is long and low: an awning's case, a lamp."""
    yield Rect(*box, _SOFT, min(box[2:]) / 3)


def _tread(box: Box) -> Iterator[Item]:
    """A step that pulls out, with its edge."""
    x, y, width, height = box
    yield Rect(*box, _SOFT, 0.3)
    yield Line(((x + 0.3, y + height - 0.45), (x + width - 0.3, y + height - 0.45)), _BOLD)


def _frame(box: Box) -> Iterator[Item]:
    """A roof light in its frame."""
    x, y, width, height = box
    yield Rect(*box, _EDGE, 0.6)
    yield Rect(x + 0.7, y + 0.7, width - 1.4, height - 1.4, _GLASS, 0.4)


def _tank(box: Box) -> Iterator[Item]:
    """A tank under the floor: its outline, dashed, as it hangs behind what is drawn."""
    yield Rect(*box, _DASHED, 0.8)


SHAPES: Mapping[str, Callable[[Box], Iterator[Item]]] = {
    "louvres": _louvres,
    "flap": _flap,
    "cap": _cap,
    "cowl": _cowl,
    "rings": _rings,
    _PIPE: _spout,
    "grille": _grille,
    "panel": _panel,
    "bar": _bar,
    "tread": _tread,
    "frame": _frame,
    TANK: _tank,
}
