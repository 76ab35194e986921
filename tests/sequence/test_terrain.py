"""The walk: round the outside, through the door, over the free floor of every layout."""

from __future__ import annotations

import itertools
import math
from types import ModuleType

import networkx
import pytest
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import substring

from guidegen.sequence.floor import middle
from guidegen.sequence.ring import BESIDE_MM
from guidegen.sequence.terrain import DOOR_MM, Terrain
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout

_SQUEEZE_MM = 100


@pytest.fixture(params=layout_ids())
def layout(request: pytest.FixtureRequest) -> Layout:
    return read_layout(request.param)


def walkable(layout: Layout) -> Polygon:
    """The floor that one can reach from the door, worked out by areas; past a table one squeezes sideways."""
    area = box(layout.wall, layout.wall, layout.length - layout.wall, layout.width - layout.wall)
    for a in (f.area for f in layout.furniture if not f.hidden and f.top_mm > 120):
        area = area.difference(box(a.x, a.y, a.x + a.length, a.y + a.width))
    for p in layout.partitions:
        line = LineString([p.start, p.end])
        solid = [line]
        if p.opening:
            gap, width = p.opening
            solid = [substring(line, 0, gap), substring(line, gap + width, line.length)]
        for piece in solid:
            area = area.difference(piece.buffer(5))
    area = area.buffer(-_SQUEEZE_MM / 2)
    door = Point(middle(Terrain(layout).floor.door))
    parts = list(getattr(area, "geoms", [area]))
    return min(parts, key=lambda part: part.distance(door)).buffer(_SQUEEZE_MM / 2)


def test_the_floor_is_what_can_be_reached_from_the_door(layout: Layout) -> None:
    """Room by room: where areas say that one can stand, cells do so too, and nowhere else."""
    reachable = walkable(layout)
    cells = [Point(middle(c)) for c in Terrain(layout).floor.links]
    for room in layout.rooms:
        a = room.area
        part = reachable.intersection(box(max(a.x, layout.bonnet + 300), a.y, a.x + a.length, a.y + a.width))
        if part.buffer(-150).area > 30_000:
            assert any(part.buffer(1).contains(c) for c in cells), room.name
    astray = [c for c in cells if reachable.distance(c) > 250]
    assert not astray, f"{len(astray)} of {len(cells)} cells cannot be reached"


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
