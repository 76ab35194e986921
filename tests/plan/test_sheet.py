"""Plan sheets of every size and kind follow the arrangement that the numbers run round."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from guidegen.drawing.svg import write_svg
from guidegen.pipeline import prepare
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.sheet import PlanOptions, plan_sheet
from guidegen.trade.load import load_trade

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
LYING, UPRIGHT = PlanOptions(297, 210), PlanOptions(210, 297)
KINDS = {
    "upright": UPRIGHT,
    "A3": PlanOptions(420, 297),
    "A3 upright": PlanOptions(297, 420),
    "gas alone": PlanOptions(297, 210, systems=("G",)),
    "water upright": PlanOptions(210, 297, systems=("F",)),
}


@pytest.fixture(scope="module", params=["larch", "fern"])
def vehicle(request):
    """A motorhome with a left nearside, and a caravan with a right one."""
    return prepare(SAMPLES / f"{request.param}.yaml").vehicle


def drawn(vehicle, options, plan_judge):
    return plan_judge.read(write_svg(plan_sheet(vehicle, load_trade(), options).sheet))


def from_body(plan):
    """Each number's badge from the body's middle, over the body's length; insets left out."""
    x, y = plan.body.centroid.coords[0]
    left, top, right, bottom = plan.body.bounds
    long = max(right - left, bottom - top)
    return {c.number: ((c.hub[0] - x) / long, (c.hub[1] - y) / long) for c in plan.callouts if not c.inset}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_sheet_is_clean_and_its_numbers_run_round(vehicle, kind, plan_judge):
    plan = drawn(vehicle, KINDS[kind], plan_judge)
    assert plan_judge.faults(plan) == []
    assert plan_judge.order_share(plan) >= 0.95
    asked = KINDS[kind].systems
    assert {c.number for c in plan.callouts} == {
        p.number for p in vehicle.points if not asked or p.system in asked
    }


@pytest.mark.parametrize("kind", KINDS)
def test_a_number_is_found_at_the_same_place_on_every_sheet(vehicle, kind, plan_judge):
    whole = from_body(drawn(vehicle, LYING, plan_judge))
    here = from_body(drawn(vehicle, KINDS[kind], plan_judge))
    turned = KINDS[kind].orientation == "portrait"
    assert here.keys() <= whole.keys()
    for number, place in here.items():
        x, y = whole[number]
        assert place == pytest.approx((-y, x) if turned else (x, y), abs=1e-3), number


def test_a3_is_a4_enlarged_by_the_root_of_two(vehicle, plan_judge):
    """ISO 216: the next larger size of a sheet, which is why ISO 128-2 steps line widths by the same."""
    small, large = (drawn(vehicle, PlanOptions(*size), plan_judge) for size in ((297, 210), (420, 297)))
    assert math.sqrt(large.body.area / small.body.area) == pytest.approx(2**0.5, rel=0.001)


def test_an_upright_vehicle_has_its_front_above_and_its_nearside_where_one_looks_for_it(vehicle):
    frame = plan_sheet(vehicle, load_trade(), UPRIGHT).arrangement.frame
    middle = vehicle.layout.width / 2
    assert frame.at(0, middle)[1] < frame.at(vehicle.layout.length, middle)[1]
    nearside, offside = frame.at(1000, 0)[0], frame.at(1000, vehicle.layout.width)[0]
    assert (nearside < offside) is (vehicle.nearside == "left")


@pytest.fixture(scope="module")
def sheet(vehicle):
    return plan_sheet(vehicle, load_trade(), PlanOptions(297, 420, names=True)).sheet


class TestNames:
    def test_no_leader_meets_anything_and_the_labels_run_round_as_the_numbers(self, sheet, plan_judge):
        plan = plan_judge.read(write_svg(sheet))
        assert plan_judge.faults(plan) == []
        labels = sum(not c.inset for c in plan.callouts)
        exchanges = (1 - plan_judge.order_share(plan)) * labels / 3  # each parts three pairs of neighbours
        assert exchanges < 2.5  # where leaders would meet

    def test_every_point_is_named_once(self, vehicle, sheet):
        for point in vehicle.points:
            said = words_of(sheet, point.id)
            assert " ".join(said).replace("- ", "-") == point.name

    def test_to_fill_in_there_are_numbers_and_lines_at_the_same_places(self, vehicle, sheet, plan_judge):
        blank, answers = (
            plan_sheet(vehicle, load_trade(), PlanOptions(297, 420, names=True, **{task: True})).sheet
            for task in ("blank", "answers")
        )
        for point in vehicle.points:
            assert words_of(blank, point.id) == [str(point.number)]
            number, *name = words_of(answers, point.id)
            assert number == str(point.number)
            assert " ".join(name).replace("- ", "-") == point.name
        filled, empty = (plan_judge.read(write_svg(s)) for s in (answers, blank))
        assert plan_judge.faults(filled) == []
        assert [c.hub for c in empty.callouts] == [c.hub for c in filled.callouts]

    @pytest.mark.parametrize(
        ("size", "advice"), [((210, 297), "--paper A3"), ((420, 297), "--orientation portrait")]
    )
    def test_a_sheet_that_cannot_hold_them_says_which_would(self, vehicle, size, advice):
        with pytest.raises(SheetTooSmallError, match=advice):
            plan_sheet(vehicle, load_trade(), PlanOptions(*size, names=True))


def words_of(sheet, point):
    """The texts in the callout of a point."""

    def groups(items):
        for item in items:
            if hasattr(item, "items"):
                if ("data-point", point) in item.attributes:
                    yield item
                yield from groups(item.items)

    (group,) = groups(sheet.items)
    return [item.text for item in group.items if hasattr(item, "text")]
