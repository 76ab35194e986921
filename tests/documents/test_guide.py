"""The guide and its booklet, read back from the PDF by readers of their own and measured in the drawing."""

from __future__ import annotations

import importlib.util
import io
import re
import sys
import unicodedata
from collections import Counter
from itertools import pairwise
from pathlib import Path

import pypdf
import pypdfium2
import pytest
import zxingcpp
from msgspec.structs import replace

from guidegen.documents import booklet, guide
from guidegen.documents.guide.binding import BETWEEN
from guidegen.documents.guide.index_pages import sort_key
from guidegen.documents.guide.rows import address_lines, code_size_mm
from guidegen.documents.guide.using import size_words
from guidegen.documents.guide.variants import derive
from guidegen.documents.guide.walk_map import _in_lane, _straightened
from guidegen.documents.guide.walks import stops_of
from guidegen.documents.guide.ways_out import ways_out
from guidegen.documents.parts import NOT_LOCATED
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Circle, Destination, Link, Rect, Text
from guidegen.drawing.typography import as_printed
from guidegen.paper.text import TextStyle
from guidegen.sequence import plan_sequences
from guidegen.sequence.planner import make_plan
from guidegen.sequence.simulator import simulate
from guidegen.trade.load import load_trade
from guidegen.trade.uses import load_uses
from guidegen.vehicle.description import Masses, Sizes
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.reading import read_vehicle

EDGE_MM = 5.0
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
PT = 72 / 25.4


@pytest.fixture(scope="module")
def context(larch, context_of):
    return context_of(larch)


@pytest.fixture(scope="module")
def document(context):
    return guide.compose(context)


@pytest.fixture(scope="module")
def data(document) -> bytes:
    return write_pdf(document)


@pytest.fixture(scope="module")
def reader(data) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


@pytest.fixture(scope="module")
def pages(data) -> list[str]:
    return pages_of(data)


def pages_of(data: bytes) -> list[str]:
    """The words of each page in the order of drawing, one space between them."""
    pdf = pypdfium2.PdfDocument(data)
    return [plain(page.get_textpage().get_text_range()) for page in pdf]


def plain(text: str) -> str:
    """As it is printed, but for the kind of its spaces."""
    return " ".join(as_printed(text).replace("\N{NO-BREAK SPACE}", " ").split())


def chapter(document, title: str) -> list[int]:
    """The sheets of the chapter, by its running head."""
    return [n for n, sheet in enumerate(document.sheets) if title in titles(sheet)]


def titles(sheet) -> list[str]:
    """The chapters on a sheet, whose page number stands before them."""
    return sheet.title.partition(" ")[2].split(BETWEEN)


# The book


def test_the_pdf_has_the_pages_of_the_document_all_a4_portrait(document, reader):
    assert len(reader.pages) == len(document.sheets) > 20
    for page in reader.pages:
        assert float(page.mediabox.width) == pytest.approx(210 * PT, abs=0.5)
        assert float(page.mediabox.height) == pytest.approx(297 * PT, abs=0.5)


def test_every_page_but_the_cover_carries_its_number(document, texts_of):
    bold = {
        n: [s.item.text for s in texts_of(sheet) if s.box[3] > 280 and s.item.weight == "bold" and not s.turn]
        for n, sheet in enumerate(document.sheets, 1)
    }
    assert bold[1] == []
    assert all(bold[n] == [str(n)] for n in range(2, len(document.sheets) + 1))


def test_page_numbers_stand_at_the_outer_edge_and_the_inner_margin_is_wider(document, texts_of):
    for n, sheet in enumerate(document.sheets[1:], 2):
        figure = next(s for s in texts_of(sheet) if s.box[3] > 280 and s.item.text == str(n))
        texts = [s.box for s in texts_of(sheet) if not s.item.turn_deg]
        left, right = min(b[0] for b in texts), 210 - max(b[2] for b in texts)
        if n % 2:
            assert figure.box[2] == pytest.approx(210 - 12)
            assert left >= 20 - 1e-6 and right >= 12 - 1e-6
        else:
            assert figure.box[0] == pytest.approx(12)
            assert left >= 12 - 1e-6 and right >= 20 - 1e-6


