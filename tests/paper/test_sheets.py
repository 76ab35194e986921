"""Paper sizes after ISO 216."""

from __future__ import annotations

import math

import pytest

from guidegen.paper.sheets import A4, Margins, iso_a, margins_for, on_grid, paper

# ISO 216, table of the A series (trimmed sizes in mm), from memory.
ISO_216 = [(841, 1189), (594, 841), (420, 594), (297, 420), (210, 297), (148, 210), (105, 148), (74, 105)]


@pytest.mark.parametrize(("number", "size"), list(enumerate(ISO_216)))
def test_sizes_are_those_of_the_standard(number, size):
    sheet = iso_a(number)
    assert (sheet.width_mm, sheet.height_mm) == size
    assert sheet.height_mm / sheet.width_mm == pytest.approx(math.sqrt(2), rel=0.01)
    assert paper(f"a{number}") == sheet


@pytest.mark.parametrize("name", ["A8", "B5", "", "A10", "letter"])
def test_other_sizes_are_refused(name):
    with pytest.raises(ValueError):
        paper(name)


def test_three_dl_panels_make_a_landscape_a4_and_enter_the_dl_envelope():
    panel = paper("DL")
    assert 3 * panel.width_mm == A4.landscape.width_mm
    assert panel.height_mm == A4.landscape.height_mm
    assert panel.height_mm < 220 and panel.width_mm < 110  # DL envelope, ISO 269 (from memory)


def test_a_sheet_turns_and_turns_back():
    assert (A4.landscape.width_mm, A4.landscape.height_mm) == (297, 210)
    assert A4.landscape.portrait == A4 == A4.portrait


def test_margins_leave_a_box_or_say_that_they_do_not():
    assert A4.inside(margins_for(A4)) == (12, 12, 186, 273)
    with pytest.raises(ValueError):
        A4.inside(Margins.all_round(105))


@pytest.mark.parametrize(("length", "expected"), [(0, 0), (0.1, 4), (4, 4), (4.0000001, 4), (9, 12)])
def test_the_grid_rounds_up(length, expected):
    assert on_grid(length) == expected
