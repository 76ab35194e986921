"""Labels of many widths and leaders with one bend: the same hard rules, and the shapes that give their names."""

from __future__ import annotations

import math
import random
from types import ModuleType

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from guidegen.plan.callouts import Badge, CannotPlace, LeaderStyle, Placement, Site, Task, place
from guidegen.plan.callouts.boundary import convex_hull
from guidegen.plan.callouts.framing import Clear
from guidegen.plan.callouts.paths import closer, leader_path, point_to_segment, seat, segments_apart

BODY = ((60.0, 70.0), (230.0, 70.0), (230.0, 130.0), (60.0, 130.0))
ROOM = (6.0, 10.0, 285.0, 190.0)
spot = st.tuples(st.integers(-40, 40), st.integers(-40, 40)).map(lambda p: (float(p[0]), float(p[1])))


def directions(placement: Placement) -> list[list[float]]:
    """For each callout the angles of its legs, in degrees from 0 to 90 off the horizontal."""
    return [
        [
            math.degrees(math.atan2(abs(b[1] - a[1]), abs(b[0] - a[0])))
            for a, b in zip(c.leader, c.leader[1:], strict=False)
        ]
        for c in placement.callouts
    ]


@pytest.mark.parametrize("style", ["po", "do"])
@pytest.mark.parametrize("seed", range(3))
def test_bent_leaders_are_clean(
    callout_tasks: ModuleType, callout_judge: ModuleType, seed: int, style: LeaderStyle
) -> None:
    task = replace(callout_tasks.random_task(seed, 18), style=style)
    placement = place(task)
    assert callout_judge.faults(task, placement) == []
    for legs in directions(placement):
        assert len(legs) <= 2
        assert min(legs[-1], 90 - legs[-1]) == pytest.approx(0, abs=1e-6)
        if len(legs) == 2:
            first = 45 if style == "do" else 90 - legs[-1]
            assert legs[0] == pytest.approx(first, abs=1e-6)


@pytest.mark.parametrize("seed", range(3))
def test_labels_are_clean(callout_tasks: ModuleType, callout_judge: ModuleType, seed: int) -> None:
    chance, task = random.Random(seed), callout_tasks.random_task(seed, 14)
    sites = tuple(replace(s, badge=Badge(chance.uniform(12, 34), 4.2, False)) for s in task.sites)
    named = replace(task, sites=sites)
    assert callout_judge.faults(named, place(named)) == []


def test_a_label_is_met_in_the_middle_of_its_near_edge() -> None:
    badge = Badge(30.0, 4.0, False)
    assert seat((100.0, 50.0), (0.0, -1.0), badge) == (85.0, 46.0, 30.0, 4.0)
    assert seat((100.0, 50.0), (1.0, 0.0), badge) == (100.0, 48.0, 30.0, 4.0)
    assert seat((100.0, 50.0), (-1.0, 0.0), badge) == (70.0, 48.0, 30.0, 4.0)


def test_labels_without_room_are_refused() -> None:
    sites = tuple(Site(str(k), 70.0 + 5 * k, 100.0, badge=Badge(40.0, 5.0, False)) for k in range(16))
    with pytest.raises(CannotPlace, match="larger sheet"):
        place(Task(sites, (BODY,), (50.0, 58.0, 190.0, 84.0)))


def test_paths_by_style() -> None:
    site, up = Site("a", 100.0, 100.0, 1.0), (0.0, -1.0)
    assert leader_path("straight", site, (100.0, 60.0), up) == ((100.0, 99.0), (100.0, 60.0))
    assert leader_path("po", site, (110.0, 60.0), up) == ((101.0, 100.0), (110.0, 100.0), (110.0, 60.0))
    assert leader_path("do", site, (110.0, 60.0), up)[1:] == ((110.0, 90.0), (110.0, 60.0))


def test_no_bend_that_looks_like_a_slip_and_none_beyond_the_badge() -> None:
    site, up = Site("a", 100.0, 100.0), (0.0, -1.0)
    assert leader_path("po", site, (100.5, 60.0), up) == ()
    assert leader_path("do", site, (160.0, 60.0), up) == ()


@given(spot, spot, spot, spot)
@settings(deadline=None, max_examples=200)
def test_distances_as_shapely(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> None:
    assume(a != b and c != d)
    one, two = shapely.LineString([a, b]), shapely.LineString([c, d])
    assert segments_apart(a, b, c, d) == pytest.approx(one.distance(two), abs=1e-9)
    assert point_to_segment(c, a, b) == pytest.approx(one.distance(shapely.Point(c)), abs=1e-9)


@given(spot, spot, spot, spot, st.sampled_from((0.1, 0.62, 3.0, 10.0)))
@settings(deadline=None, max_examples=200)
def test_closer_than_is_what_the_distance_says(
    a: tuple[float, float],
    b: tuple[float, float],
    c: tuple[float, float],
    d: tuple[float, float],
    than: float,
) -> None:
    assume(a != b and c != d)
    assert closer(a, b, c, d, than) == (segments_apart(a, b, c, d) < than)


@given(spot, spot, st.lists(spot, min_size=1, max_size=6))
@settings(deadline=None, max_examples=200)
def test_clear_of_a_hull_is_beside_one_of_its_edges(
    one: tuple[float, float], two: tuple[float, float], corners: list[tuple[float, float]]
) -> None:
    hull = convex_hull([(-10.0, -12.0), (11.0, -9.0), (8.0, 10.0), (-9.0, 7.0), one, two])
    shape, clear = shapely.Polygon(hull), Clear(hull)
    for x, y in corners:
        box = shapely.box(x, y, x + 6.0, y + 3.0)
        if clear.of((x, y, 6.0, 3.0)):
            assert box.distance(shape) > 0
        elif not box.intersects(shape):  # only before a corner of the hull may a box lie beyond no edge
            nearest = min(box.distance(shapely.Point(corner)) for corner in hull)
            assert nearest == pytest.approx(box.distance(shape))