def test_the_outline_names_every_chapter_once_in_order_with_its_page(document, reader):
    entries = [e for e in reader.outline if not isinstance(e, list)]
    named = [entry.title for entry in entries]
    first = {"Contents": 1}
    for number, sheet in enumerate(document.sheets, 1):
        for title in titles(sheet):
            first.setdefault(title, number)
    assert named[:2] == ["Contents", "Safety first"]
    assert len(set(named)) == len(named) > 15
    found = [reader.get_destination_page_number(entry) + 1 for entry in entries]
    assert found == [first[title] for title in named] == sorted(found)


def test_the_contents_give_the_page_of_every_chapter(document, reader, pages):
    for entry in reader.outline:
        if not isinstance(entry, list) and entry.title != "Contents":
            page = reader.get_destination_page_number(entry) + 1
            assert f"{entry.title} {page} " in f"{pages[0]} ", entry.title


def test_the_metadata_tell_which_vehicle_and_whose(reader, larch):
    assert larch.name in reader.metadata.title
    assert reader.metadata.author == larch.dealer.name
    assert larch.stock_number in reader.metadata["/Keywords"]


def test_the_cover_shows_vehicle_owner_dealer_and_picture(pages, reader, larch):
    for word in (larch.name, larch.owner, larch.dealer.name, larch.dealer.phone, larch.web):
        assert word in pages[0]
    assert len(reader.pages[0].images) == 1


def test_the_code_on_the_cover_holds_the_address(data, larch):
    picture = pypdfium2.PdfDocument(data)[0].render(scale=3).to_pil()
    assert larch.web in [code.text for code in zxingcpp.read_barcodes(picture)]


def test_the_same_vehicle_gives_the_same_bytes(context, data):
    assert write_pdf(guide.compose(context)) == data


# Numbers and links


def test_every_point_has_one_place_in_the_key(document, seen, larch):
    names = Counter(s.item.name for s in seen(document) if isinstance(s.item, Destination))
    assert all(names[f"point-{point.id}"] == 1 for point in larch.points)
    assert max(names.values()) == 1


def test_the_key_names_every_point_beside_its_number(document, seen, larch):
    for n in chapter(document, "Key to the numbers"):
        items = list(seen(document.sheets[n]))
        anchors = {s.item.name: s.item.y for s in items if isinstance(s.item, Destination)}
        for point in larch.points:
            if f"point-{point.id}" in anchors:
                y = anchors[f"point-{point.id}"]
                near = [s.item.text for s in items if isinstance(s.item, Text) and 0 < s.box[3] - y < 8]
                assert str(point.number) in near
                assert any(text and point.name.startswith(text) for text in near), point.name


def test_every_badge_leads_to_the_point_of_its_number(document, seen, larch):
    """Badges by what is drawn: a shape of class badge, figures in its middle, a link over both."""
    numbers = {f"#point-{p.id}": str(p.number) for p in larch.points}
    count = 0
    for sheet in document.sheets:
        items = seen(sheet)
        links = [s for s in items if isinstance(s.item, Link)]
        figures = [s for s in items if isinstance(s.item, Text) and s.item.text.isdigit()]
        for shape in (s for s in items if isinstance(s.item, Circle | Rect) and s.item.css == "badge"):
            x, y = middle(shape)
            text = [f.item.text for f in figures if holds(f.box, x, y)]
            if not text:
                continue  # a way out, which has no number
            targets = [s.item.target for s in links if holds(s.box, x, y)]
            assert text[0] in {numbers.get(target) for target in targets}, (sheet.title, text)
            count += 1
    assert count > 4 * len(larch.points)


def middle(shape) -> tuple[float, float]:
    item = shape.item
    if isinstance(item, Circle):
        return shape.at(item.x, item.y)
    x0, y0, x1, y1 = shape.box
    return (x0 + x1) / 2, (y0 + y1) / 2


def holds(box, x: float, y: float) -> bool:
    return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def test_the_plan_shows_every_number_of_the_vehicle_once(document, seen, larch):
    (page,) = chapter(document, "Where everything is")
    items = seen(document.sheets[page])
    figures = [s for s in items if isinstance(s.item, Text)]
    badges = [middle(s) for s in items if isinstance(s.item, Circle | Rect) and s.item.css == "badge"]
    shown = [f.item.text for x, y in badges for f in figures if holds(f.box, x, y)]
    assert Counter(shown) == Counter(str(p.number) for p in larch.points)


