"""How one system is set: a short one all beside a tall plan, which is larger than one across the page."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.guide.columns import in_columns, ordered
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit, label_block, title_block
from guidegen.documents.guide.rows import anchored
from guidegen.documents.guide.system_parts import Part
from guidegen.documents.guide.system_ways import WAYS, Text
from guidegen.documents.guide.systems import system_chapters
from guidegen.documents.guide.whole import key_rows
from guidegen.drawing.primitives import Path as DrawnPath
from guidegen.drawing.primitives import Picture, Sheet
from guidegen.drawing.primitives import Text as DrawnText
from guidegen.paper.blocks import Paragraph
from guidegen.paper.flow import stack_height_mm
from guidegen.plan.numbering import numbered
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"

TALL = WAYS[0]
NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"


def part_of(context, letter, sentences, look=A4_LOOK):
    kit = Kit(context, look)
    points = tuple(p for p in context.vehicle.points if p.system == letter)
    how = tuple(
        Paragraph(text="Open it a little.", style=look.body, space_after_mm=2.0) for _ in range(sentences)
    )
    where = tuple(anchored(row, f"row-{n}") for n, row in enumerate(key_rows(kit, points)))
    return Part(
        kit,
        letter,
        letter,
        points,
        (title_block(kit, "air", "Air"),),
        Text((label_block(kit, "How to use it"), *how), where, ()),
    )


@pytest.fixture(scope="module")
def context(larch, context_of):
    return context_of(larch)


def test_a_short_system_stands_beside_a_tall_plan_larger_than_one_across_the_page(context):
    part = part_of(context, "V", 8)
    body = part._set(TALL)
    assert body is not None and body.plan.ratio < part.plan(0).ratio
    assert body.plan.height > 0.7 * A4_LOOK.height
    for one in body.text:
        assert one.x >= body.plan.width
        assert one.x + one.width <= A4_LOOK.width + 1e-6
        assert one.y + one.height <= A4_LOOK.height - part.head_mm
    assert [one.block.name for one in body.text] == [block.name for block in (*part.text.how, *part.right)]


def test_text_beside_a_tall_plan_ends_where_the_plan_does_as_far_as_more_white_can(context):
    part = part_of(context, "V", 13)
    body = part._set(TALL)
    column = A4_LOOK.width - body.plan.width - A4_LOOK.gutter
    unhurried = stack_height_mm((*part.text.how, *part.right), column)
    foot = max(one.y + one.height for one in body.text)
    assert unhurried < foot <= body.plan.height + 1e-6
    assert foot == pytest.approx(body.plan.height, abs=1.0)


@pytest.mark.parametrize("sentences", [0, 60], ids=["lost beside it", "higher than the page"])
def test_no_tall_plan_where_the_text_is_much_lower_or_higher(context, sentences):
    part = part_of(context, "V", sentences)
    assert part.height_mm(TALL) is None


@pytest.mark.parametrize("look", [LARGE_LOOK, A5_LOOK], ids=["large print", "A5"])
def test_no_tall_plan_where_half_of_the_width_holds_a_small_one_only(context, look):
    assert part_of(context, "V", 8, look).height_mm(TALL) is None


@pytest.mark.parametrize("look", [LARGE_LOOK, A5_LOOK], ids=["large print", "A5"])
def test_how_to_use_it_goes_on_below_its_heading_and_never_with_one_sentence_alone(context, look):
    for sentences in range(20, 50):
        part = part_of(context, "V", sentences, look)
        for page in in_columns(part.kit, part.in_order).pages[1:]:
            names = [one.block.name for one in page]
            told = sum("Open it a little" in name for name in names)
            assert not told or (told > 1 and "How to use it, continued" in words_of(page[0])), sentences


def test_what_goes_on_in_the_second_column_says_what_it_is(context):
    said = set()
    for sentences in range(2, 40, 3):
        part = part_of(context, "V", sentences)
        beside = [one for one in ordered(part.kit, part.in_order).placed if one.x > 0]
        said.add(words_of(beside[0]).replace(NO_BREAK_SPACE, " ").partition(" Open")[0])
    heads = {"How to use it, continued", "Where it is", "Where it is, continued"}
    assert len(said) > 1 and all(any(one.startswith(head) for head in heads) for one in said)


def words_of(placed):
    return " ".join(item.text for item in placed.draw() if isinstance(item, DrawnText))


def test_large_print_lets_text_begin_below_a_lying_plan_where_that_saves_a_page(context_of):
    """A guide of fewer pages, and none of them with a few rows alone."""
    context = context_of(read_vehicle(Path(__file__).parents[3] / "sample_vehicles" / "hazel.yaml"))
    lying, upright = (
        list(system_chapters(Kit(context, look), 2))
        for look in (LARGE_LOOK, replace(LARGE_LOOK, lying=False))
    )
    pages = [sum(len(one.pages) - one.runs_on for one in chapters) for chapters in (lying, upright)]
    assert pages[0] < pages[1]


@pytest.mark.parametrize("sample", ["juniper", "larch"])
@pytest.mark.parametrize("look", [A4_LOOK, A5_LOOK, LARGE_LOOK], ids=["A4", "A5", "large"])
def test_a_photograph_stands_once(sample, look, context_of, seen):
    context = context_of(numbered(read_vehicle(SAMPLES / f"{sample}.yaml")))
    pages = [page for chapter in system_chapters(Kit(context, look), 20) for page in chapter.pages]
    sheets = [Sheet(look.paper.width_mm, look.paper.height_mm, page, "page") for page in pages]
    shown = [s.item for sheet in sheets for s in seen(sheet) if isinstance(s.item, Picture)]
    files = {p.photo for p in context.vehicle.points if p.photo}
    assert len(shown) == len(files)


@pytest.mark.parametrize("sample", ["alder", "juniper"])
def test_in_a_booklet_many_gas_points_have_an_upright_plan_on_which_one_finds_ones_way(
    sample, context_of, seen
):
    """Across the page the vehicle would be as long as a thumb, its four gas valves on one spot."""
    kit = Kit(context_of(numbered(read_vehicle(SAMPLES / f"{sample}.yaml"))), A5_LOOK)
    gas = next(chapter for chapter in system_chapters(kit, 33) if chapter.title.startswith("Gas"))
    (body,) = (
        one.item
        for one in seen(Sheet(A5_LOOK.width, A5_LOOK.bottom, gas.pages[0]))
        if isinstance(one.item, DrawnPath) and one.item.css == "body"
    )
    ys = [y for command in body.commands for y in command[2::2] if isinstance(y, float)]
    assert max(ys) - min(ys) > 0.5 * A5_LOOK.height
