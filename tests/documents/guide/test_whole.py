"""The plan with every number in the guide: as large as its pages allow, most of all where the print is large."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path as File

import pypdfium2
import pytest
from msgspec.structs import replace

from guidegen.documents.booklet import compose_pages
from guidegen.documents.context import Context
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.whole import plan_chapter
from guidegen.documents.plan import compose as compose_plan
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Group, Path, Sheet, Text
from guidegen.pipeline import prepare

SAMPLES = File(__file__).parents[3] / "sample_vehicles"


def bodies(items, by=1.0):
    """Heights on the sheet of the outlines of the vehicle, in mm."""
    for item in items:
        if isinstance(item, Group):
            yield from bodies(item.items, by * (item.transform[3] if item.transform else 1.0))
        elif isinstance(item, Path) and item.css == "body":
            ys = [y for command in item.commands for y in command[2::2]]
            yield (max(ys) - min(ys)) * by


def words(items):
    for item in items:
        if isinstance(item, Group):
            yield from words(item.items)
        elif isinstance(item, Text):
            yield item.text


@pytest.mark.parametrize("sample", ["alder", "fern", "larch"])
def test_each_page_of_the_plan_in_large_print_is_longer_than_half_the_page(sample):
    kit = Kit(prepare(SAMPLES / f"{sample}.yaml"), LARGE_LOOK)
    for page in plan_chapter(kit).pages:
        (length,) = bodies(page)
        drawbar = kit.context.vehicle.layout.drawbar / kit.context.vehicle.layout.length
        assert length * (1 + drawbar) >= LARGE_LOOK.height / 2
        assert length >= 110


@pytest.mark.parametrize("sample", ["fern", "juniper"])
def test_a_booklet_shows_the_vehicle_as_large_as_its_page_allows(sample):
    """Over the plan stand title and words, under it the legend; badges and words take 15 mm at either end."""
    kit = Kit(prepare(SAMPLES / f"{sample}.yaml"), A5_LOOK)
    layout = kit.context.vehicle.layout
    for page in plan_chapter(kit).pages:
        (length,) = bodies(page)
        assert length * (1 + layout.drawbar / layout.length) + 30 >= 0.75 * A5_LOOK.height


def test_pages_after_the_first_say_what_they_go_on_with():
    kit = Kit(prepare(SAMPLES / "larch.yaml"), LARGE_LOOK)
    first, *others = plan_chapter(kit).pages
    assert "Where everything is" in words(first)
    assert "not here stand on the next pages." in " ".join(words(first))
    assert others and all("Where everything is, continued" in words(page) for page in others)


@pytest.mark.parametrize("sample", ["fern", "hazel", "larch"])
def test_the_plan_of_the_guide_is_that_of_plan_and_card_turned(sample, seen):
    """So numbers run on in order round the vehicle, and an inset has the same letter wherever it is drawn."""
    context = prepare(SAMPLES / f"{sample}.yaml")
    (page,) = plan_chapter(Kit(context, A4_LOOK)).pages
    turned, own = (
        {s.item.text: s.at(s.item.x, s.item.y) for s in seen(sheet) if marked(s.item)}
        for sheet in (Sheet(178.0, 297.0, page), compose_plan(context).sheets[0])
    )
    assert {str(p.number) for p in context.vehicle.points} <= turned.keys() == own.keys()
    left, top = own["1"]
    x, y = turned["1"]
    for text, (across, down) in own.items():
        assert turned[text] == pytest.approx((x + down - top, y - across + left)), text


def marked(item):
    """Whether it is the number of a point or the letter of an inset."""
    return isinstance(item, Text) and (item.text.isdigit() or len(item.text) == 1 and item.text.isupper())


def test_points_that_no_plan_on_a4_holds_stand_on_several_upright_ones():
    context = prepare(SAMPLES / "larch.yaml")
    more = tuple(
        replace(p, id=f"{p.id}-{n}", x=p.x + 60.0 * n) for n in range(3) for p in context.vehicle.points
    )
    crowded = replace(context.vehicle, points=more)
    chapter = plan_chapter(Kit(Context(crowded, context.trade, (), context.options), A4_LOOK))
    assert len(chapter.pages) > 1 and not chapter.turned


def test_the_first_plan_stands_below_its_words_whichever_point_is_the_first(page_judge):
    context = prepare(SAMPLES / "larch.yaml")
    vehicle = replace(context.vehicle, points=context.vehicle.points[::-1])
    booklet = compose_pages(replace(context, vehicle=vehicle))
    page = next(
        n for n, s in enumerate(booklet.sheets) if {"Where everything is", "Front"} <= set(words(s.items))
    )
    alone, out = pypdfium2.PdfDocument.new(), BytesIO()
    alone.import_pages(pypdfium2.PdfDocument(write_pdf(booklet)), [page])
    alone.save(out)
    assert page_judge.faults(out.getvalue()) == []