def test_a_system_shows_its_own_points_and_no_other(document, pages, larch):
    text = " ".join(pages[n] for n in chapter(document, "Fresh water"))
    below = text.partition("Where it is")[2]
    for point in larch.points:
        said = re.search(rf"\b{point.number} {re.escape(point.name)} ", below)
        assert bool(said) == (point.system == "F"), point.name


def test_the_index_is_complete_and_in_order_with_number_and_page(document, pages, larch):
    text = " ".join(pages[n] for n in chapter(document, "Index"))
    where = {
        point.id: next(
            n
            for n, sheet in enumerate(document.sheets, 1)
            for item in flat(sheet.items)
            if isinstance(item, Destination) and item.name == f"about-{point.id}"
        )
        for point in larch.points
    }
    for point in larch.points:
        place = plain(point.place)
        assert f"{point.number} {plain(point.name)} {place} {where[point.id]}" in text, point.name
    found = [text.index(f" {p.number} {plain(p.name)} ") for p in sorted(larch.points, key=in_order)]
    assert found == sorted(found)


def flat(items):
    for item in items:
        if hasattr(item, "items"):
            yield from flat(item.items)
        yield item


def in_order(point):
    letters = "".join(c for c in unicodedata.normalize("NFKD", point.name) if not unicodedata.combining(c))
    return letters.casefold(), point.name, point.number


def test_the_index_sorts_letters_with_marks_beside_those_without():
    names = ["Łącznik", "Lampe", "Ölfilter", "Oven", "Öl", "Zawór", "Żółw"]
    assert sorted(names, key=sort_key) == ["Łącznik", "Lampe", "Öl", "Ölfilter", "Oven", "Zawór", "Żółw"]


# Safety


def test_dangers_come_first_and_before_any_step(pages):
    texts = {c.text for c in load_trade().cautions.values() if c.signal == "danger"}
    assert texts and all(plain(text) in pages[1] for text in texts)


def test_ways_out_are_all_doors_and_escapes_of_the_layout(context, document, larch):
    layout = larch.layout
    people = [d for d in layout.doors if d.kind != "garage"]
    escapes = [w for w in (*layout.windows, *layout.roof) if w.escape]
    lit = [o.area for o in layout.roof if o.escape]
    numbered = [p for p in larch.points if p.kind in ("habitation-door", "escape-window")]
    numbered += [p for p in larch.points if p.kind == "roof-light" and any(a.contains(p.x, p.y) for a in lit)]
    assert len(ways_out_of(context)) + len(numbered) >= len(people) + len(escapes)
    doors = {w.name for w in ways_out_of(context)}
    assert {d.name for d in people if d.kind == "cab"} <= doors


def ways_out_of(context):
    from guidegen.documents.guide.look import A4_LOOK
    from guidegen.documents.guide.pages import Kit

    return ways_out(Kit(context, A4_LOOK))


# Sequences


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("arrive", "Arrive"),
        ("leave", "Leave"),
        ("lay-up", "Lay up for winter"),
        ("recommission", "First use after lay-up"),
    ],
)
def test_every_step_stands_once_in_order_its_cautions_before_it(name, title, context, document, pages):
    whole = " ".join(pages[n] for n in chapter(document, title))
    text = re.split("Without hook-up (?:Leave|Take)|In a heated store (?:Leave|Take)", whole)[0]
    sequence = context.sequences.sequences[name]
    at = 0
    for step in sequence.steps:
        for id in step.cautions:
            assert text.index(plain(context.trade.cautions[id].text)) < text.index(plain(step.text), at)
        assert text.count(plain(step.text)) == sum(s.text == step.text for s in sequence.steps)
        at = text.index(plain(step.text), at) + 1
        assert plain(step.check) in text
    hours, minutes = re.search(r"Allow about (?:([\d.]+) hours|(\d+) minutes) with", text).groups()
    said = float(hours) * 60 if hours else float(minutes)
    hands = sum(0.5 for step in sequence.steps if step.minutes < 1)  # half a minute for a switch or a tap
    assert said == pytest.approx(sequence.minutes + hands, abs=15.1 if hours else 2.6)
    assert "about 1 minutes" not in whole


