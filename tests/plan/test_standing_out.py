"""Badges keep clear of what stands out of the body: mirrors and the leaves of outer doors."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

from guidegen.drawing.primitives import Line
from guidegen.drawing.primitives import Path as Curve
from guidegen.pipeline import prepare
from guidegen.plan.arrange import arrange
from guidegen.plan.body import body_polygon, draw_body, standing_out
from guidegen.plan.numbering import NUMBERING_BOX, subject_of

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def drawn_outside(layout, frame):
    """Closed shapes of the bare body that reach beyond its contour: mirrors and leaves."""
    for item in draw_body(layout, frame):
        if isinstance(item, Line) and item.closed:
            points = item.points
        elif isinstance(item, Curve) and item.css != "body" and not item.even_odd:
            points = [c[-2:] for c in item.commands if len(c) > 2]
        else:
            continue
        if len(points) > 2:
            yield shapely.Polygon(points).buffer(0)


@pytest.mark.parametrize("name", ["alder", "larch", "fern", "hazel", "sorrel"])
def test_no_badge_touches_a_mirror_or_a_door(name):
    vehicle = prepare(SAMPLES / f"{name}.yaml").vehicle
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    contour = shapely.Polygon(body_polygon(vehicle.layout, found.frame))
    body = contour.buffer(1.0)  # what is drawn about the wall line itself
    outside = [p for p in drawn_outside(vehicle.layout, found.frame) if p.difference(body).area > 0.5]
    assert outside, "every sample has a door or a mirror that stands out"
    covered = shapely.union_all(
        [shapely.box(x, y, x + w, y + h) for x, y, w, h in standing_out(vehicle.layout, found.frame)]
    )
    for shape in outside:
        assert shape.difference(body).difference(covered.buffer(0.3)).area < 0.2
    for callout in found.placement.callouts:
        badge = shapely.Point(callout.x, callout.y).buffer(callout.width_mm / 2)
        assert all(badge.distance(shape) > 0.3 for shape in outside), callout.key
