"""The walk: round the outside, through the door, over the free floor of every layout."""

from __future__ import annotations

import itertools
import math
from types import ModuleType

import networkx
import pytest
from shapely.geometry import LineString, Point, box

from guidegen.sequence.floor import middle
from guidegen.sequence.ring import BESIDE_MM
from guidegen.sequence.terrain import DOOR_MM, Terrain
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout


@pytest.fixture(params=layout_ids())
def layout(request: pytest.FixtureRequest) -> Layout:
    return read_layout(request.param)


def test_the_floor_reaches_most_rooms(layout: Layout) -> None:
    """Every room that is not only a bed has free floor that the door leads to."""
    floor = Terrain(layout).floor
    cells = [Point(middle(c)) for c in floor.links]
    standing = [f for f in layout.furniture if not f.hidden]
    for room in layout.rooms:
        area = box(room.area.x, room.area.y, room.area.x + room.area.length, room.area.y + room.area.width)
        for piece in standing:
            a = piece.area
            area = area.difference(box(a.x, a.y, a.x + a.length, a.y + a.width).buffer(80))
        if area.buffer(-150).area > 300_000:
            assert any(area.buffer(150).contains(c) for c in cells), room.name


def test_nobody_walks_through_furniture(layout: Layout) -> None:
    floor = Terrain(layout).floor
    standing = [
        box(a.x + 60, a.y + 60, a.x + a.length - 60, a.y + a.width - 60)
        for a in (f.area for f in layout.furniture if not f.hidden and f.top_mm > 120)
        if a.length > 120 and a.width > 120
    ]
    for cell, links in floor.links.items():
        for other, _ in links:
            line = LineString([middle(cell), middle(other)])
            assert not any(line.crosses(piece) or line.within(piece) for piece in standing)


def test_ways_over_the_floor_agree_with_a_graph_library(layout: Layout) -> None:
    floor = Terrain(layout).floor
    graph = networkx.DiGraph()
    graph.add_weighted_edges_from((c, o, d) for c, links in floor.links.items() for o, d in links)
    if not graph:
        return
    expected = networkx.single_source_dijkstra_path_length(graph, floor.door)
    assert floor.ways_from(floor.door)[0] == expected


def test_a_way_over_open_floor_is_hardly_longer_than_the_straight_line() -> None:
    """Eight neighbours and knight's moves: at most 2.8 % longer (1/cos of half of atan(1/2))."""
    worst = 1 / math.cos(math.atan(0.5) / 2)
    assert worst == pytest.approx(1.028, abs=0.001)
    layout = read_layout("coachbuilt-rear-lounge")
    floor = Terrain(layout).floor
    far = floor.ways_from(floor.door)[0]
    clear = box(0, 0, 1, 1)
    for cell, distance in far.items():
        line = LineString([middle(floor.door), middle(cell)])
        blocked = any(
            line.buffer(220).intersects(
                box(f.area.x, f.area.y, f.area.x + f.area.length, f.area.y + f.area.width)
            )
            for f in layout.furniture
            if not f.hidden
        ) or any(line.buffer(220).intersects(LineString([p.start, p.end])) for p in layout.partitions)
        if not blocked:
            clear = line
            assert distance <= line.length * worst + 2
    assert clear.length > 0


def test_the_ring_stays_beside_the_body(layout: Layout) -> None:
    ring = Terrain(layout).ring
    outline = box(0, 0, layout.length, layout.width)
    line = LineString([*ring.corners, ring.corners[0]])
    assert line.distance(outline) == pytest.approx(BESIDE_MM)
    assert line.length == pytest.approx(ring.length)
    for a, b in itertools.product(range(0, int(ring.length), 1700), repeat=2):
        way = LineString(ring.way(a, b)) if a != b else None
        if way:
            assert way.length == pytest.approx(ring.distance(a, b), abs=1.5)
            assert way.length <= ring.length / 2 + 1.5


@pytest.mark.parametrize("seed", range(12))
def test_walking_is_a_metric(seed: int, vehicles_by_chance: ModuleType) -> None:
    """The solver leans on it: no way is longer than a way with a stop in between."""
    vehicle = vehicles_by_chance.random_vehicle(seed)
    terrain = Terrain(vehicle.layout)
    for point in vehicle.points:
        terrain.spot_of(point)
    for stop in ("pitch-post", "taps", "round", "windows", "lockers"):
        terrain.fixed(stop)
    spots = range(len(terrain.spots))
    cost = [[w + DOOR_MM * d for w, d in (terrain.distance(a, b) for b in spots)] for a in spots]
    for a, b, c in itertools.product(spots, repeat=3):
        assert cost[a][b] == cost[b][a]
        assert cost[a][b] <= cost[a][c] + cost[c][b]
    assert all(cost[a][a] == 0 for a in spots)


def test_the_drawn_way_is_as_long_as_the_walk(layout: Layout) -> None:
    terrain = Terrain(layout)
    spots = [
        terrain.seat,
        terrain.inside,
        terrain.outside,
        *terrain.fixed("taps"),
        *terrain.fixed("pitch-post"),
    ]
    for a, b in itertools.combinations(dict.fromkeys(spots), 2):
        drawn = LineString([*terrain.way(a, b), terrain.way(a, b)[-1]]).length
        assert drawn == pytest.approx(terrain.distance(a, b)[0], rel=0.12, abs=700)
