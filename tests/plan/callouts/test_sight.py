"""Blocked angles against plain distances from leaders to markers, measured by shapely."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, box

from guidegen.plan.callouts import Aside, Site
from guidegen.plan.callouts.sight import SLACK_MM, Sight, meets_box

near = st.tuples(st.floats(-30, 30), st.floats(-30, 30))
areas = st.tuples(st.floats(-20, 20), st.floats(-20, 20), st.floats(0.1, 30), st.floats(0.1, 30))


@given(st.lists(near, min_size=2, max_size=6), st.floats(-math.pi, math.pi))
@settings(deadline=None, max_examples=200)
def test_blocked_says_when_a_leader_comes_too_near(places: list[tuple[float, float]], angle: float) -> None:
    assume(min(math.dist(a, b) for i, a in enumerate(places) for b in places[:i]) > 0.7)
    sites = [Site(str(k), *p) for k, p in enumerate(places)]
    x, y = places[0]
    ux, uy = math.cos(angle), math.sin(angle)
    leader = LineString([(x + 0.9 * ux, y + 0.9 * uy), (x + 200 * ux, y + 200 * uy)])
    clear = min(leader.distance(Point(p)) for p in places[1:]) - 0.9
    assume(abs(clear - 0.6 - SLACK_MM) > 1e-6)
    assert Sight(sites, 0.6, ()).blocked(0, angle) == (clear < 0.6 + SLACK_MM)


def test_points_of_one_place_do_not_block_each_other() -> None:
    sight = Sight([Site("a", 10, 10), Site("b", 10.005, 10)], 0.6, ())
    assert not any(sight.blocked(0, angle / 10) for angle in range(-31, 32))


@given(near, near, areas)
@settings(deadline=None, max_examples=200)
def test_meets_box_as_shapely(
    a: tuple[float, float], b: tuple[float, float], area: tuple[float, float, float, float]
) -> None:
    a, b, area = (tuple(round(v, 6) for v in values) for values in (a, b, area))  # paper mm
    assume(a != b)
    x, y, w, h = area
    apart = LineString([a, b]).distance(box(x, y, x + w, y + h))
    edge = LineString([a, b]).intersection(box(x, y, x + w, y + h)).length
    assume(apart > 1e-6 or edge > 1e-6)
    assert meets_box(a, b, area) == (apart == 0)


@pytest.mark.parametrize(("end", "barred"), [((100.0, 0.0), True), ((100.0, 40.0), False)])
def test_a_leader_keeps_clear_of_words_on_the_sheet(end: tuple[float, float], barred: bool) -> None:
    assert Sight([Site("a", 0, 0)], 0.6, ((50.0, -4.0, 20.0, 8.0),)).bars(0, end) is barred


@given(near, areas, st.floats(-math.pi, math.pi))
@settings(deadline=None, max_examples=200)
def test_a_leader_over_an_aside_counts_for_longer(
    place: tuple[float, float], area: tuple[float, float, float, float], angle: float
) -> None:
    x, y, w, h = area
    end = (place[0] + 200 * math.cos(angle), place[1] + 200 * math.sin(angle))
    leader, shape = LineString([place, end]), box(x, y, x + w, y + h)
    over = leader.intersects(shape)
    assume(over == leader.intersects(shape.buffer(1e-6)) == leader.intersects(shape.buffer(-1e-6)))
    sight = Sight([Site("a", *place)], 0.6, (), (Aside(area, 7.0), Aside(area, 100.0, "a")))
    assert sight.length(0, end) == pytest.approx(200 + 7 * over)
