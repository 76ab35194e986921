"""Flow: everything is placed, in order, inside its frame; what belongs together stays together."""

from __future__ import annotations

from itertools import repeat

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from guidegen.drawing.primitives import Destination, Group, Line, Rect, Style, Text
from guidegen.paper.blocks import Block, Drawing, Heading, Paragraph, Rule, SetLines, Spacer
from guidegen.paper.containers import Boxed, Cell, Columns, KeepTogether, Row, Stack
from guidegen.paper.flow import Frame, best_cut, draw_all, evened, fill, flow, flow_balanced, stack_height_mm
from guidegen.paper.table import Column, Table
from guidegen.paper.text import DoesNotFit, TextStyle

STYLE = TextStyle(8.5)
LINE = STYLE.line_mm
PAGE = Frame(10, 12, 80, 60)


def words_of(items):
    """All words drawn, in order."""
    found = []
    for item in items:
        if isinstance(item, Group):
            found += words_of(item.items)
        elif isinstance(item, Text):
            found += item.text.split()
    return found


def paragraph(text, **more):
    return Paragraph(text=text, style=STYLE, **more)


SPACES = st.sampled_from([0.0, 1.0, 3.0])
VOCABULARY = ("close", "open", "drain", "valve", "tank", "pump", "heater", "the", "a")
SENTENCE = st.lists(st.sampled_from(VOCABULARY), min_size=1, max_size=60)
NUMBERED = SENTENCE.map(" ".join)
BLOCKS = st.lists(
    st.one_of(
        st.builds(paragraph, NUMBERED, space_before_mm=SPACES, keep_with_next=st.booleans()),
        st.builds(paragraph, NUMBERED, space_before_mm=SPACES, space_after_mm=SPACES),
        st.builds(paragraph, NUMBERED, keep_together=st.just(True), space_after_mm=SPACES),
        st.builds(lambda t: Heading(text=t), st.sampled_from(["Arrive", "Leave", "Numbers"])),
        st.builds(
            lambda t: KeepTogether(blocks=(paragraph(t), paragraph(t))),
            SENTENCE.map(lambda w: " ".join(w[:20])),
        ),
        st.builds(lambda h: Spacer(height=h), st.floats(0.5, 9)),
        st.builds(lambda t: Boxed(blocks=(paragraph(t),)), NUMBERED),
        st.just(Rule(space_before_mm=1, space_after_mm=1)),
    ),
    max_size=14,
)


def chains(blocks):
    """Runs of blocks that must stand together: what leads on, and where it leads."""
    chain = []
    for block in blocks:
        chain.append(block)
        if not block.keep_with_next:
            yield chain
            chain = []


def least_mm(chain):
    """The height without which a run fits on no page: all of it but what of its last block may go on."""
    last = chain[-1].height_mm(80)
    if isinstance(chain[-1], Paragraph) and not chain[-1].keep_together:
        last = min(last, 3 * LINE)
    return stack_height_mm(chain[:-1], 80) + last + max(b.space_before_mm for b in chain)


@settings(deadline=None, max_examples=120)
@given(BLOCKS, st.floats(40, 90), st.sampled_from([0.0, 4.0]))
def test_nothing_is_lost_nothing_overlaps_and_no_heading_ends_a_page(blocks, height, grid):
    frame = Frame(10, 12, 80, height, grid)
    blocks = [*blocks, paragraph("end")]
    assume(all(least_mm(chain) + grid * len(chain) <= height for chain in chains(blocks)))
    pages = flow(blocks, repeat(frame))
    drawn = [word for page in pages for word in words_of(draw_all(page))]
    assert drawn == words_of([item for block in blocks for item in block.draw(0, 0, 80)])
    for page in pages:
        foot = frame.y
        for placed in page:
            assert placed.y >= foot - 1e-6
            foot = placed.y + placed.height
            assert placed.height == pytest.approx(placed.block.height_mm(80))
            if grid:
                assert (placed.y - frame.y) / grid == pytest.approx(round((placed.y - frame.y) / grid))
        assert foot <= frame.y + frame.height + 1e-5
        assert not page or not isinstance(page[-1].block, Heading)
    whole = {id(b) for b in blocks if b.keep_together}
    assert whole <= {id(placed.block) for page in pages for placed in page}


