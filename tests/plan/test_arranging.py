"""Whole plans of the samples, judged from their SVG; strips of insets; what is refused."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace
from shapely.geometry import LineString, Point

from guidegen.drawing.svg import write_svg
from guidegen.pipeline import prepare
from guidegen.plan import arrange as arranging
from guidegen.plan.arrange import arrange
from guidegen.plan.crowd_titles import crowd_title, crowd_titles
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.insets import least_size, least_width
from guidegen.plan.numbering import NUMBERING_BOX, numbered, smallest_sheet, subject_of
from guidegen.plan.sheet import PlanOptions, plan_sheet
from guidegen.plan.spreading import CROWDINGS, MOST, spread
from guidegen.plan.strips import GAP_MM, Strips, pack
from guidegen.trade.load import load_trade

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


@pytest.fixture(scope="module")
def alder():
    return prepare(next(s for s in SAMPLES if s.stem == "alder")).vehicle


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_a_sample_is_drawn_without_fault_by_nearly_the_shortest_leaders(sample, plan_judge, callout_judge):
    vehicle = prepare(sample).vehicle
    plan = plan_judge.read(write_svg(plan_sheet(vehicle, load_trade()).sheet))
    assert len(plan.callouts) == len(vehicle.points)
    assert plan_judge.faults(plan) == []
    away = plan_judge.distances(plan)
    assert sum(row[k] for k, row in enumerate(away)) <= 1.1 * callout_judge.cheapest(away)
    if not any(p.pinned for p in vehicle.points):
        assert plan_judge.order_share(plan) >= 0.95


def test_the_judge_sees_what_is_wrong(alder, plan_judge):
    """A badge moved onto its neighbour's, one onto the body, a number twice, a leader that ends in the air."""
    svg = write_svg(plan_sheet(alder, load_trade()).sheet)
    plan = plan_judge.read(svg)
    one, two = [c for c in plan.callouts if not c.inset and c.leader][:2]

    def with_badge_at(callout, x, y):
        was = re.escape('class="badge" cx="{:g}" cy="{:g}"'.format(*(round(v, 3) for v in callout.hub)))
        changed, count = re.subn(was, f'class="badge" cx="{x:.3f}" cy="{y:.3f}"', svg)
        assert count == 1
        return plan_judge.faults(plan_judge.read(changed))

    found = with_badge_at(one, *two.hub)
    assert any("badges overlap" in f for f in found)
    assert any("leader ends away" in f for f in found)
    middle = plan.body.centroid
    assert any("badge on the body" in f for f in with_badge_at(one, middle.x, middle.y))
    assert any("edge of the sheet" in f for f in with_badge_at(one, 5.0, 100.0))
    twice = svg.replace(f'data-number="{one.number}"', f'data-number="{two.number}"', 1)
    assert "a number stands twice" in plan_judge.faults(plan_judge.read(twice))


def test_the_order_in_the_file_changes_nothing(alder):
    turned = replace(subject_of(alder), points=alder.points[::-1])
    assert arrange(turned, NUMBERING_BOX) == arrange(subject_of(alder), NUMBERING_BOX)


def test_no_leader_crosses_the_whole_vehicle(alder):
    found = arrange(subject_of(alder), NUMBERING_BOX)
    across = alder.layout.width * found.frame.scale
    for callout in found.callouts:
        x, y = found.places[callout.key]
        assert ((callout.x - x) ** 2 + (callout.y - y) ** 2) ** 0.5 < across


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_no_leader_runs_over_the_markers_in_the_frame_of_another_inset(sample):
    """It would read as theirs; 0.55 mm is half a marker there, 0.1 mm half a leader."""
    vehicle = prepare(sample).vehicle
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    for detail in found.details:
        marks = [Point(*found.frame.at(p.x, p.y)) for p in vehicle.points if p.id in detail.keys]
        for callout in found.placement.callouts:
            if callout.key != f"inset:{detail.letter}" and callout.leader:
                leader = LineString(callout.leader)
                assert min(leader.distance(mark) for mark in marks) > 0.65


def test_badges_use_a_second_row_where_there_is_room_and_the_first_is_full(alder):
    found = arrange(subject_of(alder), NUMBERING_BOX)
    assert found.placement.rings > 1
    x, y, w, h = found.box
    for c in found.placement.callouts:
        assert x <= c.x - c.width_mm / 2 and c.x + c.width_mm / 2 <= x + w
        assert y <= c.y - c.height_mm / 2 and c.y + c.height_mm / 2 <= y + h


