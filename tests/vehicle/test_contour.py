"""Rounded contours, against shapely and plain geometry."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import Point, Polygon

from guidegen.vehicle.contour import (
    behind,
    bends,
    encloses,
    flattened,
    inset,
    mirrored,
    wall_line,
)
from guidegen.vehicle.layout_reading import layout_ids, read_layout

SQUARE = ((0.0, 0.0, 100.0), (1000.0, 0.0, 100.0), (1000.0, 1000.0, 100.0), (0.0, 1000.0, 100.0))


def test_a_rounded_square_has_the_area_of_its_formula() -> None:
    # Side² less what four quarter circles leave out of their squares: (4 − π)·r².
    area = Polygon(flattened(SQUARE, 64)).area
    assert area == pytest.approx(1000**2 - (4 - math.pi) * 100**2, rel=1e-4)


def test_bends_are_arcs_of_their_radius() -> None:
    points = flattened(SQUARE, 16)
    near_origin = [p for p in points if p[0] <= 100 and p[1] <= 100]
    assert len(near_origin) >= 16
    # A cubic quarter circle strays by less than 0.03 % of its radius.
    assert all(math.dist(p, (100, 100)) == pytest.approx(100, rel=3e-4) for p in near_origin)


def test_radii_that_need_too_much_of_an_edge_shrink_until_they_meet() -> None:
    greedy = tuple((x, y, 900.0) for x, y, _ in SQUARE)
    assert bends(greedy)[0].end == pytest.approx(bends(greedy)[1].start)
    assert Polygon(flattened(greedy)).is_valid


def test_inset_agrees_with_shapely() -> None:
    for id in layout_ids():
        layout = read_layout(id)
        ours = Polygon(flattened(inset(layout.outline, layout.wall), 16))
        theirs = Polygon(flattened(layout.outline, 16)).buffer(-layout.wall)
        assert ours.symmetric_difference(theirs).area < 0.004 * theirs.area, id


def test_encloses_agrees_with_shapely() -> None:
    outline = flattened(read_layout("van-short").outline)
    judge = Polygon(outline)
    points = [(x, y) for x in range(-100, 5600, 173) for y in range(-50, 2150, 97)]
    assert [encloses(outline, p) for p in points] == [judge.contains(Point(p)) for p in points]


def test_the_part_behind_a_line_agrees_with_shapely() -> None:
    outline = flattened(read_layout("a-class-drop-down-bed").outline)
    ours = Polygon(behind(outline, 700.0))
    theirs = Polygon(outline).intersection(Polygon([(700, -10), (9000, -10), (9000, 3000), (700, 3000)]))
    assert ours.area == pytest.approx(theirs.area)


def test_a_mirrored_half_is_whole_and_valid() -> None:
    for id in layout_ids():
        layout = read_layout(id)
        assert Polygon(flattened(layout.outline)).is_valid
        assert Polygon(flattened(layout.profile)).is_valid
    half = ((0.0, 50.0, 0.0), (0.0, 0.0, 10.0), (80.0, 0.0, 0.0), (80.0, 50.0, 0.0))
    assert Polygon([(x, y) for x, y, _ in mirrored(half, 100)]).area == 80 * 100


def test_wall_lines_lie_on_the_outline() -> None:
    layout = read_layout("van-transverse-bed")
    ring = Polygon(flattened(layout.outline)).exterior
    for side, start, end in (("nearside", 1110, 2040), ("offside", 4850, 5550), ("rear", 135, 1015)):
        line = wall_line(layout, side, start, end)  # type: ignore[arg-type]
        assert all(ring.distance(Point(p)) < 0.5 for p in line)
    assert wall_line(layout, "nearside", 3000, 3000)[0] == (3000, 0)
    assert wall_line(layout, "offside", 3000, 3000)[0] == (3000, layout.width)