@settings(deadline=None, max_examples=60)
@given(BLOCKS)
def test_text_is_drawn_inside_the_frame(blocks):
    for page in flow(blocks, repeat(PAGE)):
        for item in draw_all(page):
            if isinstance(item, Text):
                assert PAGE.x - 1e-6 <= item.x and PAGE.y < item.y < PAGE.y + PAGE.height


def test_the_larger_of_two_spaces_counts_and_none_at_the_top():
    blocks = [paragraph("a", space_before_mm=9, space_after_mm=2), paragraph("b", space_before_mm=5)]
    placed, rest = fill(blocks, PAGE)
    assert not rest
    assert placed[0].y == PAGE.y
    assert placed[1].y - placed[0].y == pytest.approx(LINE + 5)
    assert stack_height_mm(blocks, 80) == pytest.approx(2 * LINE + 5)


def test_a_paragraph_leaves_two_lines_on_either_side_of_a_break():
    text = "\n".join(f"line{n}" for n in range(5))
    for room in range(1, 6):
        placed, rest = fill([paragraph(text)], Frame(0, 0, 80, room * LINE + 0.1))
        on_page = len(words_of(draw_all(placed)))
        assert on_page == {1: 0, 2: 2, 3: 3, 4: 3, 5: 5}[room]
        assert on_page + len(words_of([i for b in rest for i in b.draw(0, 0, 80)])) == 5


def test_a_heading_goes_with_the_text_that_follows():
    lines = int(PAGE.height / LINE)
    filler = paragraph("\n".join(["x"] * (lines - 2)))
    pages = flow(
        [filler, Heading(text="Leave", space_before_mm=0), paragraph("one\ntwo\nthree")], repeat(PAGE)
    )
    assert [len(page) for page in pages] == [1, 2]


def test_what_follows_a_split_block_that_leads_on_is_not_lost():
    leading = paragraph("\n".join(f"line{n}" for n in range(8)), keep_with_next=True)
    pages = flow([leading, paragraph("next")], repeat(Frame(0, 0, 80, 5 * LINE + 0.1)))
    words = [words_of(draw_all(page)) for page in pages]
    assert words == [[f"line{n}" for n in range(5)], ["line5", "line6", "line7", "next"]]


def test_frames_that_run_out_say_how_much_is_left_over():
    with pytest.raises(DoesNotFit) as error:
        flow([paragraph("\n".join(["x"] * 40))], [Frame(0, 0, 80, 10 * LINE), Frame(0, 0, 80, 10 * LINE)])
    assert error.value.over_mm == pytest.approx(20 * LINE, abs=LINE)
    assert "shorten" in str(error.value)


def test_a_block_higher_than_a_page_is_an_error_and_not_an_endless_loop():
    picture = Drawing(items=(), width=10, height=100, title="floor plan")
    with pytest.raises(DoesNotFit, match="floor plan") as error:
        flow([picture], repeat(PAGE))
    assert error.value.over_mm == pytest.approx(40)
    pages = flow([picture], [PAGE, Frame(0, 0, 80, 120)])  # a higher page may follow
    assert [len(page) for page in pages] == [0, 1]


def test_a_run_higher_than_a_page_is_parted_after_what_is_no_heading_and_leaves_no_page_empty():
    tall = [Drawing(items=(), width=10, height=25, title=t, keep_with_next=t != "d") for t in "abcd"]
    head = Heading(text="Head")
    pages = flow([paragraph("first"), head, *tall], repeat(Frame(0, 0, 80, 60)))
    assert [[one.block.name for one in page] for page in pages] == [
        ["first"],
        ["Head", "a"],
        ["b"],
        ["c", "d"],
    ]