def test_the_map_numbers_every_stop_and_each_has_its_heading(context, document, texts_of):
    sequence = context.sequences.sequences["arrive"]
    stops = stops_of(sequence)
    sheets = chapter(document, "Arrive")
    white = [s.item.text for n in sheets for s in texts_of(document.sheets[n]) if s.item.colour == "#ffffff"]
    numbers = Counter(word for text in white for word in text.split() if word.isdigit())
    once = Counter({str(n): 2 for n in range(1, len(stops) + 1)})
    again = sum(s.item.text.endswith("continued") for n in sheets for s in texts_of(document.sheets[n]))
    assert once <= numbers and (numbers - once).total() == again  # a column that begins amid a stop


def test_there_is_a_box_to_tick_for_every_step(context, document, seen):
    sizes = Counter(
        (round(s.item.width, 2), round(s.item.height, 2))
        for n in chapter(document, "Leave")
        for s in seen(document.sheets[n])
        if isinstance(s.item, Rect) and s.item.radius == 0.4 and s.item.width == s.item.height
    )
    assert sum(sizes.values()) == len(context.sequences.sequences["leave"].steps)


def test_there_and_back_run_side_by_side():
    there = _in_lane([(0.0, 0.0), (10.0, 0.0)], 0.5)
    back = _in_lane([(10.0, 0.0), (0.0, 0.0)], 0.5)
    assert [y for _, y in there] == pytest.approx([0.5, 0.5])
    assert [y for _, y in back] == pytest.approx([-0.5, -0.5])
    assert [x for x, _ in there] == pytest.approx([0.0, 10.0])


