"""The walk of the handover: every point once, no longer than the best of all orders."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import pytest

from guidegen.sequence.terrain import DOOR_MM, Terrain
from guidegen.sequence.touring import tour


def test_every_point_is_at_one_stop(vehicles_by_chance):
    for seed in range(12):
        vehicle = vehicles_by_chance.random_vehicle(seed, points=20 + 5 * seed)
        route = tour(vehicle)
        assert Counter(p.id for stop in route.stops for p in stop.points) == Counter(
            p.id for p in vehicle.points
        )
        assert len(route.legs) == len(route.stops)


def test_no_order_of_few_stops_walks_less(vehicles_by_chance):
    """Against all orders, tried one by one."""
    tried = 0
    for seed in range(30):
        vehicle = vehicles_by_chance.random_vehicle(seed, points=8)
        route = tour(vehicle)
        if not 3 <= len(route.stops) <= 7:
            continue
        tried += 1
        terrain = Terrain(vehicle.layout)
        spots = list(
            dict.fromkeys(terrain.spot_of(p) for p in sorted(vehicle.points, key=lambda p: p.number))
        )

        def cost(order, terrain=terrain):
            ends = [terrain.outside, *order]
            if terrain.spots[order[-1]].ground != "inside":
                ends.append(terrain.inside)
            legs = (terrain.distance(a, b) for a, b in itertools.pairwise(ends))
            return sum(walk + DOOR_MM * doors for walk, doors in legs)

        best = min(cost(order) for order in itertools.permutations(spots))
        at = {terrain.place_of(spot): spot for spot in spots}
        assert cost([at[stop.x, stop.y] for stop in route.stops]) <= 1.02 * best, seed
    assert tried >= 5


def test_legs_join_the_stops(vehicles_by_chance):
    route = tour(vehicles_by_chance.random_vehicle(3, points=40))
    for (before, leg), stop in zip(itertools.pairwise(((), *route.legs)), route.stops, strict=True):
        assert math.dist(leg[-1], (stop.x, stop.y)) < 1
        if before:
            assert math.dist(before[-1], leg[0]) < 1
    walked = sum(math.dist(a, b) for leg in route.legs for a, b in itertools.pairwise(leg))
    assert route.walk_m == pytest.approx(walked / 1000, rel=0.06)


def test_the_walk_passes_the_door_once_where_it_can(vehicles_by_chance):
    for seed in (3, 4, 5):
        route = tour(vehicles_by_chance.random_vehicle(seed, points=60, layout="coachbuilt-rear-lounge"))
        outside = [stop.outside for stop in route.stops]
        assert outside == sorted(outside, reverse=True)
        assert route.doors == 1


def test_a_vehicle_without_points_has_no_stops(vehicles_by_chance):
    route = tour(vehicles_by_chance.random_vehicle(3, points=0))
    assert route.stops == () and route.walk_m == 0
