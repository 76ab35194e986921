"""The shortest way past every service point: where one stands, in which order, and what is there."""

from __future__ import annotations

import itertools

from msgspec import Struct

from guidegen.sequence.ordering import Move, Problem
from guidegen.sequence.shortest import short_walk
from guidegen.sequence.terrain import DOOR_MM, Terrain
from guidegen.vehicle.layout import XY
from guidegen.vehicle.model import ServicePoint, Vehicle

_VISITS = 5_000  # without precedences a proof costs far more than it is worth
_ROUNDS = 500


class Stop(Struct, frozen=True):
    """A place to stand, in vehicle mm, and the points that one reaches from there, by number."""

    points: tuple[ServicePoint, ...]
    x: float
    y: float
    outside: bool


class Tour(Struct, frozen=True):
    """Stops in walking order; legs: the way to each from the one before, the first from the door outside."""

    stops: tuple[Stop, ...]
    legs: tuple[tuple[XY, ...], ...]
    walk_m: float
    doors: int  # passages of a door
    proved: bool  # no order walks less


def tour(vehicle: Vehicle) -> Tour:
    """The walk from outside the habitation door past every point of the vehicle, ending inside."""
    terrain = Terrain(vehicle.layout)
    at: dict[int, list[ServicePoint]] = {}
    for point in sorted(vehicle.points, key=lambda p: (p.number, p.id)):
        at.setdefault(terrain.spot_of(point), []).append(point)
    spots = tuple(at)
    ordering = short_walk(_problem(terrain, spots), budget=_VISITS, rounds=_ROUNDS)
    order = [spots[step] for step, _ in ordering.steps]
    stops, legs, walked, doors = [], [], 0, 0
    for before, spot in itertools.pairwise((terrain.outside, *order)):
        far, through = terrain.distance(before, spot)
        walked, doors = walked + far, doors + through
        legs.append(tuple(terrain.way(before, spot)))
        outside = terrain.spots[spot].ground != "inside"
        stops.append(Stop(tuple(at[spot]), *terrain.place_of(spot), outside))
    return Tour(tuple(stops), tuple(legs), round(walked / 1000, 1), doors, ordering.proved)


def _problem(terrain: Terrain, spots: tuple[int, ...]) -> Problem:
    """Visit every spot, in any order; the cost is walking in mm plus DOOR_MM a passage of a door."""
    every = range(len(terrain.spots))
    ways = [[terrain.distance(a, b) for b in every] for a in every]
    cost = [[walk + DOOR_MM * doors for walk, doors in row] for row in ways]
    end = [
        0 if spot.ground == "inside" else row[terrain.inside]
        for spot, row in zip(terrain.spots, cost, strict=True)
    ]
    moves = tuple((Move(spot, spot),) for spot in spots)
    return Problem(cost, moves, (0,) * len(spots), terrain.outside, end)
