"""Training sheets: an exercise without names, its answers, each system alone, and large for a wall."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.exercise import in_frames, numbered_row
from guidegen.documents.training import compose
from guidegen.drawing.primitives import Circle, Rect
from guidegen.paper.flow import Frame
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(scope="module")
def sheets(larch, context_of):
    return compose(context_of(larch)).sheets


def named(sheets, title):
    return [s for s in sheets if s.title.startswith(title)]


def badges_of(seen, sheet):
    """Numbers in badges: texts at the middle of an item of class badge."""
    items = list(seen(sheet))
    middles = set()
    for s in items:
        if getattr(s.item, "css", "") != "badge":
            continue
        if isinstance(s.item, Circle):
            middles.add((round(s.dx + s.item.x * s.scale, 1), round(s.dy + s.item.y * s.scale, 1)))
        elif isinstance(s.item, Rect):
            x0, y0, x1, y1 = s.box
            middles.add((round((x0 + x1) / 2, 1), round((y0 + y1) / 2, 1)))
    found = []
    for s in items:
        if getattr(s.item, "text", "").isdigit():
            x0, y0, x1, y1 = s.box
            at = ((x0 + x1) / 2, (y0 + y1) / 2)
            if any(abs(at[0] - x) < 0.3 and abs(at[1] - y) < 0.3 for x, y in middles):
                found.append(int(s.item.text))
    return Counter(found)


def test_the_exercise_has_every_number_on_the_plan_and_once_beside_a_line(sheets, larch, seen):
    numbers = Counter(p.number for p in larch.points)
    plan, *lines = named(sheets, "Exercise")
    assert badges_of(seen, plan) == numbers
    beside = sum((badges_of(seen, sheet) for sheet in lines), Counter())
    assert beside == numbers


def test_the_exercise_gives_no_name_away(sheets, larch, texts_of):
    printed = {s.item.text for sheet in named(sheets, "Exercise") for s in texts_of(sheet)}
    assert not printed & {p.name for p in larch.points}, "not over an inset either"
    titles = {s.item.text for s in texts_of(named(sheets, "Answers")[0])} - printed
    assert "Gas locker" in titles, "of an inset, which the answers have"
    assert {"Name", "Date"} <= printed


def test_each_page_of_lines_counts_its_own(sheets, seen, texts_of):
    """Their sum is the number of points: a trainer adds the pages up."""
    pages = named(sheets, "Exercise")[1:]
    counted = []
    for page in pages:
        (words,) = [s.item.text for s in texts_of(page) if s.item.text.startswith("Right on")]
        assert words.startswith("Right on this page, of ")
        counted.append(int(words.split()[-1]))
    assert counted == [badges_of(seen, page).total() for page in pages]


def test_shapes_and_colours_are_explained(sheets, larch, texts_of):
    trade = load_trade()
    used = [s.name for s in trade.systems.values() if s.letter in {p.system for p in larch.points}]
    for title in ("Exercise", "Answers", "Wall chart"):
        texts = list(texts_of(named(sheets, title)[0]))
        assert {name.lower() for name in used} <= {t.item.text.lower() for t in texts}


def test_marks_are_explained_from_the_margin_on_and_clear_of_the_diagram(sheets, texts_of):
    for title in ("Exercise", "Answers", "Wall chart"):
        texts = {t.item.text: t for t in texts_of(named(sheets, title)[0])}
        gas, heading = texts["Gas (LPG)"], texts[f"{title}: Larch 745 Garage"]
        mark_mm = 3.6 * gas.scale  # its shape and the space before its name
        assert gas.box[0] - mark_mm == pytest.approx(heading.box[0], abs=0.6)
        assert texts["Offside"].box[1] - gas.box[3] > 1.0


def test_lines_are_long_and_far_enough_apart_to_write_on(sheets, seen):
    (first, *_) = named(sheets, "Exercise")[1:]
    lines = sorted(
        (s.dy + s.item.points[0][1], s.dx + s.item.points[0][0], s.item.points[1][0] - s.item.points[0][0])
        for s in seen(first)
        if getattr(s.item, "points", None) and s.item.points[0][1] == s.item.points[1][1]
        if 60 < s.item.points[1][0] - s.item.points[0][0] < 100
    )
    column = [y for y, x, _ in lines if abs(x - lines[-1][1]) < 0.1]
    assert len(column) > 10
    assert min(b - a for a, b in zip(column, column[1:], strict=False)) >= 7


def test_the_answers_name_every_number(sheets, larch, texts_of, seen):
    plan, *keys = named(sheets, "Answers")
    assert badges_of(seen, plan) == Counter(p.number for p in larch.points)
    words = " ".join(s.item.text for sheet in keys for s in texts_of(sheet))
    for point in larch.points:
        assert point.name in words
    assert sum((badges_of(seen, sheet) for sheet in keys), Counter()) == badges_of(seen, plan)


def test_the_answers_fill_their_pages(sheets, texts_of):
    _, *keys = named(sheets, "Answers")
    for sheet in keys:
        key = [s for s in texts_of(sheet) if 30 < s.box[1] < 190]
        assert max(s.box[3] for s in key) > 0.75 * 210
        assert min(s.item.size_pt * s.scale for s in key) >= 8.5


def test_each_system_stands_alone_and_the_others_are_faint_dots(sheets, larch, seen, texts_of):
    by_system = {}
    for point in larch.points:
        by_system.setdefault(point.system, []).append(point)
    titles = {"G": "Gas (LPG)", "F": "Fresh water", "W": "Waste water and toilet", "M": "230 V electrics"}
    for letter, title in titles.items():
        own = by_system[letter]
        pages = named(sheets, title)
        assert len(pages) <= 2, "the plan, and its key below or on the next page, names on both"
        badges = sum((badges_of(seen, sheet) for sheet in pages), Counter())
        numbers = [p.number for p in own]
        assert badges in (Counter(numbers * 2), Counter(numbers * 3)), "on the plan and in the key"
        ghosts = [s for s in seen(pages[0]) if isinstance(s.item, Circle) and s.item.style.fill == "#b9b9b9"]
        assert len(ghosts) >= len(larch.points) - len(own), "in an inset as well as on the plan"
        words = " ".join(s.item.text for sheet in pages for s in texts_of(sheet))
        assert all(p.name.split(",")[0] in words for p in own)


@pytest.mark.parametrize("sample", ["larch", "willow", "fern"])
def test_a_key_with_places_is_read_from_a_screen(sample, context_of, texts_of):
    """10 pt at least: where the plan leaves less room, they have a page of their own."""
    vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
    pages = [
        s for s in compose(context_of(vehicle)).sheets
        if not s.title.startswith(("Exercise", "Answers", "Wall"))
    ]  # fmt: skip
    places = {p.place for p in vehicle.points}
    sizes = [s.item.size_pt * s.scale for page in pages for s in texts_of(page) if s.item.text in places]
    assert sizes and min(sizes) >= 8.5 * 1.2 - 1e-6


def places_of(seen, sheet):
    """Where the badge of each number stands on a sheet, from the first of them."""
    found = {}
    for s in seen(sheet):
        if getattr(s.item, "text", "").isdigit() and s.item.anchor == "middle":
            x0, _, x1, y1 = s.box
            found.setdefault(int(s.item.text), ((x0 + x1) / 2, y1))
    return found


def test_a_number_stands_at_the_same_place_on_every_sheet(sheets, larch, seen):
    whole = places_of(seen, named(sheets, "Exercise")[0])
    for title, system in (("Gas (LPG)", "G"), ("Fresh water", "F")):
        alone = places_of(seen, named(sheets, title)[0])
        numbers = [p.number for p in larch.points if p.system == system]
        shifts = [[alone[n][axis] - whole[n][axis] for n in numbers] for axis in (0, 1)]
        assert max(map(abs, shifts[0])) < 4 and max(shifts[1]) - min(shifts[1]) < 7, (
            "but for the whole moved up"
        )


def test_numbers_of_a_system_are_larger_than_on_the_exercise(sheets, larch, seen):
    """Half as large again where there is room."""
    systems = {s.letter: s.name[:1].upper() + s.name[1:] for s in load_trade().systems.values()}
    sizes = []
    for system in {p.system for p in larch.points}:
        sheet = named(sheets, systems[system])[0]
        badges = [s for s in seen(sheet) if getattr(s.item, "anchor", "") == "middle" and s.scale == 1]
        for number in (str(p.number) for p in larch.points if p.system == system):
            sizes.append(max(s.item.size_pt for s in badges if s.item.text == number))
    assert min(sizes) >= 8.5 and sorted(sizes)[len(sizes) // 2] >= 11


def test_a_short_key_is_large_under_its_plan(few, context_of, texts_of):
    """12 pt: capitals of 1/200 of 0.5 m, the width of a table, are 2.5 mm (common practice, no source)."""
    names = {p.name for p in few.points}
    others = ("Exercise", "Answers", "Wall")
    pages = [s for s in compose(context_of(few)).sheets if not s.title.startswith(others)]
    sizes = [s.item.size_pt * s.scale for sheet in pages for s in texts_of(sheet) if s.item.text in names]
    assert sizes and min(sizes) >= 12


def test_a_short_key_is_dealt_out_evenly(larch, context_of):
    """Seven rows in three columns: 3, 2 and 2."""
    context = context_of(larch)
    rows = [numbered_row(context, point) for point in larch.points[:7]]
    frames = [Frame(n * 70.0, 0.0, 64.0, 100.0) for n in range(3)]
    (page,) = in_frames(rows, frames)
    assert Counter(one.x for one in page) == {0.0: 3, 70.0: 2, 140.0: 2}


def test_all_of_it_is_printed_on_one_side(sheets, texts_of):
    """The plan lies beside the lines and the key that belong to it."""
    for sheet in sheets:
        assert any("on one side" in s.item.text for s in texts_of(sheet))


def test_the_wall_sheets_are_a3_with_large_type(sheets, larch, seen, texts_of):
    plan, *keys = named(sheets, "Wall")
    for sheet in (plan, *keys):
        assert (sheet.width_mm, sheet.height_mm) == (420, 297)  # ISO 216
    numbers = {str(p.number) for p in larch.points}
    large = [s for s in texts_of(plan) if s.item.text in numbers]
    assert min(s.item.size_pt * s.scale for s in large) >= 10
    words = [s for sheet in keys for s in texts_of(sheet)]
    assert all(p.name in " ".join(s.item.text for s in words) for p in larch.points)
    assert min(s.item.size_pt * s.scale for s in words if s.item.text == larch.points[0].name) >= 13
    assert len(keys) == 1
    foot = max(s.box[3] for s in words if s.item.size_pt * s.scale >= 13)
    assert foot > 0.8 * 297, "the key fills its sheet"


def test_other_paper_than_a4_is_named_where_it_is_printed(sheets, texts_of):
    for sheet in sheets:
        said = " ".join(s.item.text for s in texts_of(sheet))
        assert ("Print on A3 paper, " in said) == (max(sheet.width_mm, sheet.height_mm) > 300)


def test_the_key_for_the_wall_is_larger_where_there_is_less_of_it(few, context_of, texts_of):
    key = named(compose(context_of(few)).sheets, "Wall")[-1]
    names = {p.name for p in few.points}
    assert min(s.item.size_pt * s.scale for s in texts_of(key) if s.item.text in names) >= 20


def test_no_owner_is_named_where_others_learn(larch, context_of, texts_of):
    owned = replace(larch, owner="Q. Specimen")
    assert not any("Q. Specimen" in s.item.text for s in texts_of(compose(context_of(owned))))


def test_pages_of_lines_are_filled_alike(sheets, seen):
    many = [badges_of(seen, sheet).total() for sheet in named(sheets, "Exercise")[1:]]
    assert len(many) > 1 and max(many) - min(many) <= 1


@pytest.mark.parametrize("which", ["few", "wordy"])
def test_few_points_and_long_names_stay_on_the_sheet(request, context_of, texts_of, which):
    document = compose(context_of(request.getfixturevalue(which)))
    for s in texts_of(document):
        if not s.item.turn_deg:
            sheet = document.sheets[s.sheet]
            x0, y0, x1, y1 = s.box
            assert x0 >= 5 and x1 <= sheet.width_mm - 5 and y0 >= 5 and y1 <= sheet.height_mm - 5
