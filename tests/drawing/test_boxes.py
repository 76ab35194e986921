"""Boxes about points, against shapely's."""

from __future__ import annotations

import shapely
from hypothesis import given
from hypothesis import strategies as st

from guidegen.drawing.boxes import box_about, grown

MM = st.integers(-4000, 4000).map(lambda n: n / 8)  # which sums do not round
POINTS = st.lists(st.tuples(MM, MM), min_size=1, max_size=9)


@given(POINTS)
def test_a_box_is_the_least_about_its_points(points):
    x, y, w, h = box_about(points)
    assert (x, y, x + w, y + h) == shapely.MultiPoint(points).bounds


@given(POINTS, st.sampled_from([0.0, 0.5, 3.0]))
def test_room_is_the_same_on_every_side(points, by):
    x, y, w, h = grown(box_about(points), by)
    left, top, right, foot = shapely.MultiPoint(points).bounds
    assert (x, y, x + w, y + h) == (left - by, top - by, right + by, foot + by)
