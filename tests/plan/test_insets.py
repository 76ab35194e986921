"""An enlarged inset of points that are said to be at one place: all of them are drawn, apart from each other."""

from __future__ import annotations

import math
import random
from itertools import combinations

import pytest

from guidegen.plan.callouts import CannotPlace, Placement, place
from guidegen.plan.callouts.model import Badge, Site, Task
from guidegen.plan.frame import Frame
from guidegen.plan.insets import TITLE_LINE_MM, Detail, Shape, detail, least_beyond
from guidegen.plan.spreading import MOST, NUDGE_MM

MARKER_MM = 1.8  # across, as design asks


@pytest.mark.parametrize("spacing", [0.0, 0.2, 0.6])
@pytest.mark.parametrize("count", range(2, MOST + 1))
def test_so_many_points_at_one_place_stand_apart_in_the_inset(count: int, spacing: float) -> None:
    keys = tuple("abcdefghi"[:count])
    places = {key: (100.0 + spacing * n, 100.0) for n, key in enumerate(keys)}
    made = detail("A", "Gas locker", keys, places, {k: Badge() for k in keys}, 0.9, Frame(1 / 35, 0, 0, 2300))
    where = dict(made.places)
    assert where.keys() == set(keys)
    assert min(math.dist(where[a], where[b]) for a, b in combinations(keys, 2)) > MARKER_MM
    assert {callout.key for callout in made.callouts} == set(keys)
    middle = (made.window[0] + made.window[2] / 2, made.window[1] + made.window[3] / 2)
    for n, key in enumerate(keys):  # none further from its place than a marker may be moved on the plan
        home = (middle[0] + spacing * (n - (count - 1) / 2) * made.zoom, middle[1])
        assert math.dist(where[key], home) <= NUDGE_MM * made.zoom + 0.06


def beside(sites: tuple[Site, ...], half: tuple[float, float]) -> Placement | None:
    """Badges right and left of a window, with the room that insets give them there."""
    (x, y), reach = half, 9.0 + 1.2 * len(sites)
    body = ((-x, -y), (x, -y), (x, y), (-x, y))
    room = (-x - reach, -y - 1.5, 2 * (x + reach), 2 * (y + 1.5))
    try:
        return place(Task(sites, (body,), room, gap_mm=0.8, offset_mm=2.2, tries=1))
    except CannotPlace:
        return None


@pytest.mark.parametrize("count", range(1, MOST + 1))
def test_badges_stand_out_from_two_sides_by_no_less_than_is_foreseen(count: int) -> None:
    chance, found = random.Random(count), 0
    for _ in range(12):
        half = (chance.uniform(3.0, 16.0), chance.uniform(3.0, 16.0))
        sites = tuple(
            Site(str(n), *(chance.uniform(-h + 2.6, h - 2.6) for h in half), 1.1) for n in range(count)
        )
        if placed := beside(sites, half):
            right = max(0.0, max(c.x + c.width_mm / 2 for c in placed.callouts) - half[0])
            left = max(0.0, -half[0] - min(c.x - c.width_mm / 2 for c in placed.callouts))
            assert 0 < least_beyond(sites, 2 * half[1]) <= left + right
            found += 1
    assert found


def test_what_many_badges_take_beyond_a_short_side() -> None:
    """Of 5.2 mm with 0.8 mm between, 2.2 mm off the window: two in a row of 11 mm, one in a row of 5 mm."""

    def least(count: int, along: float) -> float:
        return least_beyond([Site(str(n), 0.0, 0.0, 1.1) for n in range(count)], along)

    assert least(1, 11.0) == pytest.approx(7.4, abs=1e-5)
    assert least(2, 11.0) == pytest.approx(7.4, abs=1e-5)
    assert least(3, 11.0) == pytest.approx(7.4 + 6.0, abs=1e-5)  # a second row on one side
    assert least(2, 5.0) == pytest.approx(7.4 + 6.0, abs=1e-5)
    assert least(9, 5.0) == pytest.approx(7.4 + 8 * 6.0, abs=1e-5)


def test_badges_that_differ_are_not_foreseen() -> None:
    label = Site("label", 0.0, 0.0, 1.1, Badge(20.0, 5.0, False))
    assert least_beyond([Site("round", 0.0, 0.0, 1.1), label], 10.0) == 0.0


def in_a_row(most: tuple[float, float], shape: Shape, aside: float = 0.0) -> Detail:
    """Four points a little apart along the vehicle, two of them a little aside, under a long title."""
    keys = tuple("abcd")
    places = {key: (100.0 + 1.6 * n, 100.0 + aside * (n in (1, 2))) for n, key in enumerate(keys)}
    badges, frame = {k: Badge() for k in keys}, Frame(1 / 60, 0, 0, 2300)
    return detail("A", "Gas locker, at the flap", keys, places, badges, 0.9, frame, most, shape)


def test_a_narrow_inset_breaks_its_title_where_there_is_height_for_two_lines() -> None:
    small, narrow = in_a_row((178.0, 40.0), "small"), in_a_row((178.0, 40.0), "narrow")
    assert (small.title, narrow.title) == ("Gas locker, at the flap", "Gas locker,\nat the flap")
    assert narrow.width < small.width
    assert narrow.height == pytest.approx(small.height + TITLE_LINE_MM)
    low = in_a_row((178.0, small.height), "narrow")
    assert (low.title, low.width) == (small.title, small.width)


def test_an_inset_too_low_for_badges_all_round_is_enlarged_until_they_stand_at_its_sides() -> None:
    low = in_a_row((178.0, 24.0), "small", 1.2)
    assert low.height <= 24.0
    assert low.zoom > in_a_row((178.0, 40.0), "small", 1.2).zoom
    x, _, wide, _ = low.window
    assert all(c.x < x or c.x > x + wide for c in low.callouts)
