"""The grid of the survey sheet: what is read off it is the place that was meant."""

from __future__ import annotations

import pytest

from guidegen.trade.load import load_trade
from guidegen.vehicle.description import PointEntry
from guidegen.vehicle.grid import grid_of
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.places import PlaceError, resolve

LAYOUTS = {id: read_layout(id) for id in layout_ids()}


@pytest.fixture(params=sorted(LAYOUTS))
def layout(request: pytest.FixtureRequest) -> Layout:
    return LAYOUTS[request.param]


def squares(layout: Layout) -> list[str]:
    grid = grid_of(layout)
    return [f"{column}{row}" for column in grid.columns for row in grid.rows]


def test_every_centre_lies_in_its_own_square_alone(layout: Layout) -> None:
    grid = grid_of(layout)
    areas = {name: grid.square(name) for name in squares(layout)}
    for name, area in areas.items():
        holding = [other for other, a in areas.items() if a and a.contains(*area.centre)]
        assert holding == [name]


def test_squares_cover_body_and_drawbar(layout: Layout) -> None:
    areas = [grid_of(layout).square(name) for name in squares(layout)]
    total = (layout.length + layout.drawbar) * layout.width
    assert sum(a.length * a.width for a in areas) == pytest.approx(total)
    assert min(a.x for a in areas) == -layout.drawbar
    assert max(a.y + a.width for a in areas) == pytest.approx(layout.width)


def test_squares_are_about_half_a_metre(layout: Layout) -> None:
    area = grid_of(layout).square("A1")
    assert 350 <= area.length <= 500 and 350 <= area.width <= 500
    assert 0.7 <= area.length / area.width <= 1.4


def test_a_points_square_is_where_the_point_is_put(layout: Layout) -> None:
    kind = load_trade().kinds["smoke-alarm"]
    for name in squares(layout):
        entry = PointEntry.read({"kind": kind.id, "grid": name, "height": "ceiling"})
        for nearside in ("left", "right"):
            place = resolve(entry, kind, layout, nearside)
            assert (place.x, place.y) == grid_of(layout).square(name).centre


@pytest.mark.parametrize("name", ["", "A", "A0", "A99", "Z1", "1A", "AA1", "a1", "A1.5", "A²"])
def test_no_such_square(name: str) -> None:
    assert grid_of(LAYOUTS["van-short"]).square(name) is None


def test_a_square_beyond_the_grid_is_an_error_that_tells_the_range() -> None:
    kind = load_trade().kinds["smoke-alarm"]
    entry = PointEntry.read({"kind": kind.id, "grid": "Z9"})
    with pytest.raises(PlaceError) as caught:
        resolve(entry, kind, LAYOUTS["van-short"], "left")
    assert "columns A to K" in caught.value.hint and "rows 1 to 5" in caught.value.hint


def test_every_centre_has_the_name_of_its_square_and_points_outside_that_of_the_nearest(
    layout: Layout,
) -> None:
    grid = grid_of(layout)
    for name in squares(layout):
        assert grid.name_at(*grid.square(name).centre) == name
    assert grid.name_at(-9000, -500) == "A1"
    assert grid.name_at(99000, 99000) == f"{grid.columns[-1]}{grid.rows[-1]}"


@pytest.mark.parametrize("side", ["nearside", "offside", "front", "rear"])
def test_a_square_and_a_side_together_put_a_point_on_that_side(layout: Layout, side: str) -> None:
    kind = load_trade().kinds["hookup-inlet"]
    middle = f"{grid_of(layout).columns[len(grid_of(layout).columns) // 2]}2"
    entry = PointEntry.read({"kind": kind.id, "grid": middle, "on": side, "height": "low"})
    place = resolve(entry, kind, layout, "left")
    x, y = grid_of(layout).square(middle).centre
    assert place.where == side
    if side in ("nearside", "offside"):
        assert place.x == pytest.approx(x, abs=1)
    else:
        assert place.y == pytest.approx(y, abs=1)


def test_a_square_a_side_and_a_distance_are_one_too_many() -> None:
    kind = load_trade().kinds["hookup-inlet"]
    entry = PointEntry.read({"kind": kind.id, "grid": "D2", "on": "offside", "from_front": "2 m"})
    with pytest.raises(PlaceError, match="2 ways"):
        resolve(entry, kind, LAYOUTS["van-short"], "left")
