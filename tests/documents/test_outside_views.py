"""The vehicle from outside: leaders stay short, mirrors keep clear of the title, steadies stand on the ground."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
import shapely

from guidegen.documents.context import Context
from guidegen.documents.outside_views import LONG_SIDES, side_view, views_from_above
from guidegen.documents.parts import BADGE_MM
from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import Circle, Group, Line, Rect, Text
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


@pytest.mark.parametrize("sample", ["bramble", "hazel", "juniper", "rowan"])
@pytest.mark.parametrize("share", [0.95, 0.75])
def test_how_high_a_smaller_view_is_can_be_told_before_it_is_drawn(sample, share):
    """But for a badge that comes to stand above or below the body: badges stay as large as they were."""
    views = [v for side, title in LONG_SIDES if (v := side_view(context_of(sample), side, title, A4_MM))]
    for view in [*views, *views_from_above(context_of(sample), A4_MM)]:
        told = view.smaller(view.scale * share)
        assert told.items == ()
        assert told.height < view.height
        drawn = {v.title: v for v in _all_views(sample, view.scale * share)}[view.title]
        assert abs(drawn.height - told.height) < BADGE_MM + 4.0
        assert drawn.drawn == pytest.approx(told.drawn, abs=0.5)


def _all_views(sample, scale):
    for side, title in LONG_SIDES:
        if view := side_view(context_of(sample), side, title, A4_MM, scale):
            yield view
    yield from views_from_above(context_of(sample), A4_MM, scale)


@pytest.mark.parametrize("sample", ["larch"])
def test_a_crowded_locker_costs_its_leaders_no_more_than_the_way_to_the_roof(sample):
    """Eight gas points stand in one locker: those in the middle are numbered above the roof."""
    context = context_of(sample)
    view = side_view(context, "nearside", "Nearside", A4_MM)
    leaders = [i for i, _ in flat(view.items) if isinstance(i, Line) and i.style.width_mm == 0.2]
    lowest = min(p.z for p in view.points if p.kind == "gas-cylinder")
    to_roof = (context.vehicle.layout.height - lowest) / 50
    assert max(math.dist(line.points[0], line.points[-1]) for line in leaders) <= to_roof + 2.0


@pytest.mark.parametrize("sample", ["bramble", "fern"])
@pytest.mark.parametrize("width", [A4_MM, A5_MM])
def test_no_badge_lies_on_the_drawbar(sample, width):
    context = context_of(sample)
    for side, title in LONG_SIDES:
        view = side_view(context, side, title, width)
        shapes = list(standing(view.items))
        bar, (dx, dy) = next((i, at) for i, at in shapes if isinstance(i, Line) and i.closed)
        box = shapely.MultiPoint([(x + dx, y + dy) for x, y in bar.points]).envelope
        discs = [(i, at) for i, at in shapes if isinstance(i, Circle) and i.style.stroke]
        badges = [(d, at) for d, at in discs if abs(d.radius - BADGE_MM / 2) < 0.3 and d.style.width_mm > 0.3]
        assert badges
        for badge, (dx, dy) in badges:
            disc = shapely.Point(badge.x + dx, badge.y + dy).buffer(badge.radius)
            assert not box.intersects(disc)


def standing(items, dx=0.0, dy=0.0):
    """The items of the view in the frame of its drawing, and how far their groups move them."""
    for item in items:
        if isinstance(item, Group):
            right, down = item.transform[4:] if item.transform else (0.0, 0.0)
            yield from standing(item.items, dx + right, dy + down)
        else:
            yield item, (dx, dy)


@pytest.mark.parametrize("sample", ["larch", "bramble"])
def test_vents_flaps_and_fillers_are_drawn_where_the_markers_stand(sample):
    """The slats of each fridge vent lie about its place."""
    context = context_of(sample)
    views = [side_view(context, side, title, A4_MM) for side, title in LONG_SIDES]
    for view in (v for v in views if any(p.kind.startswith("fridge-vent") for p in v.points)):
        markers = [(i.x, i.y) for i, _ in flat(view.items) if isinstance(i, Circle) and i.radius == 1.1]
        vents = [p for p in view.points if p.kind.startswith("fridge-vent")]
        slats = [
            i
            for i, _ in flat(view.items)
            if isinstance(i, Line) and i.style.width_mm == 0.18 and i.points[0][1] == i.points[1][1]
        ]
        held = {
            (x, y)
            for x, y in markers
            if any(abs(s.points[0][1] - y) < 2.5 and s.points[0][0] < x < s.points[1][0] for s in slats)
        }
        assert len(held) >= len(vents)


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


@pytest.mark.parametrize(("sample", "side"), [("sorrel", "offside"), ("rowan", "nearside")])
def test_no_leader_runs_over_the_flap_of_another_number(sample, side):
    """Else the flap might be taken for what the number means."""
    context = context_of(sample)
    view = side_view(context, side, side.title(), A4_MM)
    shapes = [i for i, _ in flat(view.items)]
    leaders = [
        shapely.LineString(i.points) for i in shapes if isinstance(i, Line) and i.style.width_mm == 0.2
    ]
    markers = [shapely.Point(i.x, i.y) for i in shapes if isinstance(i, Circle) and i.radius == 1.1]
    flaps = [
        shapely.box(i.x, i.y, i.x + i.width, i.y + i.height)
        for i in shapes
        if isinstance(i, Rect) and 3.5 < i.width < 12 and 3.0 < i.height < 8
    ]
    flaps = [flap for flap in flaps if any(flap.contains(marker) for marker in markers)]
    assert len(flaps) >= 4
    for flap in flaps:
        own = [at for at in markers if flap.buffer(0.2).contains(at)]
        for leader in (line for line in leaders if line.intersects(flap)):
            assert min(leader.distance(at) for at in own) < 1.5


@pytest.mark.parametrize("sample", ["larch", "rowan", "bramble"])
@pytest.mark.parametrize("width", [A4_MM, A5_MM])
def test_views_from_above_say_front_nearside_and_offside_as_the_plan_does(sample, width):
    """Beside the body, the nearside below where it is on the left of who faces forward, clear of badges."""
    context = context_of(sample)
    views = list(views_from_above(context, width))
    assert views
    for view in views:
        shapes = list(standing(view.items))
        words = {i.text: (i, at) for i, at in shapes if isinstance(i, Text) and not i.text.isdigit()}
        assert words.keys() == {"Front", "Nearside", "Offside"}
        (near, (_, down)), (off, (_, shift)) = words["Nearside"], words["Offside"]
        assert (near.y + down > off.y + shift) == (context.vehicle.nearside == "left")
        discs = [(i, at) for i, at in shapes if isinstance(i, Circle) and abs(i.radius - BADGE_MM / 2) < 0.3]
        for word, (dx, dy) in (words["Nearside"], words["Offside"]):
            cap, long = cap_height_mm(word.size_pt), text_width_mm(word.text, word.size_pt, "bold")
            x, y = word.x + dx, word.y + dy
            box = shapely.box(x - long, y - cap, x, y)
            assert all(
                shapely.Point(d.x + a, d.y + b).buffer(d.radius).distance(box) > 0 for d, (a, b) in discs
            )