def test_points_on_a_straight_piece_of_the_way_are_left_out_and_its_turns_kept():
    way = [(0.0, 0.0), (5.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 5.0), (10.0, 0.0)]
    assert _straightened(way) == [(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (10.0, 0.0)]


@pytest.mark.parametrize("sample", ["larch", "alder", "hazel"])
def test_other_variants_keep_the_printed_order_and_are_safe(sample):
    """The simulator of the sequences shares no code with the planner."""
    vehicle, trade = read_vehicle(SAMPLES / f"{sample}.yaml"), load_trade()
    for name, variant in (("arrive", "no-hook-up"), ("leave", "no-hook-up"), ("lay-up", "heated-store")):
        printed = plan_sequences(vehicle, trade).sequences[name]
        plan = make_plan(trade, name, variant, vehicle.facts, vehicle.extra_steps)
        derived = derive(printed, plan)
        assert sorted(derived.order) == sorted(plan.ids)
        assert simulate(name, variant, vehicle.facts, derived.order) == ()
        kept = [id for id in derived.order if id not in derived.later]
        assert kept == [s.step for s in printed.steps if s.step in kept]


def test_what_changes_without_hook_up_is_told(pages, document, context):
    text = " ".join(pages[n] for n in chapter(document, "Arrive"))
    told = text.partition("Without hook-up ")[2]
    sequence = context.sequences.sequences["arrive"]
    for id in ("lead-vehicle", "lead-post", "mains-on", "rcd-test"):
        assert plain(sequence.step(id).text) in told
    assert "Set the heater to hot water on gas." in told
    assert plain(sequence.step("cylinder-open").text) not in told


# Uses


def test_uses_name_facts_kinds_and_cautions_that_exist():
    trade = load_trade()
    known = facts_named_in_the_docstring()
    for key, system in load_uses().items():
        assert key in trade.systems or key in ("safety", "small-fire")
        parts = [caution.partition("?") for caution in system.cautions]
        assert {id for id, _, _ in parts} <= set(trade.cautions)
        assert {fact for _, _, when in parts if when for fact in when.split("+")} <= known
        for use in (*system.about, *system.use):
            assert set(use.kinds) <= set(trade.kinds), use.text
            facts = {choice.removeprefix("!") for term in use.when for choice in term.split("|")}
            assert facts <= known, use.text


def facts_named_in_the_docstring() -> set[str]:
    module = sys.modules[facts_of.__module__]
    return set((module.__doc__ or "").split())


def test_uses_are_written_as_procedures_are():
    """At most 20 words a sentence: ASD-STE100, rule 5.1."""
    for system in load_uses().values():
        for use in (*system.about, *system.use):
            for sentence in re.split(r"(?<=[.!?]) ", use.text):
                assert len(sentence.split()) <= 20, sentence


def test_the_driver_is_told_height_width_length_and_mass(pages, document, larch):
    text = " ".join(pages[n] for n in chapter(document, "Body and chassis"))
    assert "The vehicle: 3.12 m high, 2.31 m wide, 7.45 m long, at most 4250 kg." in text
    nothing = replace(larch.figures, sizes=Sizes(), masses=Masses())
    assert size_words(replace(larch, figures=nothing)) == ""
    low = Sizes(height=2600.0)
    only_height = replace(larch.figures, sizes=low, masses=Masses())
    assert plain(size_words(replace(larch, figures=only_height))) == "The vehicle: 2.60 m high."


def test_no_owner_is_told_to_work_on_gas_or_mains():
    verbs = r"\b(unscrew|dismantle|adjust|repair|rewire|loosen|solder|bypass)\b"
    for letter in ("G", "M", "H"):
        for use in load_uses()[letter].use:
            assert not re.search(verbs, use.text, re.IGNORECASE), use.text


# Addresses


def test_an_address_breaks_without_anything_added():
    address = "https://example.org/handover/a-vehicle-with-a-long-name/and-more?of=it"
    lines = address_lines(address, 40.0, TextStyle(8.5))
    assert "".join(lines) == address and len(lines) > 1
    assert all(TextStyle(8.5).width_mm(line) <= 40.0 for line in lines)


def test_codes_grow_with_their_address():
    short, long = (code_size_mm(f"https://example.org/{'x' * n}") for n in (5, 150))
    assert 15 <= short < long


# Large print, booklet, and vehicles of every kind


@pytest.fixture(scope="module")
def large(larch, context_of):
    return guide.compose(context_of(larch, large_print=True))


def test_large_print_sets_all_that_is_read_in_14_points(large, texts_of):
    """Clear print is 12 points and large print 14 to 18 (from memory of usual advice, no standard)."""
    sizes = [s.item.size_pt * s.scale for sheet in large.sheets for s in texts_of(sheet)]
    assert sum(size >= 14 - 1e-6 for size in sizes) > 0.97 * len(sizes)
    assert min(sizes) >= 11


def test_large_print_keeps_the_lines_to_count_on_near_their_words(large, texts_of):
    texts = [s for sheet in large.sheets for s in texts_of(sheet)]
    keys, fluid = (next(s for s in texts if s.item.text == t) for t in ("Vehicle keys", "Toilet fluid"))
    assert fluid.box[0] - keys.box[0] > 60, "two columns"


def test_large_print_keeps_every_number(large, seen, larch):
    shown = Counter()
    for n in chapter(large, "Where everything is"):
        items = seen(large.sheets[n])
        figures = [s for s in items if isinstance(s.item, Text)]
        for x, y in (middle(s) for s in items if isinstance(s.item, Circle | Rect) and s.item.css == "badge"):
            shown.update(f.item.text for f in figures if holds(f.box, x, y))
    assert shown == Counter(str(p.number) for p in larch.points)


@pytest.mark.parametrize("duplex", ["short", "long"])
def test_the_stitched_booklet_reads_in_order(duplex, larch, context_of, texts_of):
    """Page numbers as they stand on the printed sheets, laid into each other and folded about the middle."""
    document = booklet.compose(context_of(larch, duplex=duplex))
    simulator = fold_simulator()
    parts: dict[str, list[tuple[int, ...]]] = {}
    for front, back in zip(document.sheets[::2], document.sheets[1::2], strict=True):
        assert (front.width_mm, front.height_mm) == (297, 210)
        words = " ".join(s.item.text for s in texts_of(front))
        signature = re.search(r"signature \d+ of \d+", words)
        outside = on_halves(texts_of(front), lambda p: p)
        inside = on_halves(texts_of(back), lambda p: simulator.printed(p, 297, 210, duplex))
        leaf = (outside["right"], inside["right"], inside["left"], outside["left"])
        parts.setdefault(signature.group() if signature else "", []).append(leaf)
    order = []
    for leaves in parts.values():
        order += [p for leaf in leaves for p in leaf[:2]] + [p for leaf in reversed(leaves) for p in leaf[2:]]
    read = [number for number in order if number]
    assert len(order) == 2 * len(document.sheets)
    assert read == list(range(2, read[-1] + 1))
    assert order[1:] == read and read[-1] % 4 == 0  # none but the cover is without, none is blank


def test_an_end_alone_is_said_to_be_that_of_what_stands_above(document, texts_of):
    """ "Rear end" on a line of its own would send one to the rear of the vehicle."""
    said = {s.item.text for s in texts_of(document)}
    assert not {text for text in said if re.fullmatch(r"[A-Z][a-z]+ (end|corner|side|edge)", text)}
    assert "At the rear end" in said


def on_halves(texts, to_paper) -> dict[str, int]:
    """The page number at the foot of either half of the paper, 0 for none, as seen from the front."""
    found = {"left": 0, "right": 0}
    for s in texts:
        x, y = (s.box[0] + s.box[2]) / 2, s.box[3]
        upright = s.scale > 0
        foot = y > 195 if upright else y < 15
        if s.item.weight == "bold" and s.item.text.isdigit() and foot:
            half = "right" if to_paper((x, y))[0] > 148.5 else "left"
            found[half] = int(s.item.text)
    return found


def fold_simulator():
    path = Path(__file__).parents[1] / "paper" / "fold_simulator.py"
    name = "fold_simulator"
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, path)
        sys.modules[name] = module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    return sys.modules[name]