@pytest.mark.parametrize(("poorness", "smallest"), [(1.09, 30), (1.12, 30), (1.18, 35), (1.4, 40)])
def test_no_smaller_plan_is_tried_than_could_be_worth_more(alder, monkeypatch, poorness, smallest):
    """Of plans at 1:30, 1:35, 1:40, each with leaders so much too long, the first is worth 30 times that."""
    tried = set()

    def attempt(subject, box, scale, crowding, poorest, real=arranging._attempt):
        if scale < 1 / 30 - 1e-9:  # a smaller one must be so much less poor
            assert poorest == pytest.approx(30 * poorness * scale)
        tried.add(round(1 / scale))
        return real(subject, box, scale, crowding, poorest)

    monkeypatch.setattr(arranging, "_attempt", attempt)
    monkeypatch.setattr(arranging, "_poorness", lambda _: poorness)
    arranging._arranged.cache_clear()
    try:
        assert arrange(subject_of(alder), NUMBERING_BOX).ratio == 30
    finally:
        arranging._arranged.cache_clear()  # of what was judged falsely
    assert max(tried) == smallest


@pytest.mark.parametrize("size", [(210.0, 148.0), (105.0, 148.0)])
def test_a_small_sheet_is_refused_with_the_one_that_would_do(alder, size):
    with pytest.raises(
        SheetTooSmallError, match="74 callouts.* use guidegen plan --paper A4, or fewer systems"
    ):
        plan_sheet(alder, load_trade(), PlanOptions(*size))


def test_points_too_many_for_a4_are_numbered_round_the_sheet_that_holds_them(alder):
    copies = (replace(p, id=f"{p.id}-{n}", x=p.x + 60 * n, number=0) for n in range(2) for p in alder.points)
    many = replace(alder, points=tuple(copies)[:140])
    with pytest.raises(SheetTooSmallError):
        arrange(subject_of(many), NUMBERING_BOX)
    sheet, found = smallest_sheet(subject_of(many))
    assert sheet in ("A3", "A2")
    assert sorted(p.number for p in numbered(many).points) == list(range(1, 141))
    with pytest.raises(SheetTooSmallError, match=f"use guidegen plan --paper {sheet}, or fewer systems"):
        plan_sheet(numbered(many), load_trade())


