"""The handover: every point once in the order of the walk, what to say, and two copies to sign."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from guidegen.documents.handover import compose
from guidegen.documents.handover_stops import stop_titles
from guidegen.drawing.fonts import text_width_mm
from guidegen.sequence.touring import tour
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

MAP_FOOT_MM = 105.0
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(scope="module")
def sheet(larch, context_of):
    return compose(context_of(larch))


def in_reading_order(found):
    """Texts down the left column, then down the right one, page by page."""
    return sorted(found, key=lambda s: (s.sheet, s.box[0] > 105, s.box[1]))


def test_every_point_stands_once_in_the_order_of_the_walk(sheet, larch, texts_of):
    route = tour(larch)
    below_map = [s for s in texts_of(sheet) if s.sheet > 0 or s.box[1] > MAP_FOOT_MM]
    words = [s.item.text for s in in_reading_order(below_map) if s.item.size_pt == 8.5]
    rows = [w for w in words if w.isdigit()]
    counted = Counter(p.number for p in larch.points)
    expected = []
    for number, stop in enumerate(route.stops, 1):
        expected += [str(number), *(str(p.number) for p in stop.points)]
    assert rows == expected
    assert Counter(int(n) for stop in route.stops for n in (p.number for p in stop.points)) == counted


def test_what_to_say_is_what_the_trade_knows(sheet, larch, texts_of):
    words = " ".join(s.item.text for s in in_reading_order(texts_of(sheet)))
    kinds = load_trade().kinds
    for kind in {p.kind for p in larch.points}:
        first = " ".join(kinds[kind].about.split()[:4])
        assert first in words, kind
    assert words.count("Lets escaped gas fall out") == 1, "four drop vents, said once"
    assert "Isolates the oven and the grill." in words
    assert "Turn the red handle." in words, "the note of a point"


def test_dangers_come_before_the_first_stop(sheet, texts_of):
    words = [s.item.text for s in in_reading_order(texts_of(sheet))]
    first = next(n for n, w in enumerate(words) if w.startswith("Outside, nearside"))
    assert words.index("DANGER") < first


def test_every_stop_is_on_the_map(sheet, larch, seen):
    stops = len(tour(larch).stops)
    tags = [s for s in seen(sheet.sheets[0]) if getattr(s.item, "css", "") == "stop"]
    x0, x1 = 11, 199
    on_map = [s for s in tags if s.box[1] < MAP_FOOT_MM]
    assert len(on_map) == stops
    for one in on_map:
        assert x0 <= one.box[0] and one.box[2] <= x1
        for other in on_map:
            apart = one is other or one.box[2] <= other.box[0] or other.box[2] <= one.box[0]
            assert apart or one.box[3] <= other.box[1] or other.box[3] <= one.box[1]


def test_stops_of_one_side_are_told_apart_by_a_landmark(larch):
    route = tour(larch)
    titles = stop_titles(route.stops, larch.layout)
    outside = [t for t, stop in zip(titles, route.stops, strict=True) if stop.outside]
    assert any("wheel" in title or "door" in title for title in outside)
    plain = [", ".join(title.split(", ")[:2]) for title in titles]
    assert len(set(titles)) > len(set(plain)), "more names than sides and rooms"
    for title, stop in zip(titles, route.stops, strict=True):
        landmark = ", ".join(title.split(", ")[2:])
        assert landmark in " / ".join(p.place for p in stop.points)
        assert title.startswith("Outside") or not stop.outside, "one stands outside, not under the floor"


def test_a_column_within_a_stop_says_which(larch, context_of, seen, texts_of, sheet):
    """Between one head and the next there are as many rows as the stop has points, wherever columns end."""
    said = [s.item.text for s in in_reading_order(texts_of(sheet)) if s.item.text.startswith("Stop ")]
    assert said and all(text.endswith(", continued") for text in said)
    stops = {n: {p.name for p in stop.points} for n, stop in enumerate(tour(larch).stops, 1)}
    for s in texts_of(sheet):
        if s.item.text.startswith("Stop "):
            number = int(s.item.text.split(",")[0].removeprefix("Stop "))
            below = min(
                (t for t in texts_of(sheet) if t.sheet == s.sheet and t.item.weight == "bold"
                 and t.box[0] > s.box[0] and t.box[0] < s.box[0] + 30 and t.box[1] > s.box[1]
                 and not t.item.text.isdigit()),
                key=lambda t: t.box[1],
            )  # fmt: skip
            assert any(name.startswith(below.item.text) for name in stops[number])


def test_front_is_written_clear_of_the_walk(context_of, seen):
    for sample in ("bramble", "fern", "larch", "hazel"):
        sheet = compose(context_of(read_vehicle(SAMPLES / f"{sample}.yaml"))).sheets[0]
        (front,) = [s for s in seen(sheet) if getattr(s.item, "text", "") == "Front"]
        x, y, half = front.item.x + front.dx, front.item.y + front.dy, text_width_mm("Front", 8.5, "bold") / 2
        for s in seen(sheet):
            if getattr(s.item, "css", "") == "stop":
                x0, y0, x1, y1 = s.box
                assert x1 <= x - 2 or x0 >= x or y1 <= y - half or y0 >= y + half, sample


def test_what_is_done_together_stands_together(context_of, texts_of):
    for sample in ("sorrel", "rowan"):
        found = texts_of(compose(context_of(read_vehicle(SAMPLES / f"{sample}.yaml"))))
        places = {
            (s.sheet, round(s.box[0] > 105))
            for s in found
            if s.item.text in ("Do together", "First use after lay-up.")
        }
        assert len(places) == 1


@pytest.mark.parametrize("which", ["larch", "few", "many", "wordy"])
def test_two_copies_to_sign_each_on_a_leaf_of_its_own(request, context_of, texts_of, which):
    vehicle = request.getfixturevalue(which)
    document = compose(context_of(vehicle))
    found = texts_of(document)
    for copy in ("Owner's copy", "Dealer's copy"):
        (page,) = {s.sheet for s in found if s.item.text == copy}
        assert page % 2 == 0, "the front of a leaf when printed on both sides"
        words = [s.item.text for s in found if s.sheet == page]
        assert words.count("Signature") == 2 and words.count("Date") == 2
        assert any("as ticked on page" in w for w in words)
        assert "Vehicle keys" in words and "Remarks" in words
    assert len(document.sheets) % 2 == 0
    for s in found:
        x0, y0, x1, y1 = s.box
        assert x0 >= 5 and x1 <= 205 and y0 >= 5 and y1 <= 292


def test_what_is_not_located_is_named_before_and_when_signing(few, context_of, texts_of):
    words = " ".join(s.item.text for s in texts_of(compose(context_of(few))))
    for item in few.to_locate:
        assert words.count(item.name) >= 2