def test_what_stands_together_is_split_only_where_no_page_holds_it():
    lines = tuple(paragraph(f"line {n}") for n in range(30))
    pages = flow([paragraph("first"), KeepTogether(blocks=lines)], repeat(Frame(0, 0, 80, 60)))
    assert len(pages) == 3 and all(pages)
    assert [p.name for page in pages for p in words_placed(page)][1:] == [line.name for line in lines]


def words_placed(page):
    for one in page:
        yield from one.block.blocks if isinstance(one.block, Stack) else (one.block,)


def test_a_drawing_wider_than_its_frame_is_an_error():
    with pytest.raises(DoesNotFit, match="floor plan"):
        flow([Drawing(items=(), width=81, height=10, title="floor plan")], [PAGE])


def test_balanced_frames_end_alike():
    blocks = [paragraph(f"item {n}\nand more", keep_together=True) for n in range(9)]
    frames = [Frame(0, 0, 50, 100), Frame(60, 0, 50, 100), Frame(120, 0, 50, 100)]
    pages = flow_balanced(blocks, frames)
    assert [len(page) for page in pages] == [3, 3, 3]


def test_two_columns_of_a_last_page_end_alike_and_lose_nothing():
    blocks = [paragraph(f"row {n}", space_before_mm=1.0) for n in range(9)]
    frames = [Frame(0, 0, 40, 100), Frame(45, 0, 40, 100)]
    left, right = evened([fill(blocks, frames[0])[0], ()], frames)
    assert [one.block for one in (*left, *right)] == blocks
    assert abs(len(left) - len(right)) <= 1 and {one.x for one in right} == {45}


def test_no_column_begins_with_a_block_or_two_and_then_a_heading():
    """No widows above a heading (common practice in typography, no source), though the columns end less alike."""
    rows = [Paragraph(text=f"{n} row", style=TextStyle(10), keep_together=True) for n in range(16)]
    heading = Heading(text="Where it is", style=TextStyle(10, "bold"))
    for first, cut in (
        (9, 9),
        (10, 10),
        (12, 9),
    ):  # rows before the heading; of all blocks in the first column
        blocks = [*rows[:first], heading, *rows[first:]]
        assert best_cut(blocks, 80.0)[0] == cut
    assert best_cut([rows[0], heading], 80.0)[0] == 1


def test_columns_are_evened_but_a_group_stays_whole_while_they_end_nearly_alike():
    """What begins a column amid a group stands below a heading again, and is read apart from its own."""
    rows = [paragraph(f"row {n}", keep_together=True) for n in range(13)]
    again = paragraph("again")
    frames = [Frame(0, 0, 40, 100), Frame(45, 0, 40, 100)]

    def cut(first, **how):
        blocks = [replace(row, carried=again) if first < n else row for n, row in enumerate(rows)]
        left, right = evened([fill(blocks, frames[0])[0], ()], frames, **how)
        assert len(left) + len(right) == len(rows)
        return len(left)

    assert cut(5) == 5, "the group that begins there is not cut"
    assert cut(1) in (6, 7), "the columns would end too far apart"
    assert cut(1, whole_mm=50.0) == 1
    assert cut(5, whole_mm=0.0) in (6, 7)


def test_columns_are_evened_but_a_heading_stays_with_its_text():
    blocks = [paragraph("a"), paragraph("b"), Heading(text="Head"), paragraph("c"), paragraph("d")]
    frames = [Frame(0, 0, 40, 100), Frame(45, 0, 40, 100)]
    left, _ = evened([fill(blocks, frames[0])[0], ()], frames)
    assert not isinstance(left[-1].block, Heading)


def test_columns_are_as_high_as_their_longest_and_lose_nothing():
    blocks = tuple(paragraph(f"item{n}\nmore{n}", keep_together=True) for n in range(7))
    columns = Columns(blocks=blocks, count=2, gap=4)
    assert columns.height_mm(80) == pytest.approx(8 * LINE, abs=0.3)
    assert words_of(columns.draw(0, 0, 80)) == words_of([i for b in blocks for i in b.draw(0, 0, 38)])
    head, tail = columns.split(80, 4 * LINE + 0.1)
    assert words_of(head.draw(0, 0, 80)) + words_of(tail.draw(0, 0, 80)) == words_of(columns.draw(0, 0, 80))
    assert head.height_mm(80) <= 4 * LINE + 0.3


