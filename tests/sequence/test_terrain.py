"""The walk: round the outside, through the door, over the free floor of every layout."""

from __future__ import annotations

import itertools
import math
from pathlib import Path
from types import ModuleType

import networkx
import pytest
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import substring

from guidegen.sequence.floor import free_cells, middle
from guidegen.sequence.ring import BESIDE_MM
from guidegen.sequence.terrain import DOOR_MM, Terrain
from guidegen.vehicle.layout import Area, Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.reading import read_vehicle

_SQUEEZE_MM = 100
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(params=layout_ids())
def layout(request: pytest.FixtureRequest) -> Layout:
    return read_layout(request.param)


def standing(layout: Layout) -> list[Area]:
    """What one walks round: all but steps, showers and, where it cuts the floor in two, a lounge table."""
    trod = {"step", "shower", *(["table"] if layout.id == "van-rear-lounge" else [])}
    return [f.area for f in layout.furniture if not f.hidden and f.top_mm > 120 and f.kind not in trod]


def walkable(layout: Layout) -> Polygon:
    """The floor that one can reach from the door, worked out by areas; past a table one squeezes sideways."""
    area = box(layout.wall, layout.wall, layout.length - layout.wall, layout.width - layout.wall)
    for a in standing(layout):
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


_ARM_MM = 750  # how far one reaches over a table or a worktop: common practice, no source
_AISLE_MM = 250  # what is narrower beside a bed is no aisle


def apart(area: Area, x: float, y: float) -> float:
    return box(area.x, area.y, area.x + area.length, area.y + area.width).distance(Point(x, y))


def test_one_reaches_all_furniture_on_foot(layout: Layout) -> None:
    """Whatever stands inside can hold a service point, so one must get near it."""
    cells = [middle(c) for c in Terrain(layout).floor.links]
    for piece in (f for f in layout.furniture if not f.hidden):
        nearest = min(apart(piece.area, *c) for c in cells)
        assert nearest <= _ARM_MM, f"{piece.id}: {nearest:.0f} mm from where one can stand"


def test_one_reaches_every_side_of_a_bed_that_has_an_aisle(layout: Layout) -> None:
    cells = [Point(middle(c)) for c in Terrain(layout).floor.links]
    inner = box(layout.wall, layout.wall, layout.length - layout.wall, layout.width - layout.wall)
    for a in standing(layout):
        inner = inner.difference(box(a.x, a.y, a.x + a.length, a.y + a.width))
    for bed in (f.area for f in layout.furniture if f.kind == "bed" and not f.hidden):
        sides = [
            box(bed.x, bed.y - _AISLE_MM, bed.x + bed.length, bed.y),
            box(bed.x, bed.y + bed.width, bed.x + bed.length, bed.y + bed.width + _AISLE_MM),
        ]
        for aisle in (inner.intersection(side) for side in sides):
            free = aisle.buffer(-_AISLE_MM / 2 + 1).buffer(_AISLE_MM / 2)
            if free.area > 0:
                assert min(free.distance(c) for c in cells) < _AISLE_MM / 2, "nobody gets to that side"


def test_hardly_any_free_floor_is_out_of_reach(layout: Layout) -> None:
    """Only slivers in corners, such as between a front bench and a raked wall."""
    left = free_cells(layout) - set(Terrain(layout).floor.links)
    assert all(abs(a[0] - b[0]) + abs(a[1] - b[1]) > 1 for a, b in itertools.combinations(left, 2))


def test_nobody_walks_through_furniture(layout: Layout) -> None:
    floor = Terrain(layout).floor
    cores = [
        box(a.x + 60, a.y + 60, a.x + a.length - 60, a.y + a.width - 60)
        for a in standing(layout)
        if a.length > 120 and a.width > 120
    ]
    for cell, links in floor.links.items():
        for other, _ in links:
            line = LineString([middle(cell), middle(other)])
            assert not any(line.crosses(piece) or line.within(piece) for piece in cores)


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


