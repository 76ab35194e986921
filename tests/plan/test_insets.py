"""An enlarged inset of points that are said to be at one place: all of them are drawn, apart from each other."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from guidegen.plan.callouts.model import Badge
from guidegen.plan.frame import Frame
from guidegen.plan.insets import detail
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
