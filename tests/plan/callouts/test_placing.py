"""Placements of random vehicles: no fault, leaders nearly as short as can be, the same every time."""

from __future__ import annotations

import itertools
import math
import random
from types import ModuleType
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from guidegen.plan.callouts import Aside, Badge, CannotPlace, Placement, Site, Task, clockwise, engine, place
from guidegen.plan.callouts.boundary import round_boundary, surrounding_hull
from guidegen.plan.callouts.search import search
from guidegen.plan.callouts.sight import Sight
from guidegen.plan.callouts.straight import StraightLeaders

BODY = ((50.0, 60.0), (250.0, 60.0), (250.0, 130.0), (50.0, 130.0))
ROOM = (6.0, 10.0, 285.0, 190.0)


@pytest.mark.parametrize("count", [20, 40, 60, 75, 90])
@pytest.mark.parametrize("seed", range(6))
def test_clean_and_short(callout_tasks: ModuleType, callout_judge: ModuleType, seed: int, count: int) -> None:
    task = callout_tasks.random_task(seed, count)
    placement = place(task)
    assert callout_judge.faults(task, placement) == []
    ratio = callout_judge.length_ratio(task, placement)
    assert ratio <= 1.15
    assert placement.detour == pytest.approx(ratio, abs=1e-6)


@given(st.integers(0, 10**6), st.integers(1, 45))
@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])
def test_clean_for_any_vehicle(
    callout_tasks: ModuleType, callout_judge: ModuleType, seed: int, count: int
) -> None:
    task = callout_tasks.random_task(seed, count)
    assert callout_judge.faults(task, place(task)) == []


def test_numbers_given_clockwise_follow_each_other(
    callout_tasks: ModuleType, callout_judge: ModuleType
) -> None:
    task = callout_tasks.random_task(3, 50)
    placement, centre = place(task), (148.5, 109.0)
    numbers = {key: n for n, key in enumerate(clockwise(placement, centre), start=1)}
    assert callout_judge.order_share(centre, placement, numbers) == 1.0


def test_clockwise_begins_where_it_is_told() -> None:
    at = {"up": (150.0, 61.0), "right": (249.0, 95.0), "down": (150.0, 129.0), "left": (51.0, 95.0)}
    placement = place(Task(tuple(Site(k, *p) for k, p in at.items()), (BODY,), ROOM))
    assert clockwise(placement, (150.0, 95.0), -100.0) == ("up", "right", "down", "left")
    assert clockwise(placement, (150.0, 95.0), 170.0) == ("left", "up", "right", "down")


def test_the_same_every_time(callout_tasks: ModuleType) -> None:
    task = callout_tasks.random_task(5, 70)
    assert place(task) == place(task)


def test_longer_leaders_than_are_of_use_are_not_looked_for(
    callout_tasks: ModuleType, callout_judge: ModuleType
) -> None:
    shorter = 0
    for seed in range(6):
        task = callout_tasks.random_task(seed, 75)
        bound = 0.9 * longest_mm(task, place(task))
        try:
            found = place(replace(task, longest_mm=bound))
        except CannotPlace:
            continue
        shorter += 1
        assert callout_judge.faults(task, found) == []
        assert longest_mm(task, found) < bound
    assert shorter >= 3


def test_a_site_that_is_too_far_from_every_place_is_refused_at_once() -> None:
    task = Task((Site("a", 150, 95), Site("b", 60, 62)), (BODY,), ROOM)  # 35 mm from the sides
    assert longest_mm(task, place(task)) > 35
    with pytest.raises(CannotPlace):
        place(replace(task, longest_mm=35.0))


def test_what_leaders_run_over_costs_less_where_they_find_no_way(
    callout_tasks: ModuleType, callout_judge: ModuleType
) -> None:
    for seed in (9, 17, 32, 34):
        chance = random.Random(seed)
        boxes = [(chance.uniform(50, 230), chance.uniform(60, 115), 20.0, 15.0) for _ in range(10)]
        dear, cheap = (tuple(Aside(box, price) for box in boxes) for price in (60.0, 2.0))
        task = replace(callout_tasks.random_task(seed, 75), asides=dear, tries=2)
        with pytest.raises(CannotPlace):
            place(task)
        task = replace(task, easier=cheap)
        assert callout_judge.faults(task, place(task)) == []


