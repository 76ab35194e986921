"""Larger badges of one system's plan: clear of each other, their frames, all markers and leaders."""

from __future__ import annotations

from itertools import combinations, permutations
from pathlib import Path

import pytest
from shapely.geometry import LineString, Point, box

from guidegen.pipeline import prepare
from guidegen.plan.afar import for_afar
from guidegen.plan.arrange import arrange
from guidegen.plan.derived import only
from guidegen.plan.numbering import NUMBERING_BOX, subject_of

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
A4 = box(5, 5, 292, 205)  # ISO 216, less what printers leave white


STROKE_MM = 0.45  # of a ring, half of it outside


def disc(callout):
    """A badge as drawn: a ring with its stroke, or the square letter of an inset."""
    half = callout.width_mm / 2
    if callout.key.startswith("inset:"):
        return box(callout.x - half, callout.y - half, callout.x + half, callout.y + half)
    return Point(callout.x, callout.y).buffer(half + STROKE_MM / 2)


@pytest.fixture(params=SAMPLES, ids=lambda path: path.stem, scope="module")
def plans(request):
    """The plan of each system before and after."""
    vehicle = prepare(request.param).vehicle
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    systems = sorted({p.system for p in vehicle.points})
    before = [only(found, {p.id for p in vehicle.points if p.system == one}) for one in systems]
    return [(one, for_afar(one)) for one in before]


def test_badges_grow_and_stay_about_where_they_were(plans):
    grown = 0
    for before, after in plans:
        for old, new in zip(before.placement.callouts, after.placement.callouts, strict=True):
            assert new.width_mm >= old.width_mm
            assert abs(new.x - old.x) < 4 and abs(new.y - old.y) < 4
        rings = [c for c in after.placement.callouts if not c.key.startswith("inset:")]
        grown += max((c.width_mm for c in rings), default=0.0) >= 1.5 * 5.2
    assert grown >= 0.7 * len(plans), "the numbers of most sheets are half as large again"


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
