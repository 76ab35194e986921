"""Labels in columns: their leaders."""

from __future__ import annotations

import math

import pytest

from guidegen.plan.labels import Label, led

PLACE, END = (50.0, 50.0), (90.0, 70.0)


def label(radius_mm: float) -> Label:
    return Label("a", PLACE, radius_mm, (90.0, 68.0, 40.0, 4.0), (), ("Name",))


@pytest.mark.parametrize("bend", [None, (60.0, 50.0), (53.0, 50.0), (50.0, 51.0), PLACE])
def test_a_leader_runs_from_the_edge_of_its_marker_to_its_end(bend):
    """A bend within the marker, as a wide frame of crowded points has it, is none."""
    leader = led(label(6.0), bend, END).leader
    assert math.dist(leader[0], PLACE) == pytest.approx(6.0)
    assert leader[-1] == END
    assert len(leader) == (3 if bend == (60.0, 50.0) else 2)


def test_a_label_at_its_marker_has_no_leader():
    assert led(label(6.0), None, (54.0, 50.0)).leader == ()
