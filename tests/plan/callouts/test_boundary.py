"""Hulls, offset curves and ports, judged by shapely."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen.plan.callouts.boundary import (
    Offset,
    apart_from,
    convex_hull,
    in_room,
    round_boundary,
    surrounding_hull,
)

BODY = ((40.0, 60.0), (60.0, 50.0), (250.0, 50.0), (250.0, 130.0), (60.0, 130.0), (40.0, 120.0))
points = st.lists(
    st.tuples(st.integers(0, 200), st.integers(0, 200)).map(lambda p: (float(p[0]), float(p[1]))),
    min_size=3,
    max_size=30,
    unique=True,
)


@given(points)
@settings(deadline=None, max_examples=60)
def test_hull_is_that_of_shapely(places: list[tuple[float, float]]) -> None:
    hull, other = convex_hull(places), shapely.MultiPoint(places).convex_hull
    if other.geom_type == "Polygon":
        assert shapely.Polygon(hull).equals(other)


def test_ports_lie_at_the_offset_and_run_clockwise() -> None:
    ports = Offset(convex_hull(BODY), 8.0).ports(6.0, 0.0, 0, 1)
    hull = shapely.Polygon(BODY)
    assert {round(hull.distance(shapely.Point(p.x, p.y)), 6) for p in ports} == {8.0}
    turns = [math.atan2(p.y - 90, p.x - 145) for p in ports]
    assert sum(
        (b - a) % math.tau for a, b in zip(turns, turns[1:] + turns[:1], strict=True)
    ) == pytest.approx(math.tau)


def test_even_ports_keep_the_gap_on_arcs_too() -> None:
    boundary = round_boundary(convex_hull(BODY), 5.2, 0.8, 5.0, 2, (0.0, 0.0, 297.0, 210.0), ())
    for ring in boundary.even:
        at = [(boundary.places[k].x, boundary.places[k].y) for k in ring]
        assert min(math.dist(a, b) for a, b in zip(at, at[1:] + at[:1], strict=True)) >= 6.0 - 1e-9


def test_rings_are_worked_out_when_they_are_asked_for() -> None:
    boundary = round_boundary(convex_hull(BODY), 5.2, 0.8, 5.0, 3, (0.0, 0.0, 297.0, 210.0), ())
    assert not boundary.known()
    first = len(boundary.ports(1))
    assert {p.ring for p in boundary.known()} == {0}
    assert first < len(boundary.ports(first + 1))
    assert {p.ring for p in boundary.known()} == {0, 1}
    known = list(boundary.known())
    assert [end for ends in boundary.outwards() for end in ends] == [(p.x, p.y) for p in boundary.places]
    assert list(boundary.places[: len(known)]) == known
    assert {p.ring for p in boundary.places} == {0, 1, 2}


def test_no_port_outside_the_room_or_on_an_obstacle() -> None:
    room, word = (35.0, 30.0, 240.0, 150.0), (140.0, 35.0, 20.0, 12.0)
    boundary = round_boundary(convex_hull(BODY), 5.2, 0.8, 5.0, 2, room, (word,))
    inside, taken = shapely.box(35, 30, 275, 180), shapely.box(140, 35, 160, 47)
    for p in boundary.places:
        badge = shapely.Point(p.x, p.y).buffer(2.6)
        assert inside.covers(badge) and not taken.intersects(badge)


def test_a_badge_just_fits() -> None:
    port = Offset(convex_hull(BODY), 8.0).ports(6.0, 0.0, 0, 1)[0]
    x, y = port.x, port.y
    assert in_room([port], 2.6, (x - 2.6, y - 2.6, 5.2, 5.2)) == [(0, port)]
    assert not in_room([port], 2.6, (x - 2.5, y - 2.6, 5.2, 5.2))
    here = [(7, port)]
    for left, top in ((x + 3.5, y), (x - 13.5, y), (x, y + 3.5), (x, y - 13.5)):
        assert apart_from(here, 2.6, [(left, top, 10.0, 10.0)], 0.8) == here
        assert not apart_from(here, 2.6, [(left, top, 10.0, 10.0)], 1.0)


def test_sites_far_outside_widen_the_hull_and_near_ones_do_not() -> None:
    plain = convex_hull(BODY)
    assert surrounding_hull(BODY, [(150.0, 131.0), (100.0, 90.0)]) == plain
    assert (20.0, 90.0) in surrounding_hull(BODY, [(20.0, 90.0)])
