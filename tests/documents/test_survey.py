"""The survey sheet: squares where the file means them, a line for every point, words to type."""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path

import pytest
import yaml
from msgspec.structs import replace

from guidegen.documents import check_sheet
from guidegen.documents.survey import compose, compose_survey
from guidegen.documents.survey_plan import apart
from guidegen.documents.survey_rows import SIDES
from guidegen.drawing.primitives import Circle, Line, Rect
from guidegen.plan.frame import OVERHANG_MM
from guidegen.plan.numbering import numbered
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment, PointEntry
from guidegen.vehicle.grid import grid_of
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.model import HEIGHTS
from guidegen.vehicle.places import resolve
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def grid_lines(seen, sheet):
    """x of the upright lines and y of the level ones, in mm on the sheet, in order."""
    lines = [s.item.points for s in seen(sheet) if getattr(s.item, "css", "") == "grid"]
    upright = sorted({round(a[0], 3) for a, b in lines if math.isclose(a[0], b[0])})
    level = sorted({round(a[1], 3) for a, b in lines if math.isclose(a[1], b[1])})
    return upright, level


def names_of(seen, sheet):
    return [s.item for s in seen(sheet) if getattr(s.item, "css", "") == "grid-name"]


@pytest.mark.parametrize("nearside", ["left", "right"])
@pytest.mark.parametrize("id", layout_ids())
def test_the_letter_and_figure_beside_a_square_are_those_of_the_file(id, nearside, seen):
    """Letters run from the front, which is at the left; figures from the nearside."""
    layout = read_layout(id)
    sheet = compose_survey(layout, nearside=nearside).sheets[0]
    upright, level = grid_lines(seen, sheet)
    grid = grid_of(layout)
    assert len(upright) == len(grid.columns) + 1 and len(level) == len(grid.rows) + 1
    names = names_of(seen, sheet)
    for n, letter in enumerate(grid.columns):
        found = [name.x for name in names if name.text == letter]
        assert len(found) == 2 and all(upright[n] < x < upright[n + 1] for x in found)
    bands = list(zip(level, level[1:], strict=False))
    for (low, high), row in zip(bands if nearside == "right" else bands[::-1], grid.rows, strict=True):
        found = [name.y for name in names if name.text == str(row)]
        assert len(found) == 2 and all(low < y < high for y in found)


def test_the_plan_is_large(larch, context_of, seen):
    upright, _ = grid_lines(seen, compose(context_of(larch)).sheets[0])
    assert upright[-1] - upright[0] >= 230  # of 297 mm


@pytest.mark.parametrize("id", layout_ids())
def test_the_ceiling_is_drawn_below_the_roof(id, seen):
    """Each height has a line of its own over the picture of the vehicle, the roof's the highest."""
    lines = [s.item for s in seen(compose_survey(read_layout(id)).sheets[0]) if isinstance(s.item, Line)]
    levels = [i.points[0][1] for i in lines if i.style.dash_mm == (1.2, 0.8) and len(i.points) == 3]
    assert len(levels) == len(HEIGHTS)
    assert levels == sorted(levels) and levels[1] - levels[0] > 1.5, "mm on paper"


def marks_of(seen, sheet):
    """The middles of the marks of known points, in mm on the sheet, in the order of the points."""
    return [middle(s.item) for s in seen(sheet) if getattr(s.item, "css", "") == "mark"]


def middle(shape):
    """Of a disc, of a ring as a path, or of a regular outline."""
    if isinstance(shape, Circle):
        return (shape.x, shape.y)
    if hasattr(shape, "commands"):
        corners = [command[-2:] for command in shape.commands if len(command) > 1]
        return tuple((min(c[axis] for c in corners) + max(c[axis] for c in corners)) / 2 for axis in (0, 1))
    return tuple(math.fsum(c[axis] for c in shape.points) / len(shape.points) for axis in (0, 1))


@pytest.mark.parametrize("nearside", ["left", "right"])
@pytest.mark.parametrize("sample", sorted(path.stem for path in SAMPLES.glob("*.yaml")))
def test_a_mark_stands_in_the_square_that_the_list_names(sample, nearside, context_of, seen, texts_of):
    """Read by eye: its middle is 1 mm off any line between two squares, on the plan as it is drawn."""
    vehicle = replace(numbered(read_vehicle(SAMPLES / f"{sample}.yaml")), nearside=nearside)
    document = compose(context_of(vehicle))
    upright, level = grid_lines(seen, document.sheets[0])
    if nearside == "left":
        level.reverse()
    grid, found = grid_of(vehicle.layout), texts_of(document)
    marks = marks_of(seen, document.sheets[0])
    assert len(marks) == len(vehicle.points)
    for point, (x, y) in zip(vehicle.points, marks, strict=True):
        row = next(s for s in found if s.item.text == str(point.number) and s.sheet > 0)
        level_with = [s.item.text for s in found if s.sheet == row.sheet and abs(s.item.y - row.item.y) < 0.5]
        column = sum(x > line for line in upright[1:-1])
        across = sum(y < line if nearside == "left" else y > line for line in level[1:-1])
        assert f"{grid.columns[column]}{grid.rows[across]}" in level_with, point.name
        lines = [*(abs(x - line) for line in upright[1:-1]), *(abs(y - line) for line in level[1:-1])]
        assert min(lines) > 1.0, point.name
    near = [math.dist(a, b) for n, a in enumerate(marks) for b in marks[:n]]
    assert min(near) > 1.9, "and none hides another"


