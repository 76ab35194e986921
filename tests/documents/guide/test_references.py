"""What is said of another page is true of it: references, the index, stops that go on overleaf."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen import prepare
from guidegen.documents.booklet import compose_pages
from guidegen.documents.guide.book import compose_in
from guidegen.documents.guide.index_pages import entries_of
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.references import referred, resolved
from guidegen.documents.guide.rows import held
from guidegen.documents.guide.walks import walk_chapter
from guidegen.drawing.primitives import Group, Link, Rect, Sheet, Style, Text
from guidegen.paper.text import plain
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"
WHITE = "#ffffff"


@pytest.fixture(scope="module")
def context(context_of):
    vehicle = read_vehicle(SAMPLES / "sorrel.yaml")
    points = tuple(replace(p, number=n) for n, p in enumerate(vehicle.points, 1))
    return context_of(replace(vehicle, points=points))


def test_a_chapter_named_in_quotation_marks_gets_its_page_and_no_other_words_do(context):
    kit = Kit(context, A4_LOOK)
    said = plain(referred(kit, "Look into “The numbers of this vehicle”. “Marked” words stay."))
    assert said == "Look into “The numbers of this vehicle”, page\N{NO-BREAK SPACE}00. “Marked” words stay."
    within = plain(referred(kit, "Do as “First use after lay-up” says."))
    assert within == "Do as “First use after lay-up” (page\N{NO-BREAK SPACE}00) says."


def test_what_names_no_page_stays_the_thing_that_it_was():
    """A drawing that stands on several pages is known by that, and held once in the file."""
    shared = Group((Rect(0, 0, 9, 9, Style(fill=WHITE)), Text(1, 8, "00", 9)))
    named = Group((Text(0, 0, "page 00", 9), Link(0, 0, 9, 9, "#there"), shared))
    found = resolved((shared, named, shared), {"there": 7})
    assert found[0] is found[2] is shared
    assert found[1] == Group((Text(0, 0, "page 7", 9), named.items[1], shared))
    assert found[1].items[2] is shared
    assert resolved(shared.items, {"there": 7}) is shared.items


@pytest.mark.parametrize("paper", ["A4", "booklet"])
def test_pages_named_are_those_on_which_the_chapters_begin(context, paper, seen):
    document = compose_in(context, A4_LOOK) if paper == "A4" else compose_pages(context)
    begins: dict[str, int] = {}
    named: list[tuple[str, str]] = []
    for number, sheet in enumerate(document.sheets, 1):
        items = [s.item for s in seen(sheet)]
        for item, after in zip(items, items[1:], strict=False):
            said = re.fullmatch(r"\(?page\s(\d+)[.)]", item.text) if isinstance(item, Text) else None
            if said and isinstance(after, Link):
                named.append((after.target.removeprefix("#"), said[1]))
        begins |= {i.name: number for i in items if type(i).__name__ == "Destination"}
    assert len(named) > 2
    assert [(target, page) for target, page in named if page != str(begins[target])] == []


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_page_named_in_words_is_the_one_with_the_heading_named(sample, texts_of):
    """Read off the print, by its words alone; the scale of the battery stands with its heading."""
    document = compose_in(prepare(sample), A4_LOOK)
    pages = [[s.item for s in texts_of(sheet)] for sheet in document.sheets]
    named = [
        (re.sub(r"\s+", " ", title), int(page))
        for page in (" ".join(item.text for item in items) for items in pages)
        for title, page in re.findall(r"“([^”]+)”\s*,?\s*\(?page\s(\d+)", page)
    ]
    assert named
    for title, number in named:
        words = " ".join(item.text for item in pages[number - 1] if item.size_pt > A4_LOOK.body.size_pt)
        assert title in words, (title, number)
        if title == "The leisure battery":
            assert "11.9 V" in [item.text for item in pages[number - 1]]
    lead_acid = {"battery", "battery.lithium"} & prepare(sample).vehicle.facts == {"battery"}
    assert ("The leisure battery" in dict(named)) is lead_acid


def test_the_index_has_what_is_not_located_and_volts_under_the_things_own_word(context):
    names = [entry.name for entry in entries_of(context.vehicle)]
    assert {item.name for item in context.vehicle.to_locate} <= set(names) and context.vehicle.to_locate
    assert "12 V fuse box" in names and "Fuse box, 12 V" in names


def test_a_column_that_begins_amid_a_stop_says_which(context, texts_of):
    """Every column of steps begins with the number of a stop, white on dark."""
    for look in (A4_LOOK, LARGE_LOOK):
        for sequence in context.sequences.sequences.values():
            pages = walk_chapter(Kit(context, look), sequence).pages
            for page in pages[1:]:
                texts = texts_of(Sheet(look.paper.width_mm, look.paper.height_mm, page, "page"))
                top = min(texts, key=lambda s: (round(s.box[1]), s.box[0]))
                headings = {"With hook-up", "Without hook-up", "In a heated store", "Outdoors"}
                said = top.item.text.partition(",")[0]
                assert top.item.colour == WHITE or said in headings, said


@pytest.mark.parametrize("look", [A4_LOOK, LARGE_LOOK, A5_LOOK], ids=["A4", "large print", "booklet"])
def test_in_the_index_a_page_stands_near_its_name(look):
    """Across a whole sheet an eye slips into the next line."""
    assert look.split(look.index_columns)[0].width < 90


@pytest.mark.parametrize(
    ("name", "kept"), [("Leisure battery 2", "battery~2"), ("Exhaust fluid (AUS 32) filler", "(AUS~32)")]
)
def test_no_line_begins_with_the_figure_of_a_name(name, kept):
    assert kept.replace("~", "\N{NO-BREAK SPACE}") in held(name)


def test_a_figure_does_not_keep_a_word_from_parting_that_is_wider_than_its_column():
    name = "Frischwassertankentleerungsventil 2"
    assert held(name) == name