def test_the_booklet_is_set_in_8_5_points_and_nothing_under_7(larch, context_of, texts_of):
    pages = booklet.compose_pages(context_of(larch))
    sizes = Counter(round(s.item.size_pt * s.scale, 2) for s in texts_of(pages))
    assert min(sizes) >= 7
    assert {(sheet.width_mm, sheet.height_mm) for sheet in pages.sheets} == {(148, 210)}
    body = sum(count for size, count in sizes.items() if size >= 8.5)
    assert body > 0.75 * sum(sizes.values())


@pytest.mark.parametrize("name", ["few", "many", "wordy"])
def test_nothing_stands_outside_the_margins_or_on_something_else(name, request, larch, context_of, texts_of):
    document = guide.compose(context_of(whole(request.getfixturevalue(name), larch)))
    for sheet in document.sheets:
        texts = [s for s in texts_of(sheet) if s.item.text.strip() and not s.item.turn_deg]
        for s in texts:
            x0, y0, x1, y1 = s.box
            assert x0 >= EDGE_MM and x1 <= 210 - EDGE_MM and y0 >= EDGE_MM and y1 <= 297 - EDGE_MM, (
                s.item.text
            )
        assert not overlaps([s.box for s in texts]), sheet.title
    write_pdf(document)


def whole(vehicle, larch):
    """The vehicle with numbers on its points, and figures to compute with."""
    points = tuple(replace(p, number=p.number or n) for n, p in enumerate(vehicle.points, 1))
    return replace(vehicle, points=points, figures=vehicle.figures or larch.figures)


def overlaps(boxes) -> list:
    found = []
    ordered = sorted(boxes)
    for n, one in enumerate(ordered):
        for other in ordered[n + 1 :]:
            if other[0] >= one[2]:
                break
            wide = min(one[2], other[2]) - other[0]
            high = min(one[3], other[3]) - max(one[1], other[1])
            if wide > 0.3 and high > 0.3:
                found.append((one, other))
    return found


def test_what_is_not_located_is_marked_on_its_pages(few, larch, context_of):
    pages = pages_of(write_pdf(guide.compose(context_of(whole(few, larch)))))
    assert few.to_locate
    key = " ".join(page for page in pages if "Key to the numbers" in page)
    for missing in few.to_locate:
        assert plain(f"{missing.name} {NOT_LOCATED}") in key
    record = " ".join(page for page in pages if "Write the place here" in page)
    assert few.to_locate[0].name in record


def test_no_heading_ends_a_page(document, texts_of):
    """A heading of a section or over a few lines stands above more of its text."""
    for sheet in document.sheets:
        texts = [s for s in texts_of(sheet) if not s.item.turn_deg and s.box[3] < 278]
        for head in (s for s in texts if s.item.weight == "bold" and s.item.size_pt in (12, 16, 24)):
            column = [s for s in texts if s.box[0] < head.box[0] + 60 and s.box[2] > head.box[0]]
            below = [s for s in column if s.box[1] > head.box[3]]
            assert below, (sheet.title, head.item.text)


def test_pages_follow_each_other_without_gaps(document):
    numbers = [int(sheet.title.split(" ", 1)[0]) for sheet in document.sheets]
    assert all(b == a + 1 for a, b in pairwise(numbers))
