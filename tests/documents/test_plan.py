"""The floor diagram's document: plan, outside, key; or an exercise with its answers."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.plan import compose, parts
from guidegen.documents.plan_outside import outside_sheets
from guidegen.drawing.svg import write_svg
from guidegen.errors import NothingToPrint
from guidegen.paper.sheets import A4
from guidegen.pipeline import prepare
from guidegen.plan.sheet import PlanOptions

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def printed(texts_of, sheets):
    return " ".join(s.item.text for sheet in sheets for s in texts_of(sheet))


def test_the_key_lies_as_the_plan_does_and_names_every_point(larch, context_of, texts_of):
    for size in ((297, 210), (210, 297)):
        context = context_of(larch, plan=PlanOptions(*size))
        plan, outside, key = parts(context)
        assert {(s.width_mm, s.height_mm) for p in (plan, outside, key) for s in p.sheets} == {size}
        words = printed(texts_of, key.sheets)
        assert all(point.name in words for point in larch.points)


def test_every_point_outside_stands_in_a_view_of_its_side(larch, context_of, texts_of):
    _, outside, _ = parts(context_of(larch))
    words = printed(texts_of, outside.sheets).split()
    sides = {"nearside", "offside", "front", "rear", "roof", "under"}
    wanted = sorted(str(p.number) for p in larch.points if p.where in sides)
    assert wanted and set(wanted) <= set(words)
    assert "Nearside" in words and "Offside" in words and "Rear" in words


def test_an_exercise_gives_no_name_away_and_its_answers_give_all(larch, context_of, texts_of):
    context = context_of(larch, plan=PlanOptions(blank=True))
    plan, lines, answers = parts(context)
    assert (lines.name, answers.name) == ("lines", "answers")
    given = {s.item.text for sheet in (*plan.sheets, *lines.sheets) for s in texts_of(sheet)}
    assert not given & {p.name for p in larch.points}
    assert not any(p.name in write_svg(sheet) for sheet in plan.sheets for p in larch.points)
    assert {str(p.number) for p in larch.points} <= set(printed(texts_of, lines.sheets).split())
    assert all(p.name in printed(texts_of, answers.sheets) for p in larch.points)


@pytest.mark.parametrize("names", [False, True])
def test_those_who_learn_are_not_told_who_the_owner_is(larch, context_of, texts_of, names):
    size = (297, 420) if names else (297, 210)
    owned = replace(larch, owner="Ada Example")
    for blank in (True, False):
        words = printed(
            texts_of, compose(context_of(owned, plan=PlanOptions(*size, (), names, blank))).sheets
        )
        assert ("Ada Example" in words) is not blank
        assert ("Exercise" in words and "Answers" in words) is blank


def test_an_exercise_of_one_system_asks_for_that_alone(larch, context_of, texts_of):
    context = context_of(larch, plan=PlanOptions(systems=("F",), blank=True))
    _, lines, answers = parts(context)
    words = printed(texts_of, answers.sheets)
    assert {p.name for p in larch.points if p.name in words} >= {
        p.name for p in larch.points if p.system == "F"
    }
    assert len(lines.sheets) == len(answers.sheets) == 1


@pytest.mark.parametrize("which", ["few", "wordy"])
def test_few_points_and_long_names_print_upright_too(request, which, context_of, texts_of):
    options = PlanOptions(210, 297)
    document = compose(context_of(request.getfixturevalue(which), plan=options))
    for s in texts_of(document):
        if not s.item.turn_deg:
            x0, y0, x1, y1 = s.box
            assert x0 >= 4.5 and x1 <= 205.5 and y0 >= 4.5 and y1 <= 292.5, s.item.text


def test_a_plan_of_systems_that_are_not_there_is_refused_with_those_that_are(larch, context_of):
    without = replace(larch, points=tuple(p for p in larch.points if p.system != "G"))
    told = (
        r"Larch 745.* has no point of gas \(LPG\); it has points of: F fresh water, H hot water and heating, "
    )
    with pytest.raises(NothingToPrint, match=told):
        parts(context_of(without, plan=PlanOptions(systems=("G",))))
    assert parts(context_of(without, plan=PlanOptions(systems=("G", "F"))))


@pytest.mark.parametrize(("sample", "sheets"), [("larch", 2), ("hazel", 1), ("fern", 1)])
def test_the_long_sides_have_a_sheet_of_their_own_where_all_would_be_small(sample, sheets, texts_of):
    context = prepare(SAMPLES / f"{sample}.yaml")
    found = outside_sheets(context, A4.landscape)
    assert len(found) == sheets
    at = [{s.item.text for s in texts_of(sheet)} for sheet in found]
    assert {"Nearside", "Offside"} <= at[0]
    assert ("Rear" in at[-1]) == any(p.where == "rear" for p in context.vehicle.points)