def test_one_gets_from_the_seat_into_the_living_part_of_what_drives_itself(layout: Layout) -> None:
    terrain = Terrain(layout)
    way = terrain.through_cab(terrain.inside)
    assert (way is None) is (layout.body == "caravan")
    if way:
        far, line = way
        assert 1_000 < far < layout.length
        assert line[0] == terrain.place_of(terrain.seat) and line[-1] == terrain.place_of(terrain.inside)
    assert terrain.through_cab(terrain.outside) is None
    assert (terrain.from_seat == terrain.seat) is (layout.body == "caravan")


@pytest.mark.parametrize("seed", range(12))
def test_walking_is_a_metric(seed: int, vehicles_by_chance: ModuleType) -> None:
    """The solver leans on it: no way is longer than a way with a stop in between."""
    vehicle = vehicles_by_chance.random_vehicle(seed)
    terrain = Terrain(vehicle.layout)
    for point in vehicle.points:
        terrain.spot_of(point)
    for stop in ("pitch-post", "taps", "round", "windows", "lockers", "wheels"):
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


def test_what_sits_in_the_roof_is_handled_from_inside(vehicles_by_chance: ModuleType) -> None:
    found = 0
    for seed in range(60):
        vehicle = vehicles_by_chance.random_vehicle(seed)
        terrain = Terrain(vehicle.layout)
        for point in (p for p in vehicle.of_kind("aerial", "roof-light") if p.where in ("roof", "inside")):
            assert terrain.spots[terrain.spot_of(point)].ground == "inside"
            found += 1
    assert found


@pytest.mark.parametrize("sample", ["larch", "alder", "juniper"])
def test_under_the_bonnet_and_in_the_garage_one_reaches_from_outside(sample: str) -> None:
    """At the front, and before the door or flap of the garage: no way leads there from inside."""
    vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
    terrain, layout = Terrain(vehicle.layout), vehicle.layout
    under = [p for p in vehicle.of_kind("vehicle-battery") if p.place.startswith("Under the bonnet")]
    for point in under:
        assert terrain.place_of(terrain.spot_of(point))[0] == pytest.approx(-BESIDE_MM)
    garage = [p for p in vehicle.points if p.furniture == "garage"]
    for point in garage:
        _, y = terrain.place_of(terrain.spot_of(point))
        assert y in (-BESIDE_MM, layout.width + BESIDE_MM)
        assert (y < 0) == (point.y <= layout.width / 2), "from the nearer side"
    assert under and bool(garage) == any(f.kind == "garage" for f in layout.furniture)


@pytest.mark.parametrize("seed", range(12))
def test_a_point_is_reached_from_its_own_room(seed: int, vehicles_by_chance: ModuleType) -> None:
    """Never through the wall of another: what lies under the bed is not handled from the washroom."""
    vehicle = vehicles_by_chance.random_vehicle(seed)
    terrain = Terrain(vehicle.layout)
    areas = {room.id: room.area for room in vehicle.layout.rooms}
    cells = [middle(cell) for cell in terrain.floor.links]
    for point in (p for p in vehicle.points if p.where == "inside" and p.room):
        at = middle(terrain.spots[terrain.spot_of(point)].cell)
        around = {id for id, area in areas.items() if area.contains(*at)}
        own = areas[point.room]
        if any(own.contains(*cell) for cell in cells):
            assert not around or point.room in around or _meet(own, [areas[id] for id in around])


def _meet(own: Area, others: list[Area]) -> bool:
    """Whether rooms overlap, as a washroom does with the floor before its door."""
    return any(_box(own).intersection(_box(other)).area > 0 for other in others)


def _box(area: Area) -> Polygon:
    return box(area.x, area.y, area.x + area.length, area.y + area.width)


def test_chocks_are_set_at_the_wheels_of_both_sides() -> None:
    layout = read_layout("caravan-end-washroom")
    terrain = Terrain(layout)
    spots = [terrain.place_of(spot) for spot in terrain.fixed("wheels")]
    assert any(y < 0 for _, y in spots) and any(y > layout.width for _, y in spots)
    axles = [wheel.x for wheel in layout.wheels]
    assert all(min(axles) - 700 <= x <= max(axles) + 700 for x, _ in spots)
