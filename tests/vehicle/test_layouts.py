"""The shipped layouts are vehicles that could be built and lived in.

Sizes of furniture and passages: common practice, no source. Geometry is judged by shapely.
"""

from __future__ import annotations

from itertools import combinations

import pytest
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

from guidegen.vehicle.contour import flattened, inset, wall_line
from guidegen.vehicle.layout import Area, Layout, Partition
from guidegen.vehicle.layout_reading import layout_ids, read_layout

LAYOUTS = {id: read_layout(id) for id in layout_ids()}
AISLE_MM = 450
# What may stand in or on another piece.
FITTED_IN = {"worktop": {"hob", "sink", "oven", "fridge"}, "oven": {"hob"}, "shower": {"toilet", "washbasin"}}
# What people step on, sit down at or fold away: no obstacle on the way through.
PASSABLE = {"table", "step", "shower", "dashboard"}


@pytest.fixture(params=sorted(LAYOUTS))
def layout(request: pytest.FixtureRequest) -> Layout:
    return LAYOUTS[request.param]


def shape(area: Area) -> Polygon:
    return box(area.x, area.y, area.x + area.length, area.y + area.width)


def interior(layout: Layout) -> Polygon:
    return Polygon(flattened(inset(layout.outline, layout.wall)))


def wall_pieces(wall: Partition) -> list[LineString]:
    line = LineString([wall.start, wall.end])
    if not wall.opening:
        return [line]
    first, width = wall.opening
    ends = ((0.0, first), (first + width, line.length))
    return [LineString([line.interpolate(a), line.interpolate(b)]) for a, b in ends if b - a > 1]


def test_eight_layouts_or_more_of_every_kind_of_body() -> None:
    assert len(LAYOUTS) >= 8
    assert {x.body for x in LAYOUTS.values()} == {
        "coachbuilt",
        "low-profile",
        "a-class",
        "panel-van",
        "caravan",
    }


def test_furniture_stands_inside_the_walls(layout: Layout) -> None:
    # Corners of furniture are rounded off, and a dashboard follows the windscreen.
    room = interior(layout).buffer(6)
    standing = [p for p in layout.furniture if not p.hidden and p.kind != "dashboard"]
    loose = [p.id for p in standing if not room.contains(shape(p.area).buffer(-60).buffer(60))]
    assert loose == []


def test_pieces_do_not_overlap(layout: Layout) -> None:
    standing = [p for p in layout.furniture if not p.hidden]
    clashes = [
        (a.id, b.id)
        for a, b in combinations(standing, 2)
        if shape(a.area).intersection(shape(b.area)).area > 0
        and b.kind not in FITTED_IN.get(a.kind, ())
        and a.kind not in FITTED_IN.get(b.kind, ())
    ]
    assert clashes == []


def test_what_is_fitted_in_a_worktop_lies_wholly_in_it_and_after_it(layout: Layout) -> None:
    tops = [p for p in layout.furniture if p.kind == "worktop"]
    for piece in (p for p in layout.furniture if p.kind in {"hob", "sink"}):
        under = [t for t in tops if shape(t.area).covers(shape(piece.area))]
        assert under, piece.id
        assert layout.furniture.index(under[0]) < layout.furniture.index(piece)


def test_furniture_leaves_partitions_and_doorways_clear(layout: Layout) -> None:
    for wall in layout.partitions:
        for part in wall_pieces(wall):
            cut = [p.id for p in layout.furniture if not p.hidden and part.crosses(shape(p.area))]
            assert cut == [], wall.id
    for door in layout.doors:
        if door.kind not in ("habitation", "sliding"):
            continue
        inside = wall_line(layout, door.side, door.start, door.start + door.width, layout.wall + 250)
        strip = LineString(inside).buffer(200, cap_style="flat")
        blocked = unary_union([shape(p.area) for p in layout.furniture if not p.hidden]).intersection(strip)
        free = strip.difference(blocked)
        xs = free.bounds
        assert xs[2] - xs[0] >= 550, f"{door.id} has furniture before it"


