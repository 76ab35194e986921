"""Larger badges of one system's plan: clear of each other, their frames, all markers and leaders."""

from __future__ import annotations

import math
from itertools import combinations, permutations
from pathlib import Path

import pytest
from shapely.geometry import LineString, Point, box

from guidegen.pipeline import prepare
from guidegen.plan.afar import for_afar
from guidegen.plan.arrange import arrange
from guidegen.plan.derived import only
from guidegen.plan.numbering import NUMBERING_BOX, subject_of

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
A4 = box(5, 5, 292, 205)  # ISO 216, less what printers leave white


STROKE_MM = 0.45  # of a ring, half of it outside


def disc(callout):
    """A badge as drawn: a ring with its stroke, or the square letter of an inset."""
    half = callout.width_mm / 2
    if callout.key.startswith("inset:"):
        return box(callout.x - half, callout.y - half, callout.x + half, callout.y + half)
    return Point(callout.x, callout.y).buffer(half + STROKE_MM / 2)


def plans_of(sample, systems=""):
    """The plan of each system of a sample, or of those named, before and after."""
    vehicle = prepare(SAMPLES / f"{sample}.yaml").vehicle
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    of = systems or sorted({p.system for p in vehicle.points})
    before = [only(found, {p.id for p in vehicle.points if p.system == one}) for one in of]
    return [(one, for_afar(one)) for one in before]


@pytest.fixture(params=sorted(path.stem for path in SAMPLES.glob("*.yaml")), scope="module")
def plans(request):
    return plans_of(request.param)


def test_badges_grow_and_stay_about_where_they_were(plans):
    shifted = []
    for before, after in plans:
        for old, new in zip(before.placement.callouts, after.placement.callouts, strict=True):
            assert new.width_mm >= old.width_mm
            assert math.dist((old.x, old.y), (new.x, new.y)) <= 6
            shifted.append(math.dist((old.x, old.y), (new.x, new.y)))
    assert sum(shifted) / len(shifted) < 2


def test_badges_of_every_system_are_about_as_large(plans):
    """A class turns from sheet to sheet: 1.3 times on each, and half as large again on nearly all."""
    times = [
        max(c.width_mm for c in after.placement.callouts if not c.key.startswith("inset:")) / 5.2
        for _, after in plans
        if any(not c.key.startswith("inset:") for c in after.placement.callouts)
    ]
    assert min(times) >= 1.3 - 1e-6
    assert sum(one >= 1.5 - 1e-6 for one in times) >= 0.9 * len(times)


def test_badges_that_a_leader_has_to_pass_between_both_give_way():
    """The leader of the highest of three badges side by side passes close to the next one."""
    ((_, after),) = plans_of("alder", "M")
    assert [c.width_mm for c in after.placement.callouts] == pytest.approx([1.6 * 5.2] * 4)


def test_no_badge_is_pushed_over_a_side_of_the_vehicle(plans):
    for before, after in plans:
        frame = after.frame
        upper, lower = frame.y, frame.y + frame.length(frame.width_mm)
        for old, new in zip(before.placement.callouts, after.placement.callouts, strict=True):
            reach = new.height_mm / 2 + STROKE_MM / 2
            if old.y < upper:
                assert new.y + reach < upper or new.y <= old.y + 0.1, new.key
            if old.y > lower:
                assert new.y - reach > lower or new.y >= old.y - 0.1, new.key


def test_nothing_meets(plans):
    for _, after in plans:
        places = dict(after.places) | {f"inset:{d.letter}": centre(d.source) for d in after.details}
        for callouts, at in (
            (after.placement.callouts, places),
            *((d.callouts, dict(d.places)) for d in after.details),
        ):
            for one, other in combinations(callouts, 2):
                assert disc(one).distance(disc(other)) > 0.3
                assert LineString(one.leader).distance(LineString(other.leader)) > 0.2
            for one, other in permutations(callouts, 2):
                assert disc(one).distance(LineString(other.leader)) > 0.2
                assert disc(one).distance(Point(at[other.key])) > 0.9


def test_badges_stay_in_their_frames_and_on_the_sheet(plans):
    for before, after in plans:
        assert all(A4.contains(disc(c)) for c in after.placement.callouts)
        for d in after.details:
            frame, window = box(0, 0, d.width, d.height), box(*corners(d.window))
            for c in d.callouts:
                assert frame.boundary.distance(disc(c)) > 0.5 and frame.contains(disc(c))
                assert window.intersection(disc(c)).area < 0.01
        assert before.box == after.box


def corners(area):
    x, y, w, h = area
    return x, y, x + w, y + h


def centre(area):
    x, y, w, h = area
    return x + w / 2, y + h / 2
