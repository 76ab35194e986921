"""Edges, sides and rooms of the layouts, judged by the geometry library shapely."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.outline import edge_at, inside_body, nearest_side, room_at

LAYOUTS = {id: read_layout(id) for id in layout_ids()}
BODIES = {id: Polygon([(x, y) for x, y, _ in layout.outline]) for id, layout in LAYOUTS.items()}
names = st.sampled_from(sorted(LAYOUTS))
share = st.floats(0.0, 1.0)


@settings(deadline=None)
@given(names, st.floats(-0.2, 1.2), st.floats(-0.2, 1.2))
def test_inside_the_body(name: str, along: float, across: float) -> None:
    layout, body = LAYOUTS[name], BODIES[name]
    spot = Point(along * layout.length, across * layout.width)
    if spot.distance(body.exterior) > 0.001:
        assert inside_body(layout, spot.x, spot.y) == body.contains(spot)


@settings(deadline=None)
@given(names, st.floats(0.01, 0.99), st.sampled_from(["nearside", "offside"]))
def test_edge_level_with_a_distance_from_the_front(name: str, along: float, side: str) -> None:
    layout, x = LAYOUTS[name], along * LAYOUTS[name].length
    across = LineString([(x, -10), (x, layout.width + 10)]).intersection(BODIES[name])
    _, low, _, high = across.bounds
    assert edge_at(layout, side, x, 0) == pytest.approx((x, low if side == "nearside" else high))


@settings(deadline=None)
@given(names, st.floats(0.05, 0.95), st.sampled_from(["front", "rear"]))
def test_edge_level_with_a_distance_from_the_nearside(name: str, across: float, side: str) -> None:
    layout, y = LAYOUTS[name], across * LAYOUTS[name].width
    along = LineString([(-10, y), (layout.length + 10, y)]).intersection(BODIES[name])
    low, _, high, _ = along.bounds
    assert edge_at(layout, side, 0, y) == pytest.approx((low if side == "front" else high, y))


@settings(deadline=None)
@given(names, share, share)
def test_both_sides_are_alike(name: str, along: float, across: float) -> None:
    """The body is the same seen in a mirror: the offside is to y from there what the nearside is to y."""
    layout = LAYOUTS[name]
    x, y = along * layout.length, across * layout.width
    low, high = edge_at(layout, "nearside", x, 0)[1], edge_at(layout, "offside", x, 0)[1]
    assert low + high == pytest.approx(layout.width)
    swapped = {"nearside": "offside", "offside": "nearside"}
    side, mirrored = nearest_side(layout, x, y), nearest_side(layout, x, layout.width - y)
    ends = [abs(x - edge_at(layout, end, x, y)[0]) for end in ("front", "rear")]
    nearest, second, *_ = sorted([abs(y - low), abs(high - y), *ends])
    if second - nearest > 1e-6:  # at equal distances either side will do, and rounding chooses
        assert mirrored == swapped.get(side, side)


@pytest.mark.parametrize("name", sorted(LAYOUTS))
def test_just_off_the_middle_of_each_side(name: str) -> None:
    layout = LAYOUTS[name]
    middle, across = layout.length / 2, layout.width / 2
    assert nearest_side(layout, middle, 5) == "nearside"
    assert nearest_side(layout, middle, layout.width - 5) == "offside"
    assert nearest_side(layout, 5, across) == nearest_side(layout, -50, across) == "front"
    assert nearest_side(layout, layout.length - 5, across) == "rear"
    assert nearest_side(layout, layout.length + 50, across) == "rear"


@settings(deadline=None)
@given(names, share, share)
def test_room_holds_the_point_or_is_the_nearest(name: str, along: float, across: float) -> None:
    layout = LAYOUTS[name]
    spot = Point(along * layout.length, across * layout.width)
    shapes = {
        r.id: Polygon(
            [
                (r.area.x, r.area.y),
                (r.area.x + r.area.length, r.area.y),
                (r.area.x + r.area.length, r.area.y + r.area.width),
                (r.area.x, r.area.y + r.area.width),
            ]
        )
        for r in layout.rooms
    }
    found = room_at(layout, spot.x, spot.y)
    assert shapes[found].distance(spot) <= min(s.distance(spot) for s in shapes.values()) + 1.5
