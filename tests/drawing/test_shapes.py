"""Marker shapes: of one weight, holding their badge, distinct without colour."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from shapely.geometry import Point, Polygon

from guidegen.drawing.primitives import Circle, Line, Path, Style
from guidegen.drawing.shapes import SHAPES, marker, surround

INK = Style(fill="#000000")
POLYGONS = tuple(name for name in SHAPES if name not in ("circle", "ring"))


def polygon(item: object) -> Polygon:
    if isinstance(item, Circle):
        return Point(item.x, item.y).buffer(item.radius, 64)
    assert isinstance(item, Line) and item.closed
    return Polygon(item.points)


@pytest.mark.parametrize("name", ["circle", *POLYGONS])
def test_markers_cover_the_area_of_a_disc_of_their_radius(name: str) -> None:
    shape = polygon(marker(name, 3, 4, 0.9, INK))
    assert shape.is_valid
    assert shape.area == pytest.approx(math.pi * 0.9**2, rel=0.002)
    assert shape.centroid.distance(Point(3, 4)) < 1e-6


@pytest.mark.parametrize("name", [n for n in POLYGONS if n not in ("cross", "star")])
def test_a_surround_holds_the_round_badge_and_touches_it(name: str) -> None:
    shape = polygon(surround(name, 0, 0, 2.6, INK))
    assert shape.buffer(1e-6).contains(Point(0, 0).buffer(2.6, 64))
    assert shape.exterior.distance(Point(0, 0)) == pytest.approx(2.6)


def test_the_notches_of_the_star_are_on_its_badge() -> None:
    assert polygon(surround("star", 0, 0, 2.6, INK)).exterior.distance(Point(0, 0)) > 0.9 * 2.6


def test_the_cross_reaches_past_its_badge_on_four_sides() -> None:
    left, top, right, bottom = polygon(surround("cross", 0, 0, 2.6, INK)).bounds
    assert (-left, -top, right, bottom) == pytest.approx((3.51,) * 4)


def test_a_ring_is_hollow_and_stands_off_its_badge() -> None:
    for item, circles in ((marker("ring", 0, 0, 1, INK), 2), (surround("ring", 0, 0, 1, INK), 3)):
        assert isinstance(item, Path) and item.even_odd
        assert [command[0] for command in item.commands].count("M") == circles


def test_every_pair_of_shapes_differs_where_they_overlap_best() -> None:
    outlines = {name: polygon(marker(name, 0, 0, 1, INK)) for name in ("circle", *POLYGONS)}
    for (a, one), (b, other) in combinations(outlines.items(), 2):
        assert one.symmetric_difference(other).area > 0.05 * one.area, (a, b)


def test_an_unknown_shape_is_an_error() -> None:
    with pytest.raises(ValueError, match="unknown marker shape 'blob'"):
        marker("blob", 0, 0, 1, INK)
    with pytest.raises(ValueError, match="unknown marker shape 'blob'"):
        surround("blob", 0, 0, 1, INK)
