"""The pages of the samples' guides as a reader meets them: none is nearly empty, shared ones tell all titles."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen import prepare
from guidegen.documents.guide import book as book_module
from guidegen.documents.guide.binding import BETWEEN
from guidegen.documents.guide.book import compose_in
from guidegen.documents.guide.help_pages import help_chapter
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, turned_page
from guidegen.drawing.primitives import Destination, Group, Line, Link, Rect, Text
from guidegen.sequence.conditions import applying
from guidegen.trade.uses import load_uses

SAMPLES = sorted((Path(__file__).parents[3] / "sample_vehicles").glob("*.yaml"))
HELP = "When something does not work"
FREE = {"Contents", "Notes"}
SHORTEST = {A4_LOOK: 0.4, A5_LOOK: 0.33}  # of a page's height, down to its lowest word or line


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda path: path.stem)
def context(request):
    return prepare(request.param)


@pytest.fixture(scope="module")
def guide(context):
    return compose_in(context, A4_LOOK)


@pytest.fixture(scope="module", params=["A4", "A5"])
def book(request, context):
    """A look with the guide in it; the booklet of every third sample."""
    look = {"A4": A4_LOOK, "A5": A5_LOOK}[request.param]
    if look is A5_LOOK and context.vehicle.id[0] not in "bhs":
        pytest.skip("the booklet of every third sample will do")
    return look, request.getfixturevalue("guide") if look is A4_LOOK else compose_in(context, look)


def titles(sheet):
    return sheet.title.partition(" ")[2].split(BETWEEN)


def test_no_page_is_nearly_empty(book, seen):
    look, document = book
    for sheet in document.sheets[1:]:
        body = [
            s
            for s in seen(sheet)
            if isinstance(s.item, Text | Rect) and look.top < s.box[3] < look.bottom + 2
        ]
        lowest = max((s.box[3] for s in body), default=0.0)  # a page of lines to write on has none
        assert FREE & set(titles(sheet)) or lowest > look.top + SHORTEST[look] * look.height, sheet.title


def test_a_page_that_chapters_share_has_the_titles_of_all_in_their_order(guide, texts_of):
    for sheet in guide.sheets[1:]:
        large = [s for s in texts_of(sheet) if s.item.size_pt == A4_LOOK.title.size_pt]
        heads = [s.item.text for s in sorted(large, key=lambda s: s.box[1])]
        assert " ".join(heads) in " ".join(titles(sheet)), sheet.title
        if len(titles(sheet)) > 1:
            assert heads and heads[-1] in titles(sheet)[-1]


def test_quick_help_begins_a_page_with_gas_or_carbon_monoxide(guide, texts_of):
    page = next(sheet for sheet in guide.sheets if HELP in titles(sheet))
    assert titles(page)[0] == HELP
    labels = [s for s in texts_of(page) if s.item.size_pt == A4_LOOK.label.size_pt]
    first = min(labels, key=lambda s: (s.box[0] > A4_LOOK.width / 2, s.box[1])).item.text
    assert "gas" in first or "carbon monoxide" in first


def test_quick_help_runs_on_where_a_page_of_its_own_would_make_the_guide_longer(monkeypatch):
    def help_pages(kit, before):
        """Longer by two pages where it does not run on."""
        chapter = help_chapter(kit, before)
        return chapter if before else replace(chapter, pages=(*chapter.pages, (), ()))

    context = prepare(next(path for path in SAMPLES if path.stem == "hazel"))
    own = compose_in(context, A4_LOOK).sheets
    assert not any(HELP in titles(sheet)[1:] for sheet in own)
    monkeypatch.setattr(book_module, "help_chapter", help_pages)
    shared = compose_in(context, A4_LOOK).sheets
    assert any(HELP in titles(sheet)[1:] for sheet in shared)
    assert len(shared) <= len(own)


def test_a_rule_parts_chapters_that_share_a_page(guide, seen):
    for sheet in guide.sheets[1:]:
        lines = [s for s in seen(sheet) if isinstance(s.item, Line)] if len(titles(sheet)) > 1 else []
        wide = {round(s.item.points[0][1] + s.dy, 1) for s in lines if length(s.item) > 170}
        assert len(wide) >= len(titles(sheet)) or not lines, sheet.title  # the running head's among them


def length(line):
    (x0, _), (x1, _) = line.points[0], line.points[-1]
    return x1 - x0


def test_each_system_has_a_plan_of_its_own_with_its_points_alone(guide, context):
    """By the links of the badges of class badge between the system's heading and the next."""
    letters = {p.id: p.system for p in context.vehicle.points}
    for sheet in guide.sheets:
        heads = [
            i for i in walk(sheet.items) if isinstance(i, Destination) and i.name.startswith("chapter-system")
        ]
        for head, below in pairwise([*heads, None]):
            letter = head.name[-1]
            about = [
                i.name.removeprefix("about-")
                for i in walk(sheet.items)
                if isinstance(i, Destination)
                and i.name.startswith("about-")
                and head.y <= i.y < (below.y if below else 1e9)
            ]
            assert {letters[id] for id in about} <= {letter}, sheet.title


def walk(items):
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.items)


def test_text_stays_inside_the_frame(book, texts_of):
    look, document = book
    for sheet in document.sheets[1:]:
        texts = texts_of(sheet)
        page = turned_page(look) if any(s.turn for s in texts) else None
        frame = page or look
        for s in texts:
            assert s.box[3] <= frame.bottom + 1.0 or s.box[3] > frame.foot - 6, (sheet.title, s.item.text)


def test_the_index_names_the_page_on_which_each_point_is_told_of(guide, context, seen):
    pages = {
        s.item.name: n
        for n, sheet in enumerate(guide.sheets, 1)
        for s in seen(sheet)
        if isinstance(s.item, Destination)
    }
    found = set()
    for sheet in (sheet for sheet in guide.sheets if "Index" in titles(sheet)):
        items = seen(sheet)
        for link in (s for s in items if isinstance(s.item, Link) and s.item.target.startswith("#about-")):
            x0, y0, x1, y1 = link.box
            said = [
                s.item.text
                for s in items
                if isinstance(s.item, Text) and x0 - 0.1 <= s.box[0] <= x1 and y0 <= s.box[3] <= y1
            ]
            assert said == [str(pages[link.item.target[1:]])], link.item.target
            found.add(link.item.target)
    assert len(found) == len(context.vehicle.points)


def test_cautions_of_a_system_stand_before_how_it_is_used(guide, context, texts_of):
    """In the order of drawing: the signal word of its first caution before its first instruction."""
    uses, judged = load_uses(), 0
    for sheet in guide.sheets:
        words = " ".join(s.item.text for s in texts_of(sheet)).replace("\N{NO-BREAK SPACE}", " ")
        for letter, system in context.trade.systems.items():
            title = system.name[:1].upper() + system.name[1:]
            if titles(sheet) != [title] or "How to use it" not in words:
                continue
            told = words.partition("How to use it")[2]
            ids = applying(uses[letter].cautions, context.vehicle.facts)
            cautions = [context.trade.cautions[id].text for id in ids]
            places = [told.find(text) for text in cautions]
            first = [told.find(use.text) for use in uses[letter].use]
            shown = [place for place in first if place >= 0]
            assert not shown or all(place < min(shown) for place in places), title
            judged += bool(shown and max(places, default=-1) >= 0)
    assert judged >= 3
