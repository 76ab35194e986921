"""Safety first: no caution is lost by the paper's size; what shuts off most stands first."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.guide import safety
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Bound, Kit
from guidegen.documents.guide.plans import floor_plan
from guidegen.documents.guide.references import pages_of, resolved
from guidegen.documents.guide.safety import safety_chapter
from guidegen.documents.guide.ways_out import ways_out
from guidegen.drawing.primitives import Sheet
from guidegen.plan.errors import SheetTooSmallError
from guidegen.trade.records import holds
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"
LOOKS = {"A4": A4_LOOK, "booklet": A5_LOOK, "large": LARGE_LOOK}
# What stops all gas stands before what stops one appliance's, 230 V before 12 V (common practice, no source).
ORDER = ("gas-cylinder", "underslung-tank-filler", "consumer-unit", "hookup-inlet", "battery-isolator")


@pytest.fixture(params=["hazel", "willow", "larch"])
def context(request, context_of):
    vehicle = read_vehicle(SAMPLES / f"{request.param}.yaml")
    points = tuple(replace(p, number=n) for n, p in enumerate(vehicle.points, 1))
    return context_of(replace(vehicle, points=points))


@pytest.fixture(params=LOOKS)
def kit(request, context):
    return Kit(context, LOOKS[request.param])


@pytest.fixture
def pages(kit, texts_of):
    look = kit.look
    sheets = [
        Sheet(look.paper.width_mm, look.paper.height_mm, page, "page") for page in safety_chapter(kit).pages
    ]
    return [texts_of(sheet) for sheet in sheets]


def test_every_caution_of_the_vehicle_is_told_on_every_size_of_paper(kit, pages):
    words = " ".join(" ".join(s.item.text for s in page) for page in pages).split()
    told = {
        id: caution.text.split()[:3]
        for id, caution in kit.context.trade.cautions.items()
        if caution.signal != "notice" and holds(caution.when, kit.context.vehicle.facts)
    }
    starts = [words[n : n + 3] for n in range(len(words))]
    assert len(told) > 3 and [id for id, start in told.items() if start not in starts] == []


def test_its_pages_end_above_the_foot(kit, pages):
    assert max(s.box[3] for page in pages for s in page) <= kit.look.bottom + 0.01


def test_of_the_shut_offs_what_stops_most_stands_first(kit, pages):
    texts = [s.item.text for page in pages for s in page]
    listed = texts[texts.index("Shut-offs") :]
    vehicle = kit.context.vehicle
    numbers = [str(p.number) for kind in ORDER for p in vehicle.points if p.kind == kind]
    valves = {str(p.number) for p in vehicle.of_kind("isolation-valve")}
    shown = [text for text in listed if text in {*numbers, *valves}]
    shown = shown[: len(numbers) + len(valves)]  # the plan may follow its list
    assert shown[: len(numbers)] == numbers and set(shown[len(numbers) :]) == valves


def test_in_large_print_the_list_begins_below_the_cautions_where_that_saves_a_page(context_of, texts_of):
    kit = Kit(context_of(read_vehicle(SAMPLES / "juniper.yaml")), LARGE_LOOK)
    pages = [texts_of(Sheet(210.0, 297.0, page, "page")) for page in safety_chapter(kit).pages]
    assert len(pages) == 4
    for page in pages[:3]:
        assert max(s.box[3] for s in page) > kit.look.top + 0.8 * kit.look.height
    assert "CAUTION" in [s.item.text for s in pages[1]] and "Ways out" in [s.item.text for s in pages[1]]


def test_a_booklet_arranges_its_plan_once(context, monkeypatch):
    """The list alone tells which plan there is room for, and arranging one takes longer than all the rest."""
    arranged = []
    monkeypatch.setattr(safety, "floor_plan", lambda *a, **k: arranged.append(a) or floor_plan(*a, **k))
    safety_chapter(Kit(context, A5_LOOK))
    assert len(arranged) == 1


@pytest.mark.parametrize("sample", ["hazel", "larch"])
def test_what_is_read_in_an_emergency_is_set_as_large_as_its_page_holds(sample, context_of, texts_of):
    kit = Kit(context_of(read_vehicle(SAMPLES / f"{sample}.yaml")), A4_LOOK)
    first = texts_of(Sheet(210.0, 297.0, safety_chapter(kit).pages[0], "page"))
    fire = next(s.item for s in first if s.item.text.startswith("Get everyone out by"))
    assert fire.size_pt >= 1.15 * kit.look.body.size_pt
    assert max(s.box[3] for s in first) <= kit.look.bottom


def test_dangers_are_set_smaller_where_that_saves_a_page_of_a_booklet(context_of):
    for sample in ("bramble", "juniper", "larch"):
        kit = Kit(context_of(read_vehicle(SAMPLES / f"{sample}.yaml")), A5_LOOK)
        assert len(safety_chapter(kit).pages) == 3


def test_a_small_fire_is_no_step_after_everyone_is_out(kit, pages):
    """People first, then the call; one fights only with a way out behind (common practice, no source)."""
    texts = [s.item.text for page in pages for s in page]
    steps = texts[texts.index("If there is a fire") :]
    first = steps[1 : steps.index("WARNING")] if "WARNING" in steps else steps[1:]
    first = [text for text in first if not text.isdecimal()]  # the numbers of points
    small = next(n for n, text in enumerate(first) if text.startswith("Fight a fire only"))
    numbered = [n for n, text in enumerate(first) if re.fullmatch(r"\d\.", text)]
    assert numbered[:2] == [0, 1 + first[1:].index("2.")] and max(numbered) < small
    assert first[1].startswith("Get everyone out") and first[numbered[1] + 1].startswith(
        "Call the fire service"
    )
    assert first[small - 1] == "\N{BULLET}"


def test_every_way_out_on_the_plan_is_marked_alike_with_its_number_where_it_has_one(kit, seen):
    """Green for all of them: ISO 3864-1, safe condition."""
    look, vehicle = kit.look, kit.context.vehicle
    own = {p.number: p.id for p in vehicle.of_kind("habitation-door", "escape-window")}
    above = [opening.area for opening in vehicle.layout.roof if opening.escape]
    own |= {p.number: p.id for p in vehicle.of_kind("roof-light") if any(a.contains(p.x, p.y) for a in above)}
    green, marked = kit.context.trade.systems["S"].colour, {}
    for page in safety_chapter(kit).pages:
        items = [s.item for s in seen(Sheet(look.paper.width_mm, look.paper.height_mm, page, "page"))]
        for item, after in zip(items, items[1:], strict=False):
            if getattr(item, "css", "") == "badge" and after.text.endswith("Way out"):
                assert item.style.stroke == green, after.text
                number, _, _ = after.text.rpartition("\N{NO-BREAK SPACE}")
                marked[number] = marked.get(number, 0) + 1
    assert own and {int(number) for number in marked if number} == set(own)
    assert marked[""] == len(ways_out(kit))


@pytest.mark.parametrize("name", LOOKS)
def test_a_list_apart_from_its_plan_names_the_page_of_the_plan(context_of, texts_of, name):
    """It says of marks what they mean: whoever reads it has to find them."""
    look, first = LOOKS[name], 3
    chapter = safety_chapter(Kit(context_of(read_vehicle(SAMPLES / "larch.yaml")), look))
    known = pages_of([Bound(chapter, first)])
    pages = {}
    for number, page in enumerate(chapter.pages, first):
        sheet = Sheet(look.paper.width_mm, look.paper.height_mm, resolved(page, known), "page")
        said = " ".join(s.item.text for s in texts_of(sheet)).replace("\xa0", " ")
        pages[number] = re.sub(" +", " ", said)
    (plan,) = (number for number, said in pages.items() if "Front" in said)
    (listed,) = (number for number, said in pages.items() if "without a number" in said)
    assert (f"See the plan, page {plan}." in pages[listed]) == (listed != plan) == (name != "A4")


def test_a_plan_for_which_the_page_with_cautions_is_too_low_has_a_page_of_its_own(context_of, monkeypatch):
    """As on vehicles with many ways out on one side, in large print."""
    context, refused = context_of(read_vehicle(SAMPLES / "willow.yaml")), []
    arranged = safety.floor_plan

    def low(kit, points, width, height, *more, **told):
        if not refused or height <= refused[0]:
            refused.append(height)
            raise SheetTooSmallError("too low")
        return arranged(kit, points, width, height, *more, **told)

    monkeypatch.setattr(safety, "floor_plan", low)
    pages = safety_chapter(Kit(context, LARGE_LOOK)).pages
    assert refused and pages