def test_cells_of_a_row_stand_on_one_baseline():
    large = Paragraph(text="12", style=TextStyle(16, "bold"))
    box = Drawing(items=(Rect(0, 0, 3, 3, Style()),), width=3, height=3, baseline=2.5)
    row = Row(cells=(Cell(box, 3), Cell(large, 20), Cell(paragraph("small\nmore"))), gap=2)
    group, number, first, second = row.draw(0, 0, 80)
    assert number.y == pytest.approx(first.y)
    assert group.transform[5] + 2.5 == pytest.approx(first.y)
    assert (number.x, first.x) == (5, 27)
    assert row.height_mm(80) == pytest.approx(first.y - STYLE.baseline_mm + 2 * LINE)
    assert second.y == pytest.approx(first.y + LINE)


def test_flexible_cells_share_what_the_fixed_ones_leave():
    row = Row(cells=(Cell(paragraph("a"), 20), Cell(paragraph("b"), share=2), Cell(paragraph("c"))), gap=5)
    assert row.widths_mm(90) == pytest.approx((20, 40, 20))
    with pytest.raises(DoesNotFit):
        row.widths_mm(25)


def test_table_headings_are_repeated_and_figures_stand_right():
    table = Table(
        columns=(Column("Load"), Column("W", 20, anchor="end")),
        rows=tuple((f"load{n}", f"{100 * n}") for n in range(12)),
        style=STYLE,
    )
    pages = flow([table], repeat(Frame(0, 0, 80, 30)))
    assert len(pages) > 1
    for page in pages:
        assert words_of(draw_all(page))[:2] == ["Load", "W"]
    figures = [w for page in pages for w in words_of(draw_all(page)) if w.isdigit()]
    assert figures == [str(100 * n) for n in range(12)]
    ends = {
        round(item.x + STYLE.width_mm(item.text), 6)
        for item in table.draw(0, 0, 80)
        if isinstance(item, Text) and item.text.isdigit()
    }
    assert ends == {80}


def test_rules_of_a_table_stand_between_groups_where_asked():
    rows = tuple((f"r{n}",) for n in range(4))
    every = Table(columns=(Column(),), rows=rows)
    grouped = replace(every, rules_above=frozenset({2}))
    count = [sum(isinstance(i, Line) for i in table.draw(0, 0, 80)) for table in (every, grouped)]
    assert count == [3, 1]
    _, tail = grouped.split(80, 1.5 * grouped.height_mm(80) / 4)
    assert tail.rules_above == frozenset({1})


def test_a_box_is_its_content_and_padding_and_splits_only_when_allowed():
    content = tuple(paragraph(f"item{n}") for n in range(10))
    box = Boxed(blocks=content, padding_mm=3)
    assert box.height_mm(80) == pytest.approx(10 * LINE + 6)
    assert box.split(80, 30) is None
    head, tail = replace(box, keep_together=False).split(80, 30)
    assert head.height_mm(80) <= 30
    assert words_of(head.draw(0, 0, 80)) + words_of(tail.draw(0, 0, 80)) == [f"item{n}" for n in range(10)]


def test_a_heading_leads_its_destination_into_the_outline():
    items = Heading(text="Numbers", destination="numbers", level=1).draw(10, 50, 80)
    assert items[0] == Destination("numbers", 50, "Numbers", 1)


def test_blocks_are_values():
    assert paragraph("a") == paragraph("a") and hash(paragraph("a")) == hash(paragraph("a"))
    with pytest.raises(AttributeError):
        paragraph("a").text = "b"
    assert isinstance(Stack(blocks=()), Block) and SetLines(lines=()).first_baseline_mm(80) is None
