"""For each step, the points it is done at and the spots one visits for it."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from guidegen.sequence.conditions import applying
from guidegen.sequence.floor import opening_foot
from guidegen.sequence.model import Variant
from guidegen.sequence.ordering import Move
from guidegen.sequence.planner import Plan, make_plan
from guidegen.sequence.terrain import DOOR_MM, Terrain, habitation_door
from guidegen.trade.records import SequenceName, Step, Trade, counted
from guidegen.vehicle.description import ExtraStep
from guidegen.vehicle.model import ServicePoint, Vehicle

FIXED = {
    "driver-seat": "Driver's seat",
    "cab": "Driver's seat",
    "pitch-post": "At the pitch supply",
    "taps": "Inside, at every tap",
    "hot-taps": "Inside, at every hot tap",
    "windows": "Inside, at every window",
    "lockers": "Outside, at every locker",
    "wheels": "Outside, at the wheels",
    "round": "Outside, all the way round",
    "inside": "Inside",
    "outside": "Outside",
}
THEN = ">"  # before a kind: it comes after those named before it
BACK = "<"  # before a kind: one goes to it from the driver's seat through the cab, and back
_ALL_ORDERS = 4  # so many spots are visited in the best of all orders
_HITCH = "At the hitch"
_UNKNOWN = "still to be located"
_ASKED = re.compile(r"\{#([a-z0-9-]+)\}")  # a kind whose numbers a text tells


class Standing(Struct, frozen=True):
    """tours: for each way to do the step the spots in order; points: (point id, its spot, its place).

    in_turn: the step's text takes the points one after another, also those at one spot.
    """

    step: str
    tours: tuple[tuple[int, ...], ...]
    moves: tuple[Move, ...]
    points: tuple[tuple[str, int, str], ...]
    stops: tuple[str, ...]  # fixed stops in words
    unlocated: bool
    loop: bool = False
    beyond: tuple[int, ...] = ()  # spots that one goes to through the cab, and back
    in_turn: bool = False

    def visited(self, tour: tuple[int, ...]) -> tuple[tuple[str, ...], ...]:
        """The points in the order of a tour; those at one spot together where their order is free."""
        if self.in_turn:
            return tuple((id,) for id, _, _ in self.points)
        at: dict[int, list[str]] = {}
        for id, spot, _ in sorted(self.points, key=lambda point: tour.index(point[1])):
            at.setdefault(spot, []).append(id)
        return tuple(map(tuple, at.values()))

    def words(self, visited: Iterable[Iterable[str]]) -> str:
        """All places, in the order in which the points are visited."""
        words = {id: place for id, _, place in self.points}
        return said_together([*(words[id] for together in visited for id in together), *self.stops])


def standings(plan: Plan, vehicle: Vehicle, trade: Trade, terrain: Terrain) -> tuple[Standing, ...]:
    """One for each step of the plan, in the same order."""
    own = [_of_step(step, plan, vehicle, trade, terrain) for step in plan.steps]
    return (*own, *(_of_extra(extra, vehicle, terrain) for extra in plan.extras))


def plan_for(vehicle: Vehicle, trade: Trade, name: SequenceName, variant: Variant) -> Plan:
    """The plan of a vehicle's own steps, worded for as many points as each has; raises as make_plan does."""
    plan = make_plan(trade, name, variant, vehicle.facts, vehicle.extra_steps)

    def worded(step: Step) -> Step:
        points, _, missing = _gathered(step, plan.facts, vehicle)
        count = 0 if missing else len(points)
        text = with_numbers(counted(step.text, count), vehicle)
        return replace(step, text=text, check=counted(step.check, count))

    return replace(plan, steps=tuple(map(worded, plan.steps)))


def with_numbers(text: str, vehicle: Vehicle) -> str:
    """The text with the numbers of kinds that it asks for as "{#charger}", once their points have them."""

    def said(asked: re.Match[str]) -> str:
        points = vehicle.of_kind(asked[1])
        if not all(point.number for point in points):
            return asked[0]
        return f" ({', '.join(str(point.number) for point in points)})" if points else ""

    return _ASKED.sub(said, text) if "{#" in text else text