def test_leaders_that_can_be_no_shorter_are_not_sought_again(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = []

    def counting(*given: Any) -> Any:
        tried.append(given)
        return begun(*given)

    begun = engine._begun
    monkeypatch.setattr(engine, "_begun", counting)
    low = ((50.0, 80.0), (250.0, 80.0), (250.0, 100.0), (50.0, 100.0))
    sites = (Site("a", 150, 90), Site("b", 60, 90))
    found = place(Task(sites, (low,), (6.0, 80.0, 285.0, 20.0)))  # room for badges at the ends alone
    assert longest_mm(Task(sites, (low,), ROOM), found) > 100
    assert len(tried) == 1


def longest_mm(task: Task, placement: Placement) -> float:
    """From the centre of a marker to that of its badge."""
    ends = zip(task.sites, placement.callouts, strict=True)
    return max(math.dist((site.x, site.y), (c.x, c.y)) for site, c in ends)


def test_points_of_one_place_get_their_own_badges(callout_judge: ModuleType) -> None:
    sites = (Site("a", 150, 95), Site("b", 150, 95), Site("c", 60, 62), Site("d", 60.004, 62))
    task = Task(sites, (BODY,), ROOM)
    assert callout_judge.faults(task, place(task)) == []


def test_a_square_leader_for_a_lone_point() -> None:
    (callout,) = place(Task((Site("a", 123.4, 70.0),), (BODY,), ROOM)).callouts
    assert callout.x == pytest.approx(123.4)
    assert callout.leader[0] == pytest.approx((123.4, 69.1))
    assert callout.leader[-1] == pytest.approx((123.4, callout.y + 2.6))


def test_points_outside_the_body(callout_judge: ModuleType) -> None:
    hitch, awning = Site("hitch", 20.0, 95.0), Site("awning", 150.0, 135.0)
    task = Task((hitch, awning, Site("in", 100.0, 100.0)), (BODY,), ROOM)
    assert callout_judge.faults(task, place(task)) == []


@pytest.mark.parametrize("seed", range(5))
def test_badges_of_several_sizes(callout_tasks: ModuleType, callout_judge: ModuleType, seed: int) -> None:
    task = callout_tasks.random_task(seed, 35)
    sizes = (Badge(), Badge(5.2, 5.2, False), Badge(7.0, 5.2, False), Badge(6.0, 6.0))
    sites = tuple(replace(s, badge=sizes[k % 4]) for k, s in enumerate(task.sites))
    mixed = replace(task, sites=sites)
    assert callout_judge.faults(mixed, place(mixed)) == []


def test_nothing_to_place() -> None:
    assert place(Task((), (BODY,), ROOM)).callouts == ()


def test_no_room_is_said_with_what_is_wanting() -> None:
    sites = tuple(Site(str(k), 60.0 + 3.2 * k, 95.0) for k in range(55))
    with pytest.raises(CannotPlace, match="larger sheet") as raised:
        place(Task(sites, (BODY,), (40.0, 50.0, 30.0, 90.0)))
    assert raised.value.left > 10


def test_a_point_shut_in_by_others_is_named() -> None:
    ring = [Site(f"r{k}", 150 + 1.8 * math.cos(k), 95 + 1.8 * math.sin(k)) for k in range(6)]
    with pytest.raises(CannotPlace) as raised:
        place(Task((Site("middle", 150, 95), *ring), (BODY,), ROOM))
    assert "middle" in raised.value.keys


@pytest.mark.parametrize("seed", range(8))
def test_a_proved_placement_is_the_best_of_all_assignments(seed: int) -> None:
    """5 sites in a tight group on 8 ports: every assignment is tried."""
    chance = random.Random(seed)
    spots = [(100.0 + 3 * column, 62.0 + 3 * row) for column in range(5) for row in range(4)]
    sites = tuple(Site(str(k), *spot) for k, spot in enumerate(chance.sample(spots, 5)))
    hull = surrounding_hull(BODY, [(s.x, s.y) for s in sites])
    boundary = round_boundary(hull, 5.2, 0.8, 5.0, 1, ROOM, ())
    near = sorted(boundary.even[0], key=lambda k: min(_away(s, boundary.places[k]) for s in sites))[:8]
    ports = [boundary.places[k] for k in sorted(near)]
    leaders = StraightLeaders(sites, ports, 5.2, 0.6, Sight(sites, 0.6, ()))
    outcome = search(leaders, 10_000, 0.0)

    def clean(chosen: tuple[int, ...]) -> bool:
        return not any(
            leaders.crosses(i, chosen[i], j, chosen[j])
            or chosen[j] in leaders.hits(i, chosen[i])
            or chosen[i] in leaders.hits(j, chosen[j])
            for i, j in itertools.combinations(range(len(sites)), 2)
        )

    best = min(
        (
            sum(leaders.costs[i][p] for i, p in enumerate(chosen))
            for chosen in itertools.permutations(range(len(ports)), len(sites))
            if clean(chosen)
        ),
        default=math.inf,
    )
    assert outcome.proved == (best < math.inf)
    if outcome.proved:
        assert outcome.cost == pytest.approx(best)


def _away(site: Site, port: object) -> float:
    return math.dist((site.x, site.y), (port.x, port.y))  # type: ignore[attr-defined]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("count", [8, 20])
def test_what_stands_roomy_stands_the_same_in_more_room(seed: int, count: int) -> None:
    chance, roomy = random.Random(seed), []
    sites = tuple(Site(str(k), chance.uniform(60, 240), chance.uniform(70, 120)) for k in range(count))
    for beyond in (9.0, 14.0, 40.0):
        room = (50.0 - beyond, 60.0 - beyond, 200.0 + 2 * beyond, 70.0 + 2 * beyond)
        found = place(Task(sites, (BODY,), room, offset_mm=3.0))
        if found.roomy:
            assert place(Task(sites, (BODY,), ROOM, offset_mm=3.0)) == found
        roomy.append(found.roomy)
    assert roomy == sorted(roomy)
    assert roomy[-1]