def test_an_aisle_runs_from_the_door_to_every_room(layout: Layout) -> None:
    obstacles = [shape(p.area) for p in layout.furniture if not p.hidden and p.kind not in PASSABLE]
    obstacles += [part.buffer(12) for wall in layout.partitions for part in wall_pieces(wall)]
    # Where the middle of somebody as wide as the aisle can be.
    half = AISLE_MM / 2 - 15
    free = interior(layout).difference(unary_union(obstacles)).buffer(-half)
    door = next(d for d in layout.doors if d.kind in ("habitation", "sliding"))
    middles = wall_line(
        layout, door.side, door.start + 225, door.start + door.width - 225, layout.wall + half + 5
    )
    parts = list(free.geoms) if free.geom_type == "MultiPolygon" else [free]
    reach = [part for part in parts if part.distance(LineString(middles)) < 10]
    assert reach, "nobody can come in"
    walk = unary_union(reach).buffer(half + 60)
    rooms = [r for r in layout.rooms if r.id != "over-cab"]
    assert [r.id for r in rooms if not walk.intersects(shape(r.area).buffer(-20))] == []


def test_openings_of_one_side_do_not_overlap_in_plan(layout: Layout) -> None:
    openings = (*layout.windows, *layout.hatches, *layout.doors)
    pieces = [(o.id, o.side, o.start, o.width) for o in openings]
    clashes = [
        (a[0], b[0])
        for a, b in combinations(pieces, 2)
        if a[1] == b[1] and min(a[2] + a[3], b[2] + b[3]) > max(a[2], b[2])
    ]
    assert clashes == []


def test_hatches_and_doors_stay_clear_of_the_tyres(layout: Layout) -> None:
    for wheel in layout.wheels:
        side = "nearside" if wheel.y < layout.width / 2 else "offside"
        tyre = Point(wheel.x, wheel.diameter / 2).buffer(wheel.diameter / 2 + 20)
        hatches = [h for h in layout.hatches if h.side == side]
        hit = [
            h.id for h in hatches if box(h.start, h.bottom_mm, h.start + h.width, h.top_mm).intersects(tyre)
        ]
        doors = [d for d in layout.doors if d.side == side and d.kind in ("habitation", "sliding")]
        foot = layout.floor - 60
        hit += [d.id for d in doors if box(d.start, foot, d.start + d.width, foot + 1800).intersects(tyre)]
        assert hit == []


SMALLEST = {  # kind: smaller and larger side in mm
    "bunk": (700, 1850),
    "over-cab-bed": (1300, 1850),
    "drop-down-bed": (1300, 1850),
    "shower": (590, 600),
    "toilet": (380, 500),
    "fridge": (500, 500),
    "worktop": (450, 900),
    "cab-seat": (480, 550),
}


def test_furniture_is_large_enough_to_use(layout: Layout) -> None:
    for piece in layout.furniture:
        sides = sorted((piece.area.length, piece.area.width))
        if piece.kind == "bed":
            smallest = (1300, 1850) if piece.berths == 2 else (700, 1850)
        else:
            smallest = SMALLEST.get(piece.kind, (0, 0))
        assert sides[0] >= smallest[0], piece.id
        assert sides[1] >= smallest[1], piece.id


def test_every_sleeping_room_has_a_way_out_and_rooms_hold_their_furniture(layout: Layout) -> None:
    for room in (r for r in layout.rooms if r.sleeps and r.id not in ("over-cab", "cab")):
        windows = [w for w in layout.windows if w.room == room.id and w.escape]
        hatches = [o for o in layout.roof if o.escape and room.area.contains(*o.area.centre)]
        assert windows or hatches, room.id
    for piece in layout.furniture:
        room = layout.room(piece.room)
        assert room is not None
        assert room.area.contains(*piece.area.centre), piece.id


def test_wheels_stand_under_the_body(layout: Layout) -> None:
    body = Polygon(flattened(layout.outline))
    assert all(body.contains(Point(w.x, w.y)) for w in layout.wheels)
    axles = sorted({w.x for w in layout.wheels})
    if layout.body != "caravan":
        # Rear overhang at most 60 % of the wheelbase: Road Vehicles (Construction and Use) Regulations
        # 1986, regulation 11 (from memory).
        assert layout.length - axles[-1] <= 0.60 * (axles[-1] - axles[0])


def test_nearside_and_offside_names_are_true(layout: Layout) -> None:
    named = [(p.name, p.area.centre[1]) for p in layout.furniture]
    for name, y in named:
        if "nearside" in name:
            assert y < layout.width / 2, name
        if "offside" in name:
            assert y > layout.width / 2, name
