"""Groups of rows: no heading with one of them alone, no row atop a column without its heading."""

from __future__ import annotations

from itertools import repeat

import pytest

from guidegen.paper.blocks import Heading, Paragraph
from guidegen.paper.containers import Columns, closer
from guidegen.paper.flow import Frame, flow, flow_balanced
from guidegen.paper.groups import grouped, original
from guidegen.paper.text import TextStyle

STYLE = TextStyle(10)


def group(title, count):
    rows = [Paragraph(text=f"{title}{n}", style=STYLE) for n in range(count)]
    head, again = (Heading(text=text, style=STYLE) for text in (title, f"{title}, continued"))
    return grouped(head, rows, again)


def words(placed):
    """Per frame, what is read from its top down."""
    return [[item.text for one in column for item in one.draw()] for column in placed]


def lines(count):
    """A frame for so many lines and the space below a heading."""
    return Frame(0.0, 0.0, 60.0, count * STYLE.line_mm + 2.1)


def test_what_begins_a_frame_amid_a_group_stands_under_its_heading_again():
    first, second = words(flow(group("Gas", 7), repeat(lines(5))))
    assert first == ["Gas", "Gas0", "Gas1", "Gas2", "Gas3"]
    assert second == ["Gas, continued", "Gas4", "Gas5", "Gas6"]


def test_a_heading_has_two_rows_below_it_and_the_last_two_stay_together():
    before = tuple(Paragraph(text=str(n), style=STYLE) for n in range(3))
    first, second, *_ = words(flow((*before, *group("Gas", 4)), repeat(lines(6))))
    assert first == ["0", "1", "2"] and second[:3] == ["Gas", "Gas0", "Gas1"]
    *_, last = words(flow(group("Gas", 5), repeat(lines(5))))
    assert last == ["Gas, continued", "Gas3", "Gas4"]


def test_a_small_group_stays_whole():
    before = tuple(Paragraph(text=str(n), style=STYLE) for n in range(3))
    assert words(flow((*before, *group("Gas", 3)), repeat(lines(6))))[1] == ["Gas", "Gas0", "Gas1", "Gas2"]


def test_columns_that_end_alike_count_the_heading_that_comes_again():
    left, right = flow_balanced(group("Gas", 9), [lines(20), Frame(70.0, 0.0, 60.0, 100.0)])
    assert words((left, right)) == [
        ["Gas", *(f"Gas{n}" for n in range(5))],
        ["Gas, continued", *(f"Gas{n}" for n in range(5, 9))],
    ]


def test_with_other_white_the_rows_of_all_frames_stand_level():
    """The heading that comes again has as much of it as the first."""
    for share in (0.5, 1.0, 2.0):
        frames = flow(closer(group("Gas", 7), share), repeat(Frame(0.0, 0.0, 60.0, 6.4 * STYLE.line_mm)))
        heads = [[item.y for one in column for item in one.draw()][:2] for column in frames[:2]]
        assert heads[0] == pytest.approx(heads[1])


def test_blocks_placed_once_can_be_placed_anew_without_the_heading_that_came_again():
    blocks = group("Gas", 7)
    placed = flow(blocks, repeat(lines(5)))
    assert [original(one.block) for column in placed for one in column] == list(blocks)


def test_columns_over_two_pages_repeat_the_heading_over_the_second():
    rows = tuple(Paragraph(text=f"{n}", style=STYLE) for n in range(12))
    head, again = (Heading(text=text, style=STYLE) for text in ("Rows", "Rows, continued"))
    block = Columns(blocks=rows, carried=again)
    first, second = words(flow((head, block), repeat(lines(5))))
    assert first == ["Rows", *(str(n) for n in range(8))]
    assert second == ["Rows, continued", "8", "9", "10", "11"]