def points_of(step: Step, facts: frozenset[str], vehicle: Vehicle) -> tuple[ServicePoint, ...]:
    """The vehicle's points at which a step is done, as the trade lists them."""
    return tuple(_gathered(step, facts, vehicle)[0])


def _gathered(
    step: Step, facts: frozenset[str], vehicle: Vehicle
) -> tuple[list[ServicePoint], list[str], list[str]]:
    """Points, fixed stops, and the kinds that are not placed."""
    required = {missed.kind for missed in vehicle.to_locate}
    points: list[ServicePoint] = []
    stops: list[str] = []
    missing: list[str] = []
    for entry in applying(step.at, facts):
        choices = entry.removeprefix(THEN).removeprefix(BACK).split("|")
        kind = next((c for c in choices if c in FIXED or vehicle.of_kind(c)), None)
        if kind is None or choices[0] in required:  # where one is placed, another may be missing
            missing.append(choices[0])
        if kind in FIXED:
            stops.append(kind)
        elif kind:
            points.extend(p for p in _round_from_door(kind, vehicle) if p not in points)
    return points, stops, missing


def _round_from_door(kind: str, vehicle: Vehicle) -> list[ServicePoint]:
    """The points of a kind clockwise on the plan from the door, about as their numbers will run."""
    layout = vehicle.layout
    start = _turn(vehicle, *opening_foot(layout, habitation_door(layout)))
    return sorted(
        (p for p in vehicle.points if p.kind == kind),
        key=lambda p: (round((_turn(vehicle, p.x, p.y) - start) % math.tau, 6), p.id),
    )


def _turn(vehicle: Vehicle, x: float, y: float) -> float:
    """The angle about the middle of the plan, clockwise on the sheet."""
    layout = vehicle.layout
    across = y - layout.width / 2
    return math.atan2(-across if vehicle.nearside == "left" else across, x - layout.length / 2)


def _of_step(step: Step, plan: Plan, vehicle: Vehicle, trade: Trade, terrain: Terrain) -> Standing:
    points, stops, missing = _gathered(step, plan.facts, vehicle)
    if not points and not stops:
        stops = [_usual_stop(missing, trade)]
    placed = tuple((p.id, terrain.spot_of(p), p.place) for p in points)
    inner, beyond = 0, tuple[int, ...]()
    if any(entry.startswith(BACK) for entry in step.at):
        inner, beyond = _through_cab(terrain, [s for _, s, _ in placed])
    if beyond:
        placed = tuple((id, terrain.seat, place) for id, _, place in placed)
        stops = []
    spots = [s for _, s, _ in placed] + [s for stop in stops for s in terrain.fixed(stop)]
    loop = "round" in stops
    in_turn = any(entry.startswith(THEN) for entry in step.at)
    if in_turn:
        tours: tuple[tuple[int, ...], ...] = (tuple(dict.fromkeys(spots)),)
    else:
        tours = _tours(terrain, spots, _last_tap(terrain, vehicle, spots) if "hot-taps" in stops else None)
    inner += round(terrain.ring.length) if loop else 0
    moves = tuple(Move(t[0], t[-1], _length(terrain, t) + inner) for t in tours)
    words = [_stop_words(s, vehicle) for s in stops]
    if missing:
        words = [*(f"{w}, {_UNKNOWN}" for w in words)] or [f"one more {_UNKNOWN}"]
    return Standing(step.id, tours, moves, placed, tuple(words), bool(missing), loop, beyond, in_turn)


def _through_cab(terrain: Terrain, spots: Iterable[int]) -> tuple[int, tuple[int, ...]]:
    """The walk there and back in mm, and the spots; none where the cab has no way through."""
    ways = {spot: terrain.through_cab(spot) for spot in spots}
    if not ways or None in ways.values():
        return 0, ()
    return sum(2 * way[0] for way in ways.values() if way), tuple(ways)


