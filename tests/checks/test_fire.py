"""Rules on fire: each with a vehicle that passes and one that fails, distances at the limit."""

from __future__ import annotations

import pytest
from msgspec.structs import replace


@pytest.fixture
def found(workshop):
    """Messages of one rule for a vehicle with these points."""

    def messages(rule, *points, **other):
        return [f.message for f in workshop.findings(rule, workshop.vehicle(*points, **other))]

    return messages


def test_a_bedroom_has_a_way_out(workshop, found):
    layout = workshop.vehicle().layout
    shut = {"windows": tuple(replace(w, escape=False) for w in layout.windows)}
    assert found("no-way-out") == []
    assert "“bedroom”" in found("no-way-out", layout=shut)[0]
    window = workshop.point("escape-window", 5000, 0, 1700, where="nearside")
    assert found("no-way-out", window, layout=shut) == []
    door = {**shut, "doors": (replace(layout.doors[0], start=4500),)}
    assert found("no-way-out", layout=door) == []


def test_a_bed_outside_the_bedrooms_needs_a_way_out_too(workshop, found):
    layout = workshop.vehicle().layout
    no_door = {"doors": ()}
    assert found("no-way-out", layout=no_door) == []
    bench = replace(layout.furniture[0], id="bench", room="living", berths=1)
    (message,) = found("no-way-out", layout={**no_door, "furniture": (*layout.furniture, bench)})
    assert "“living room”" in message


def test_an_extinguisher_is_near_a_door(workshop, found):
    """The door spans 2.0 to 2.6 m from the front, on the nearside."""
    near, far = (
        workshop.point("fire-extinguisher", 4500, 200),
        workshop.point("fire-extinguisher", 5500, 2100),
    )
    assert found("extinguisher-far") == []
    assert found("extinguisher-far", near, far) == []  # one of them is enough
    (message,) = found("extinguisher-far", far)
    assert "m from the nearest door" in message


def test_a_blanket_is_reached_without_reaching_over_flames(workshop, found):
    hob = workshop.point("hob", 3000, 2000, 900)
    for beside in (
        workshop.point("fire-blanket", 3310, 2000, 1500),
        workshop.point("fire-blanket", 3000, 2000, 700),
    ):
        assert found("blanket-behind-flames", hob, beside) == []
    (message,) = found("blanket-behind-flames", hob, workshop.point("fire-blanket", 3290, 2000, 1500))
    assert "right above “Hob”" in message
