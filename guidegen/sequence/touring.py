"""The shortest way past every service point: where one stands, in which order, and what is there.

Points of one room are shown at one stop where that room is small, those of one outside locker always.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from msgspec import Struct

from guidegen.sequence.ordering import Move, Problem
from guidegen.sequence.shortest import short_walk
from guidegen.sequence.terrain import DOOR_MM, Terrain
from guidegen.vehicle.layout import XY, Door, Hatch, Layout
from guidegen.vehicle.model import ServicePoint, Vehicle

_VISITS = 5_000  # without precedences a proof costs far more than it is worth
_ROUNDS = 100  # of a search where there is none
BONNET = "bonnet"  # what points under it share
_BY_MM = 500  # so near a locker one need not move
_ROOM_MM = 1_600  # within this walk of its middle a room is one stop
Station: TypeAlias = tuple[int, str]  # a spot of the terrain, and what its points share


class Stop(Struct, frozen=True):
    """A place to stand, in vehicle mm, and the points that one reaches from there, by number.

    shared: the id of the room, door or locker of all of them; "" for a place outside.
    """

    points: tuple[ServicePoint, ...]
    x: float
    y: float
    outside: bool
    shared: str = ""


class Tour(Struct, frozen=True):
    """Stops in walking order; legs: the way to each from the one before, the first from the door outside."""

    stops: tuple[Stop, ...]
    legs: tuple[tuple[XY, ...], ...]
    walk_m: float
    doors: int  # passages of a door
    proved: bool  # no order walks less


def tour(vehicle: Vehicle) -> Tour:
    """The walk from outside the habitation door past every point, ending inside or at the bonnet."""
    terrain = Terrain(vehicle.layout)
    at = _stations(vehicle, terrain)
    stations = tuple(at)
    ordering = short_walk(_problem(terrain, at), budget=_VISITS, rounds=_ROUNDS)
    order = [stations[step] for step, _ in ordering.steps]
    stops, legs, walked, doors = [], [], 0, 0
    before = terrain.outside
    for spot, shared in order:
        far, through = terrain.distance(before, spot)
        walked, doors = walked + far, doors + through
        legs.append(tuple(terrain.way(before, spot)))
        outside = terrain.spots[spot].ground != "inside"
        stops.append(Stop(at[spot, shared], *terrain.place_of(spot), outside, shared))
        before = spot
    return Tour(tuple(stops), tuple(legs), round(walked / 1000, 1), doors, ordering.proved)


def _stations(vehicle: Vehicle, terrain: Terrain) -> dict[Station, tuple[ServicePoint, ...]]:
    """The points by where one stands for them and what they share, in the order of their numbers."""
    together: dict[tuple[bool, str], list[tuple[int, ServicePoint]]] = {}
    for point in sorted(vehicle.points, key=_by_number):
        spot = terrain.spot_of(point)
        outside = terrain.spots[spot].ground != "inside"
        shared = _behind(point, vehicle.layout) if outside else point.opening or point.room
        together.setdefault((outside, shared), []).append((spot, point))
    at: dict[Station, list[ServicePoint]] = {}
    loose: list[tuple[int, ServicePoint]] = []
    for (outside, shared), members in together.items():
        if outside and shared != BONNET and (not shared or len(members) == 1):
            loose += members
            continue
        one = _spot(terrain, [spot for spot, _ in members], shared) if shared else None
        for spot, point in members:
            at.setdefault((spot if one is None else one, shared), []).append(point)
    lockers = [one for one in at if terrain.spots[one[0]].ground == "outside" and one[1] != BONNET]
    for spot, point in loose:
        near = (terrain.distance(spot, locker[0])[0] for locker in lockers)
        off, n = min(((off, n) for n, off in enumerate(near)), default=(_BY_MM + 1, 0))
        at.setdefault(lockers[n] if off <= _BY_MM else (spot, ""), []).append(point)
    return {station: tuple(sorted(points, key=_by_number)) for station, points in at.items()}


def _by_number(point: ServicePoint) -> tuple[int, str]:
    return point.number, point.id


def _behind(point: ServicePoint, layout: Layout) -> str:
    """The id of the outside locker or of the door that a point is behind, seen from outside."""
    piece = layout.piece(point.furniture)
    if piece and (way := layout.way_into(piece, point.y)):
        return way.id
    if point.where == "inside":
        return BONNET
    way = way_of(point.opening, layout)
    return way.id if isinstance(way, Hatch) or (way and way.kind == "garage") else ""


def way_of(id: str, layout: Layout) -> Door | Hatch | None:
    """The outside locker or door of that id."""
    ways: tuple[Door | Hatch, ...] = (*layout.hatches, *layout.doors)
    return next((way for way in ways if way.id == id), None)


def _spot(terrain: Terrain, spots: Sequence[int], shared: str) -> int | None:
    """Where one stands for all: before their locker, or in the middle of a room; None in a large room."""
    if terrain.spots[spots[0]].ground != "inside":
        way = way_of(shared, terrain.layout)
        return terrain.before(way) if way else spots[0]
    far = {spot: max(terrain.distance(spot, other)[0] for other in spots) for spot in spots}
    best = min(far, key=lambda spot: (far[spot], spot))
    return best if far[best] <= _ROOM_MM else None


def _problem(terrain: Terrain, stations: Mapping[Station, Sequence[ServicePoint]]) -> Problem:
    """Visit every station; the cost is walking in mm plus DOOR_MM a passage of a door.

    The bonnet is released before one stands at it.
    """
    every = range(len(terrain.spots))
    ways = [[terrain.distance(a, b) for b in every] for a in every]
    cost = [[walk + DOOR_MM * doors for walk, doors in row] for row in ways]
    end = [
        0 if spot.ground == "inside" else row[terrain.inside]
        for spot, row in zip(terrain.spots, cost, strict=True)
    ]
    moves = tuple((Move(spot, spot),) for spot, _ in stations)
    for spot, shared in stations:
        if shared == BONNET:
            end[spot] = 0
    releases = (any(p.kind == "bonnet-release" for p in points) for points in stations.values())
    released = sum(1 << step for step, found in enumerate(releases) if found)
    before = tuple(released if shared == BONNET else 0 for _, shared in stations)
    return Problem(cost, moves, before, terrain.outside, end)
