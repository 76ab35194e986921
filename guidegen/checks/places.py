"""Rules on where a point lies: inside the vehicle, at a height and on a side that fit its kind."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from guidegen.checks import geometry, thresholds
from guidegen.checks.rule import Fault, Scene, rule
from guidegen.vehicle.layout import Window
from guidegen.vehicle.model import ServicePoint

_WORDS = {
    "under-floor": "under the floor",
    "floor": "at floor level",
    "under-seat": "under a seat or bed",
    "low": "low",
    "worktop": "at worktop height",
    "eye-level": "at eye level",
    "ceiling": "at the ceiling",
    "roof": "on the roof",
}
_TOP = ("eye-level", "ceiling", "roof")
DRAINS = ("fresh-drain", "water-heater-drain", "waste-drain", "low-point-drain")
_BEHIND_GLASS = ("escape-window", "opening-window", "awning", "awning-light", "awning-winder")


@rule("number-twice", "error")
def number_twice(scene: Scene) -> Iterator[Fault]:
    """Two points have the same number."""
    first: dict[int, ServicePoint] = {}
    for point in scene.points:
        if point.number and point.number in first:
            other = first[point.number]
            at = f" (line {other.mark.line})" if other.mark.line else ""
            yield Fault(
                f"number {point.number} is used twice: “{other.name}”{at} and “{point.name}”",
                "give one of them another number, or take its number out",
                point.mark,
            )
        first.setdefault(point.number, point)


@rule("place-outside", "error")
def place_outside(scene: Scene) -> Iterator[Fault]:
    """A point lies outside the vehicle."""
    layout = scene.layout
    for point in scene.points:
        slack = thresholds.WALL_SLACK_MM if point.inside else thresholds.BODY_SLACK_MM
        front = 0.0 if point.inside else layout.drawbar
        out = max(
            geometry.beyond(-front, point.x, layout.length),
            geometry.beyond(0.0, point.y, layout.width),
        )
        above = geometry.beyond(0.0, point.z, layout.height + thresholds.TALL_SLACK_MM)
        if out > slack or above > 0:
            yield Fault(
                f"“{point.name}” lies outside the vehicle: "
                f"{point.x / 1000:.2f} m from the front, {point.y / 1000:.2f} m from the nearside, "
                f"{point.z / 1000:.2f} m above ground",
                f"the body is {layout.length / 1000:g} m long, {layout.width / 1000:g} m wide "
                f"and {layout.height / 1000:g} m high",
                point.mark,
            )


@rule("place-unknown", "error")
def place_unknown(scene: Scene) -> Iterator[Fault]:
    """A point lies in furniture or a room that the layout does not have."""
    for point in scene.points:
        if point.furniture and scene.layout.piece(point.furniture) is None:
            known = ", ".join(f.id for f in scene.layout.furniture)
            yield Fault(
                f"“{point.name}” lies in “{point.furniture}”, which this layout does not have",
                f"there are: {known}",
                point.mark,
            )
        elif point.room and scene.layout.room(point.room) is None:
            known = ", ".join(r.id for r in scene.layout.rooms)
            yield Fault(
                f"“{point.name}” lies in the room “{point.room}”, which this layout does not have",
                f"there are: {known}",
                point.mark,
            )


@rule("points-overlap")
def points_overlap(scene: Scene) -> Iterator[Fault]:
    """Two points of one kind lie in the same place and serve the same."""
    beside = _side_by_side(scene)
    for a, b in combinations(scene.points, 2):
        if (a.kind, a.serves, a.where, a.height) != (b.kind, b.serves, b.where, b.height):
            continue
        if a.kind in beside and a.name == b.name:
            continue
        if geometry.distance(a, b) < thresholds.SAME_PLACE_MM:
            yield Fault(
                f"“{b.name}” lies where “{a.name}” lies",
                "move one of them, or take it out when it is the same thing written twice",
                b.mark,
            )


def _side_by_side(scene: Scene) -> frozenset[str]:
    """Kinds of which several stand in one locker, when no more are placed than the equipment counts."""
    gas, battery = scene.vehicle.equipment.gas, scene.vehicle.equipment.leisure_battery
    fitted = {
        "gas-cylinder": len(gas.cylinders) if gas else 0,
        "leisure-battery": battery.count if battery else 0,
    }
    return frozenset(kind for kind, count in fitted.items() if 1 < len(scene.of(kind)) <= count)


@rule("height-unusual")
def height_unusual(scene: Scene) -> Iterator[Fault]:
    """A height does not fit the kind."""
    for point in scene.points:
        kind = scene.trade.kinds.get(point.kind)
        if not kind or not kind.usual or point.height in kind.usual or _drain_too_high(point):
            continue
        usual = " or ".join(_WORDS[h] for h in kind.usual if h in _WORDS)
        yield Fault(
            f"“{point.name}” is {_WORDS[point.height]}: unusual for a {kind.name}",
            f"usual is {usual}; correct the height, or leave it when it is really there",
            point.mark,
        )


def _drain_too_high(point: ServicePoint) -> bool:
    return point.kind in DRAINS and point.height in _TOP


@rule("drain-high")
def drain_high(scene: Scene) -> Iterator[Fault]:
    """A drain lies above worktop height, a waste drain even on the roof."""
    for point in scene.points:
        if _drain_too_high(point):
            yield Fault(
                f"“{point.name}” is {_WORDS[point.height]}: water would not run out",
                "a drain is the lowest place of what it empties: correct the height",
                point.mark,
            )


@rule("drain-above-tank")
def drain_above_tank(scene: Scene) -> Iterator[Fault]:
    """A tank's drain lies above the tank."""
    for drain_kind, tank_kind in (("fresh-drain", "fresh-tank"), ("waste-drain", "waste-tank")):
        tanks = scene.of(tank_kind)
        for drain in scene.of(drain_kind) if tanks else ():
            top = max(tank.z for tank in tanks)
            if drain.z > top + thresholds.DRAIN_OVER_TANK_MM and not _drain_too_high(drain):
                yield Fault(
                    f"“{drain.name}” lies {(drain.z - top) / 1000:.1f} m higher than “{tanks[0].name}”",
                    "correct one of the heights: the drain is the lowest place of the tank",
                    drain.mark,
                )