def test_no_crowd_is_fuller_than_an_inset_can_show():
    dense = {f"p{k}": (10.0 + k % 6 * 1.5, 20.0 + k // 6 * 1.5) for k in range(30)}
    crowds = spread(dense, CROWDINGS[2]).crowds
    assert crowds and max(map(len, crowds)) <= MOST


class TestStrips:
    crowd = {"a": (10.0, 10.0), "b": (14.0, 12.0), "c": (11.0, 15.0)}

    def test_what_cannot_fit_is_known_before_it_is_laid_out(self):
        width, height = least_size(self.crowd)
        box = (0.0, 0.0, 190.0, 100.0)
        just, less = 99.99 - GAP_MM - height, 100.01 - GAP_MM - height
        assert Strips(box, (190.0, just), True).may_hold([self.crowd])
        assert not Strips(box, (190.0, less), True).may_hold([self.crowd])
        fit = int((190.0 + GAP_MM) / (width + GAP_MM))
        assert Strips(box, (190.0, just), True).may_hold([self.crowd] * fit)
        assert not Strips(box, (190.0, just), True).may_hold([self.crowd] * (fit + 1))

    def test_a_title_too_wide_is_known_before_anything_is_laid_out(self):
        box, title = (0.0, 0.0, 190.0, 100.0), "On the driver's seat base"
        just, less = 190.0 - GAP_MM - least_width(title) - 0.01, 190.0 - GAP_MM - least_width(title) + 0.01
        assert Strips(box, (just, 90.0), False).may_hold([self.crowd], [title])
        assert not Strips(box, (less, 90.0), False).may_hold([self.crowd], [title])

    def test_as_few_details_as_need_be_become_narrower(self, alder):
        details = arrange(subject_of(alder), NUMBERING_BOX).details
        total = sum(d.width for d in details) + GAP_MM * (len(details) - 1)
        narrow = [replace(d, width=d.width - 6) for d in details]
        for spare, changed in ((0.0, 0), (-5.0, 1), (-7.0, 2)):
            strips = Strips((0.0, 0.0, total + spare, 160.0), (200.0, 100.0), True)
            found = strips.in_one(details, narrow)
            assert sum(a.width < b.width for a, b in zip(found, details, strict=True)) == changed

    def test_a_row_that_is_nearly_full_runs_from_margin_to_margin(self, alder):
        details = arrange(subject_of(alder), NUMBERING_BOX).details
        total = sum(d.width for d in details) + GAP_MM * (len(details) - 1)
        corners, _ = pack(details, (10.0, 0.0, 1.1 * total, 200.0), True)
        edges = sorted((corners[d.letter][0], corners[d.letter][0] + d.width) for d in details)
        assert edges[0][0] == pytest.approx(10.0) and edges[-1][1] == pytest.approx(10.0 + 1.1 * total)
        gaps = [b[0] - a[1] for a, b in pairwise(edges)]
        assert max(gaps) == pytest.approx(min(gaps))


def titles_of(sample):
    vehicle = prepare(SAMPLES[0].with_name(f"{sample}.yaml")).vehicle
    details = arrange(subject_of(vehicle), NUMBERING_BOX).details
    return vehicle, {d.title.replace("\n", " "): d.keys for d in details}


@pytest.mark.parametrize("sample", ["fern", "juniper", "larch", "rowan"])
def test_an_inset_of_what_is_round_a_door_is_named_after_the_door(sample):
    vehicle, titles = titles_of(sample)
    kinds = {vehicle.point(key).kind for key in titles["Habitation door"]}
    assert "habitation-door" in kinds


def title_of(vehicle, *kinds):
    return crowd_title(vehicle.layout, [p for p in vehicle.points if p.kind in kinds])


@pytest.mark.parametrize("sample", ["alder", "rowan"])
def test_an_inset_of_what_is_inside_and_outside_is_named_by_both(sample):
    vehicle, _ = titles_of(sample)
    assert title_of(vehicle, "toilet-flush", "cassette-hatch") == "Toilet and cassette hatch"


def test_an_inset_with_a_point_of_the_roof_over_others_names_the_roof_too():
    """A solar panel is not in the cupboard that it lies over."""
    vehicle, titles = titles_of("rowan")
    wheres = {vehicle.point(key).where for key in titles["Tall kitchen cupboard and roof"]}
    assert wheres == {"inside", "roof"}
    assert title_of(vehicle, "solar-panel") == "Roof"


@pytest.mark.parametrize("sample", ["alder", "juniper", "larch"])
def test_an_inset_outside_is_named_after_the_locker_as_the_places_of_its_points_are(sample):
    vehicle, titles = titles_of(sample)
    points = [vehicle.point(key) for key in titles["Gas locker, at the flap"]]
    gas = next(h for h in vehicle.layout.hatches if h.id == "gas-locker")
    assert all(p.opening == "gas-locker" and "in the gas locker" in p.place for p in points)
    assert max(p.y for p in points) < 100.0
    assert all(gas.start <= p.x <= gas.start + gas.width for p in points)


def test_an_inset_beside_a_locker_says_so(alder):
    gas = alder.layout.hatches[0]
    beside = [replace(p, opening="", x=gas.start - 100.0) for p in alder.points if p.opening == gas.id]
    assert crowd_title(alder.layout, beside) == "By the gas locker"
    inside = [replace(p, y=0.0) for p in alder.points if p.opening == gas.id]
    assert crowd_title(alder.layout, [*inside, *beside]) == "At the gas locker"


def test_an_inset_outside_far_from_every_opening_is_named_after_its_side(alder):
    walled = replace(alder, layout=replace(alder.layout, hatches=(), doors=()))
    titles = {d.title for d in smallest_sheet(subject_of(walled))[1].details}
    assert {title for title in titles if title.startswith("Outside")} == {
        "Outside, nearside, 1",
        "Outside, nearside, 2",
    }


def test_two_insets_with_one_name_say_which_is_which(alder):
    bench = [p for p in alder.points if p.furniture][:1] * 2
    here, there = ([replace(p, x=p.x + by, furniture="", room="") for p in bench] for by in (0.0, 700.0))
    beside = [replace(p, y=p.y + 900.0) for p in here]
    assert crowd_titles(alder.layout, [there, here]) == ("Inside, rear", "Inside, front")
    assert crowd_titles(alder.layout, [here, beside]) == ("Inside, nearside", "Inside, offside")
    assert crowd_titles(alder.layout, [here]) == ("Inside",)
    assert len({*crowd_titles(alder.layout, [here, there, beside])}) == 3