def _of_extra(extra: ExtraStep, vehicle: Vehicle, terrain: Terrain) -> Standing:
    point = vehicle.point(extra.at) if extra.at else None
    spot = terrain.spot_of(point) if point else terrain.inside
    placed = ((point.id, spot, point.place),) if point else ()
    return Standing(
        extra.id,
        ((spot,),),
        (Move(spot, spot),),
        placed,
        (),
        bool(extra.at) and not point,
    )


def said_together(places: Iterable[str]) -> str:
    """Places one after another, each without the leading parts that it shares with the one before."""
    said: list[str] = []
    last: list[str] = []
    for place in dict.fromkeys(places):
        parts = place.split(", ")
        shared = 0
        while shared < min(len(parts), len(last)) - 1 and parts[shared] == last[shared]:
            shared += 1
        said.append(", ".join(parts[shared:]))
        if len(said) > 1:
            said[-1] = said[-1][:1].lower() + said[-1][1:]
        last = parts
    return "; ".join(said)


def _usual_stop(missing: Iterable[str], trade: Trade) -> str:
    kinds = [trade.kinds[k] for k in missing if k in trade.kinds]
    return (
        "outside" if any(k.outside or (k.outside is None and k.system in "GW") for k in kinds) else "inside"
    )


def _stop_words(stop: str, vehicle: Vehicle) -> str:
    return _HITCH if stop == "driver-seat" and vehicle.kind == "caravan" else FIXED[stop]


def _cost(terrain: Terrain, a: int, b: int) -> int:
    walk, doors = terrain.distance(a, b)
    return walk + DOOR_MM * doors


def _length(terrain: Terrain, tour: tuple[int, ...]) -> int:
    return sum(_cost(terrain, a, b) for a, b in itertools.pairwise(tour))


def _last_tap(terrain: Terrain, vehicle: Vehicle, spots: list[int]) -> int | None:
    heater = _round_from_door("water-heater", vehicle)
    if not heater:
        return None
    start = terrain.spot_of(heater[0])
    return max(spots, key=lambda s: (_cost(terrain, start, s), s))


def _tours(terrain: Terrain, spots: list[int], last: int | None) -> tuple[tuple[int, ...], ...]:
    """For each first and last spot the shortest tour of all; of many spots only a good tour each way."""
    places = list(dict.fromkeys(spots))
    if len(places) <= _ALL_ORDERS:
        best: dict[tuple[int, int], tuple[int, tuple[int, ...]]] = {}
        for tour in itertools.permutations(places):
            if last is None or tour[-1] == last:
                found = (_length(terrain, tour), tour)
                ends = (tour[0], tour[-1])
                best[ends] = min(best.get(ends, found), found)
        return tuple(tour for _, tour in sorted(best.values()))
    good = min(
        (_improved(terrain, _greedy(terrain, places, p)) for p in places),
        key=lambda t: (_length(terrain, t), t),
    )
    if last is not None:
        good = (*(p for p in good if p != last), last)
        return (good,)
    return (good, good[::-1])


def _greedy(terrain: Terrain, places: list[int], start: int) -> tuple[int, ...]:
    tour, left = [start], [p for p in places if p != start]
    while left:
        nearest = min(left, key=lambda p: (_cost(terrain, tour[-1], p), p))
        tour.append(nearest)
        left.remove(nearest)
    return tuple(tour)


def _improved(terrain: Terrain, tour: tuple[int, ...]) -> tuple[int, ...]:
    """Turned pieces round while that shortens the tour (2-opt)."""
    best, least, again = tour, _length(terrain, tour), True
    while again:
        again = False
        for i, j in itertools.combinations(range(len(best) + 1), 2):
            other = (*best[:i], *reversed(best[i:j]), *best[j:])
            length = _length(terrain, other)
            if length < least:
                best, least, again = other, length, True
    return best