@rule("filler-below-tank")
def filler_below_tank(scene: Scene) -> Iterator[Fault]:
    """The fresh water filler lies lower than the tank."""
    tanks = scene.of("fresh-tank")
    for filler in scene.of("fresh-filler") if tanks else ():
        tank = min(tanks, key=lambda t: t.z)
        if filler.z < tank.z:
            yield Fault(
                f"“{filler.name}” lies lower than “{tank.name}”: water would run back out",
                "correct one of the heights: the filler is above the tank",
                filler.mark,
            )


@rule("side-unusual")
def side_unusual(scene: Scene) -> Iterator[Fault]:
    """Something of the outside lies inside, or the other way round."""
    for point in scene.points:
        kind = scene.trade.kinds.get(point.kind)
        if not kind or kind.outside is None or kind.outside != point.inside:
            continue
        is_at, belongs = ("inside", "outside") if point.inside else ("outside", "inside")
        hint = (
            "say “on: nearside” with “from_front: …”"
            if point.inside
            else "say “in: …” with room or furniture"
        )
        yield Fault(f"“{point.name}” is placed {is_at}; a {kind.name} belongs {belongs}", hint, point.mark)


@rule("point-on-window")
def point_on_window(scene: Scene) -> Iterator[Fault]:
    """Something of the outside wall lies on the glass of a window."""
    for point in scene.points:
        if not geometry.on_a_side(point) or point.kind in _BEHIND_GLASS:
            continue
        window = _window_at(point, scene.layout.windows)
        if window:
            yield Fault(
                f"“{point.name}” lies on the glass of the window “{window.id}”",
                "correct its distance from the front or its height",
                point.mark,
            )


def _window_at(point: ServicePoint, windows: tuple[Window, ...]) -> Window | None:
    return next((w for w in windows if geometry.to_window(point, w) == 0), None)


@rule("point-at-wheel")
def point_at_wheel(scene: Scene) -> Iterator[Fault]:
    """Something of the outside wall lies where a wheel is."""
    layout = scene.layout
    for point in scene.points:
        if point.where not in ("nearside", "offside") or point.kind == "jacking-point":
            continue
        for wheel in layout.wheels:
            near = (wheel.y < layout.width / 2) == (point.where == "nearside")
            radius = wheel.diameter / 2
            if near and (point.x - wheel.x) ** 2 + (point.z - radius) ** 2 < radius**2:
                yield Fault(
                    f"“{point.name}” lies behind a wheel",
                    f"the wheel's middle is {wheel.x / 1000:.2f} m from the front: correct the place",
                    point.mark,
                )


RULES = (
    number_twice,
    place_outside,
    place_unknown,
    points_overlap,
    height_unusual,
    drain_high,
    drain_above_tank,
    filler_below_tank,
    side_unusual,
    point_on_window,
    point_at_wheel,
)
