"""Label sheets: every label on the sheet, none on another, ink off the edges."""

from __future__ import annotations

from itertools import combinations, islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen.errors import GuidegenError
from guidegen.paper.labels import grid, label_sheet, label_sheet_names, positions

SIZES = st.floats(min_value=10, max_value=60)
GRIDS = st.builds(
    lambda columns, rows, label, gap: (columns, rows, label, gap),
    st.integers(1, 12),
    st.integers(1, 20),
    st.tuples(SIZES, SIZES),
    st.tuples(st.floats(0, 5), st.floats(0, 5)),
)


def check_places(sheet):
    places = list(islice(positions(sheet), sheet.per_sheet))
    for place in places:
        assert place.sheet == 0
        assert place.x >= -1e-6 and place.x + place.width <= sheet.sheet.width_mm + 1e-6
        assert place.y >= -1e-6 and place.y + place.height <= sheet.sheet.height_mm + 1e-6
        x, y, width, height = place.ink
        assert min(x, y, sheet.sheet.width_mm - x - width, sheet.sheet.height_mm - y - height) >= 5 - 1e-6
        assert x > place.x and x + width < place.x + place.width
        assert y > place.y and y + height < place.y + place.height
    for one, other in combinations(places, 2):
        assert (
            one.x + one.width <= other.x + 1e-6
            or other.x + other.width <= one.x + 1e-6
            or one.y + one.height <= other.y + 1e-6
            or other.y + other.height <= one.y + 1e-6
        )
    return places


@pytest.mark.parametrize("name", label_sheet_names())
def test_labels_lie_on_the_sheet_side_by_side(name):
    assert len(check_places(label_sheet(name))) == label_sheet(name).per_sheet


@settings(deadline=None, max_examples=40)
@given(GRIDS)
def test_a_grid_of_ones_own_lies_on_the_sheet_or_is_refused(given_grid):
    columns, rows, label, gap = given_grid
    fits = columns * label[0] + (columns - 1) * gap[0] <= 210 and rows * label[1] + (rows - 1) * gap[1] <= 297
    if fits:
        check_places(grid("own", columns, rows, label, gap))
    else:
        with pytest.raises(GuidegenError, match="own"):
            grid("own", columns, rows, label, gap)


# Numbers of labels and margins of the common A4 label sheets; common practice, no source.
@pytest.mark.parametrize(
    ("name", "count", "left", "top"),
    [
        ("a4-65", 65, 4.75, 10.7),
        ("a4-24", 24, 6.5, 12.9),
        ("a4-24-wide", 24, 0, 4.5),
        ("a4-21", 21, 7.25, 15.15),
    ],
)
def test_grids_stand_in_the_middle_of_the_sheet(name, count, left, top):
    sheet = label_sheet(name)
    assert sheet.per_sheet == count
    assert (sheet.left_mm, sheet.top_mm) == pytest.approx((left, top))


def test_labels_run_row_by_row_from_sheet_to_sheet():
    sheet = label_sheet("a4-21")
    places = list(islice(positions(sheet, start=20), 24))
    assert [place.sheet for place in places] == [0, 0, *[1] * 21, 2]
    first, second = places[2], places[3]
    assert first.y == second.y and second.x - first.x == pytest.approx(63.5 + 2.5)
    assert places[5].y - first.y == pytest.approx(38.1)


@pytest.mark.parametrize("start", [0, 22, -1])
def test_a_start_that_is_not_on_the_sheet_is_refused(start):
    with pytest.raises(GuidegenError, match="1 to 21"):
        positions(label_sheet("a4-21"), start)


def test_unknown_sheets_are_refused_with_those_there_are():
    with pytest.raises(GuidegenError, match="a4-24"):
        label_sheet("a4-99")