def test_a_mark_is_moved_no_further_than_it_has_to_be(larch, context_of, seen):
    """Half a square at most, and along its wall where it stands on one."""
    sheet = compose(context_of(larch)).sheets[0]
    upright, level = grid_lines(seen, sheet)
    layout = larch.layout
    scale = (upright[-1] - upright[0]) / (layout.length + layout.drawbar)
    for point, (x, y) in zip(larch.points, marks_of(seen, sheet), strict=True):
        true = (upright[0] + (point.x + layout.drawbar) * scale, level[-1] - point.y * scale)
        assert math.dist(true, (x, y)) < 8, point.name
        if point.y in (0, layout.width):
            assert y == pytest.approx(true[1], abs=0.01), point.name


def test_every_known_point_can_be_counted_on_the_plan():
    """No mark lies on another: 2 mm apart at least."""
    same = [(10.0, 10.0)] * 5 + [(11.0, 10.0), (30.0, 10.0)]
    places = apart(same, [(0.0, 0.0, 40.0, 40.0)] * len(same))
    assert len(places) == len(same) and places[0] == same[0] and places[-1] == same[-1]
    assert all(math.dist(a, b) > 1.9 for n, a in enumerate(places) for b in places[:n])


def test_a_crowd_stays_in_its_square_and_can_be_counted():
    places = apart([(0.0, 9.0)] * 200, [(0.0, 0.0, 14.0, 14.0)] * 200)
    assert all(0 <= x <= 14 and 0 <= y <= 14 for x, y in places)
    assert len(set(places)) == 200
    assert all(math.dist(a, b) > 1.9 for n, a in enumerate(places[:30]) for b in places[:n])


def test_what_is_under_the_bonnet_is_on_no_side(context_of, texts_of):
    vehicle = read_vehicle(SAMPLES / "larch.yaml")
    (battery,) = vehicle.of_kind("vehicle-battery")
    found = texts_of(compose(context_of(replace(vehicle, points=(battery,)))))
    row = next(s for s in found if s.item.text == battery.name)
    same_line = [s.item.text for s in found if s.sheet == row.sheet and abs(s.item.y - row.item.y) < 1.5]
    assert battery.height in same_line and not set(SIDES) & set(same_line)


def test_every_missing_point_has_an_open_circle_and_the_words_of_the_file(few, context_of, texts_of, seen):
    document = compose(context_of(few))
    words = [s.item.text for s in texts_of(document)]
    for item in few.to_locate:
        assert item.name in words
        assert any(word.startswith(f"kind: {item.kind}") for word in words)
    circles = [s for s in seen(document) if getattr(s.item, "css", "") == "open"]
    assert len(circles) >= len(few.to_locate) + 3, "and some for what nobody thought of"


def test_what_is_to_be_found_has_the_same_mark_on_every_sheet_and_none_that_reads_as_a_number(
    context_of, texts_of
):
    """Until it has a number of its own; workbooks: tests/desk/test_workbook.py."""
    vehicle = numbered(read_vehicle(SAMPLES / "sorrel.yaml"))
    assert len(vehicle.to_locate) == 1
    for document in (compose(context_of(vehicle)), check_sheet.compose(context_of(vehicle))):
        assert [s.item.text for s in texts_of(document) if s.item.text.startswith("?")] == ["?1"]


def test_all_words_for_heights_and_sides_head_a_column(few, context_of, texts_of):
    words = Counter(s.item.text for s in texts_of(compose(context_of(few)).sheets[1]))
    for word in (*HEIGHTS, *SIDES):
        assert words[word] >= 1


def test_words_for_heights_stand_over_boxes_and_nowhere_else(larch, few, context_of, texts_of, seen):
    for vehicle in (larch, few):
        for sheet in compose(context_of(vehicle)).sheets[1:]:
            heads = [s for s in texts_of(sheet) if s.item.turn_deg and s.item.text == "under-floor"]
            circles = [s for s in seen(sheet) if getattr(s.item, "css", "") == "open"]
            assert len(heads) == bool(circles)
            assert all(c.dy + c.item.y > head.item.y for c in circles for head in heads)


@pytest.mark.parametrize("id", layout_ids())
def test_the_examples_can_be_typed_as_they_stand(id, texts_of):
    layout = read_layout(id)
    words = [s.item.text for s in texts_of(compose_survey(layout)) if s.item.text.startswith("- {kind")]
    places = []
    for text in words:
        entry = PointEntry.read(yaml.load(text, yaml.BaseLoader)[0])
        places.append(resolve(entry, load_trade().kinds[entry.kind], layout, "left"))
    assert [place.where for place in places] == ["inside", "offside"]


