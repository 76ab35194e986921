"""The vehicle from outside: leaders stay short, mirrors keep clear of the title, steadies stand on the ground."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest

from guidegen.documents.context import Context
from guidegen.documents.outside_views import LONG_SIDES, side_view, views_from_above
from guidegen.drawing.primitives import Group, Line, Rect
from guidegen.drawing.primitives import Path as Drawn
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
A5_MM, A4_MM = 124.0, 178.0


@cache
def context_of(sample: str) -> Context:
    return Context(read_vehicle(SAMPLES / f"{sample}.yaml"), load_trade())


def flat(items, dy=0.0):
    for item in items:
        if isinstance(item, Group):
            shift = item.transform[5] if item.transform else 0.0
            yield from flat(item.items, dy + shift)
        else:
            yield item, dy


@pytest.mark.parametrize("sample", ["alder", "bramble", "fern", "hazel", "juniper"])
@pytest.mark.parametrize("width", [A4_MM, A5_MM])
def test_no_leader_runs_right_across_the_vehicle(sample, width):
    """A quarter of the sheet's width is as far as an eye follows a thin line past other things (no source)."""
    for side, title in LONG_SIDES:
        view = side_view(context_of(sample), side, title, width)
        leaders = [i for i, _ in flat(view.items) if isinstance(i, Line) and i.style.width_mm == 0.2]
        assert leaders
        assert max(math.dist(line.points[0], line.points[-1]) for line in leaders) <= 45


@pytest.mark.parametrize("sample", ["alder", "hazel", "juniper"])
def test_mirrors_lie_within_the_height_that_the_view_takes(sample):
    for view in views_from_above(context_of(sample), A4_MM):
        heights = [
            y + dy
            for item, dy in flat(view.items)
            if isinstance(item, Drawn)
            for command in item.commands
            for y in command[2::2]
        ]
        assert min(heights) >= 0 and max(heights) <= view.height + 1e-6


@pytest.mark.parametrize("sample", ["bramble", "fern"])
@pytest.mark.parametrize(("side", "title"), LONG_SIDES)
def test_every_steady_of_a_side_is_drawn_where_its_number_points(sample, side, title):
    context = context_of(sample)
    view = side_view(context, side, title, A4_MM)
    steadies = [p for p in view.points if p.kind == "steady"]
    feet = [
        i
        for i, _ in flat(view.items)
        if isinstance(i, Rect) and i.width == pytest.approx(180 / 30 * i.height)
    ]
    assert len(steadies) == len(feet) == 2