@pytest.mark.parametrize("sample", ["willow", "larch", "juniper"])
def test_what_is_reached_from_outside_is_not_said_to_be_inside(sample, context_of, texts_of):
    vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
    found = texts_of(compose(context_of(vehicle)))
    inside = {(s.sheet, round(s.item.y)) for s in found if s.item.text == "inside" and s.item.size_pt == 8.5}
    for s in found:
        if s.item.text.startswith(("Outside, through", "Under the bonnet")):
            assert not {(s.sheet, round(s.item.y) + n) for n in (-1, 0, 1, 2)} & inside, s.item.text


@pytest.mark.parametrize("sample", ["hazel", "larch", "fern"])
def test_letters_stand_close_to_the_plan_and_clear_of_it(sample, context_of, seen):
    vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
    sheet = compose(context_of(vehicle)).sheets[0]
    upright, level = grid_lines(seen, sheet)
    letters = sorted({round(name.y, 3) for name in names_of(seen, sheet) if name.text.isalpha()})
    reach = OVERHANG_MM * (upright[-1] - upright[0]) / (vehicle.layout.length + vehicle.layout.drawbar)
    above, below = level[0] - letters[0], letters[1] - level[-1]
    assert reach < above < reach + 4 and reach + 2 < below < reach + 6


def test_the_box_for_a_square_has_a_place_for_the_letter_and_one_for_the_figure(few, context_of, seen):
    """So that I and O are no 1 and 0, whoever writes them."""
    document = compose(context_of(few))
    boxes = [s for s in seen(document) if isinstance(s.item, Rect) and s.item.width == 15.0]
    assert boxes
    halves = [
        (s.sheet, s.item.points[0][0])
        for s in seen(document)
        if isinstance(s.item, Line) and s.item.style.dash_mm
    ]
    for one in boxes:
        assert (one.sheet, one.item.x + 7.5) in halves


def test_a_known_point_is_printed_with_words_that_lead_back_to_its_square(larch, context_of, texts_of):
    """What stands in its row, typed as `grid`, `on` and `height`, resolves to the same square and height."""
    document, trade = compose(context_of(larch)), load_trade()
    grid = grid_of(larch.layout)
    found = texts_of(document)
    for point in larch.points:
        row = next(s for s in found if s.item.text == str(point.number) and s.sheet > 0)
        level = [s.item.text for s in found if s.sheet == row.sheet and abs(s.item.y - row.item.y) < 0.5]
        square = grid.name_at(point.x, point.y)
        assert square in level and point.height in level
        typed = {"kind": point.kind, "grid": square, "height": point.height}
        if point.where in SIDES[1:]:
            typed["on"] = point.where
        entry = PointEntry.read(typed)
        place = resolve(entry, trade.kinds[point.kind], larch.layout, larch.nearside)
        assert place.height == point.height
        assert grid.name_at(place.x, place.y) == square, point.id
        if point.where in SIDES[1:]:
            assert place.where == point.where


def test_boxes_for_height_and_side_stand_in_every_line_to_fill_in(few, context_of, seen):
    document = compose(context_of(few))
    boxes = [s.item for s in seen(document) if getattr(s.item, "width", 0) == pytest.approx(3.75)]
    circles = [s for s in seen(document) if getattr(s.item, "css", "") == "open"]
    assert len(boxes) == len(circles) * (len(HEIGHTS) + len(SIDES))


def test_a_bare_layout_asks_for_what_the_equipment_requires_and_no_more(texts_of):
    layout = read_layout("van-short")
    equipment = Equipment.read({"fresh_water": {"tank": "60 l"}})
    words = {s.item.text for s in texts_of(compose_survey(layout, equipment))}
    assert {"Fresh water filler", "Fresh water drain", "Water pump", "Water pump switch"} <= words
    assert {"Fire extinguisher", "Smoke alarm"} <= words
    assert "Gas locker" not in words and "Carbon monoxide alarm" not in words


def test_a_bare_layout_without_equipment_asks_for_everything_once(texts_of):
    words = Counter(s.item.text for s in texts_of(compose_survey(read_layout("van-short"))))
    kinds = {kind for r in load_trade().requirements for kind in r.kinds}
    for kind in kinds - {"isolation-valve"}:
        assert words[f"kind: {kind}"] == 1
    for appliance in ("hob", "grill", "oven", "fridge", "water-heater", "space-heater"):
        assert words[f"kind: isolation-valve, serves: {appliance}"] == 1, "a valve says what it shuts off"
    assert words["not fitted"] >= 1


def test_long_names_stay_on_the_sheet(wordy, many, context_of, texts_of):
    for vehicle in (wordy, many, replace(wordy, points=wordy.points[:5])):
        for s in texts_of(compose(context_of(vehicle))):
            x0, y0, x1, y1 = s.box
            assert x0 >= 5 and x1 <= 292 and y0 >= 5 and y1 <= 205
