"""The handover: every point once in the order of the walk, what to say, and two copies to sign."""

from __future__ import annotations

import itertools
import math
import re
from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.handover import compose
from guidegen.documents.handover_map import draw_map
from guidegen.documents.handover_rows import StopHead
from guidegen.documents.handover_stops import named_stops
from guidegen.documents.parts import INK
from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.primitives import WHITE, Line, Rect, Text
from guidegen.plan.numbering import numbered
from guidegen.sequence.touring import Stop, Tour, tour
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

MAP_FOOT_MM = 105.0
COLUMN_MM = 91.0  # two on A4
SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture(scope="module")
def sheet(larch, context_of):
    return compose(context_of(larch))


def in_reading_order(found):
    """Texts down the left column, then down the right one, page by page."""
    return sorted(found, key=lambda s: (s.sheet, s.box[0] > 105, s.box[1]))


def walked(vehicle):
    return named_stops(tour(vehicle), vehicle.layout)


def test_every_point_stands_once_in_the_order_of_the_walk(sheet, larch, texts_of):
    route, _ = walked(larch)
    below_map = [s for s in texts_of(sheet) if s.sheet > 0 or s.box[1] > MAP_FOOT_MM]
    words = [s.item.text for s in in_reading_order(below_map) if s.item.size_pt == 8.5]
    rows = [w for w in words if w.isdigit()]
    stops = [
        [str(number), *(str(p.number) for p in stop.points)] for number, stop in enumerate(route.stops, 1)
    ]
    at = 0
    for number, *points in stops:
        assert rows[at] == number
        at += 1
        for point in points:
            at += rows[at] == number and point != number  # the head of a stop that goes on
            assert rows[at] == point
            at += 1
    assert at == len(rows)
    counted = Counter(p.number for p in larch.points)
    assert Counter(int(n) for stop in stops for n in stop[1:]) == counted


def test_what_to_say_is_what_the_trade_knows(sheet, larch, texts_of):
    words = " ".join(s.item.text for s in in_reading_order(texts_of(sheet)))
    kinds = load_trade().kinds
    for kind in {p.kind for p in larch.points}:
        first = " ".join(kinds[kind].about.split()[:4])
        assert first in words, kind
    pages = [s.sheet for s in texts_of(sheet) if s.item.text.startswith("Lets escaped gas fall out")]
    assert 1 <= len(pages) == len(set(pages)) < 4, "four drop vents, said once a page at most"
    assert "Isolates the oven and the grill." in words
    assert "Turn the red handle." in words, "the note of a point"


def references(document, texts_of):
    """(sheet, number referred to, sheet on which the row of that number says more than such a reference)."""
    rows = in_reading_order(s for s in texts_of(document) if s.item.size_pt == 8.5)
    told, found, number = {}, [], 0
    for s in rows:
        if s.item.text.isdigit() and s.item.anchor == "middle" and s.item.colour != WHITE:
            number = int(s.item.text)
        elif s.item.weight == "regular":
            like = re.match(r"As (\d+)\.", s.item.text)
            if like:
                found.append((s.sheet, int(like[1])))
            else:
                told.setdefault(number, s.sheet)
    return [(sheet, number, told.get(number)) for sheet, number in found]


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_no_row_refers_to_another_side_of_the_paper(path, context_of, texts_of):
    """Who stands at a point with the sheet in hand does not turn it to read what to say."""
    found = references(compose(context_of(numbered(read_vehicle(path)))), texts_of)
    assert all(sheet == said for sheet, _, said in found), found


def test_points_refer_to_other_pages_before_there_is_one_page_more(larch, context_of, texts_of):
    """Here four pages are nearly full with each said once."""
    noted = tuple(replace(p, note="Pull it. " * 14) if n < 54 else p for n, p in enumerate(larch.points))
    document = compose(context_of(replace(larch, points=noted)))
    found = references(document, texts_of)
    assert len(document.sheets) == 4 + 4
    assert any(sheet != said for sheet, _, said in found) and all(said is not None for *_, said in found)


def test_dangers_come_before_the_first_stop(sheet, texts_of):
    words = [s.item.text for s in in_reading_order(texts_of(sheet))]
    first = next(n for n, w in enumerate(words) if w.startswith(("Outside, ", "Inside, ")))
    assert words.index("DANGER") < first


def test_every_stop_is_on_the_map(sheet, larch, seen):
    stops = len(walked(larch)[0].stops)
    tags = [s for s in seen(sheet.sheets[0]) if getattr(s.item, "css", "") == "stop"]
    x0, x1 = 11, 199
    on_map = [s for s in tags if s.box[1] < MAP_FOOT_MM]
    assert len(on_map) == stops
    for one in on_map:
        assert x0 <= one.box[0] and one.box[2] <= x1
        for other in on_map:
            apart = one is other or one.box[2] <= other.box[0] or other.box[2] <= one.box[0]
            assert apart or one.box[3] <= other.box[1] or other.box[3] <= one.box[1]


@pytest.mark.parametrize("sample", ["larch", "alder", "juniper", "bramble", "hazel", "rowan", "sorrel"])
def test_the_title_of_a_stop_is_true_of_all_its_points(sample):
    """By the words of their places, which come from geometry alone."""
    vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
    route, titles = walked(vehicle)
    layout = vehicle.layout
    assert len(set(titles)) >= 0.9 * len(titles)
    assert all(a != b for a, b in itertools.pairwise(titles)), "neighbours of one name are one stop"
    for title, stop in zip(titles, route.stops, strict=True):
        places = [p.place for p in stop.points]
        if title.startswith("Inside, by the "):
            assert all(f" the {title.removeprefix('Inside, by the ')}" in place for place in places)
        elif title.startswith("Inside, "):
            rooms = {p.room for p in stop.points}
            assert len(rooms) == 1 and title.startswith(f"Inside, {layout.room(rooms.pop()).name}")
        else:
            assert not any(place.startswith("Inside") for place in places), title


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_one_stands_on_the_side_that_the_place_names(path):
    """Under the floor and on the roof too; what hangs under the roof is shown from below."""
    route, titles = walked(read_vehicle(path))
    for title, stop in zip(titles, route.stops, strict=True):
        for point in stop.points:
            side = next((s for s in ("nearside", "offside") if f", {s}" in point.place), "")
            if point.where in ("under", "roof") and stop.outside and side:
                assert title.startswith(f"Outside, {side}"), (title, point.place)
            assert point.kind != "air-conditioner" or not stop.outside


def test_what_is_in_one_locker_is_at_one_stop():
    for sample in ("bramble", "juniper", "larch", "rowan", "sorrel"):
        vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
        inside = Counter(
            (place, n)
            for n, stop in enumerate(walked(vehicle)[0].stops)
            for point in stop.points
            for place in ["locker" in point.place and ", ".join(point.place.split(", ")[:3])]
            if place and (" in the " in place or " through the " in place)
        )
        assert inside and len({place for place, _ in inside}) == len(inside), sample


def test_the_bonnet_is_opened_from_inside_before_one_stands_at_it():
    for sample in ("alder", "juniper", "larch"):
        route, titles = walked(read_vehicle(SAMPLES / f"{sample}.yaml"))
        kinds = [{p.kind for p in stop.points} for stop in route.stops]
        at = titles.index("Outside, front, under the bonnet")
        assert kinds[at] == {"vehicle-battery"}
        assert next(n for n, found in enumerate(kinds) if "bonnet-release" in found) < at


def test_the_way_back_lies_beside_the_way_out(larch):
    """One keeps right: two lines, so that neither arrow hides the other."""
    out = ((3000.0, -500.0), (6000.0, -500.0))
    route = Tour((), (out, out[::-1]), 6.0, 0, proved=True)
    lines = [i for i in draw_map(larch, route, 188.0).items if isinstance(i, Line)]
    ways = [i for i in lines if i.style.stroke == "#3a3a3a" and not i.closed]
    arrows = [i for i in lines if i.closed and i.style.fill == "#3a3a3a"]
    assert len(ways) == len(arrows) == 2
    assert 1.0 < ways[0].points[0][1] - ways[1].points[0][1] < 2.0, "to the right, then below the left"
    (first, *_), (second, *_) = (arrow.points for arrow in arrows)
    assert math.dist(first, second) > 2.0


@pytest.mark.parametrize("back", [False, True], ids=["round a corner", "and back"])
def test_the_pieces_of_a_way_stay_parallel_to_themselves(larch, back):
    """Round the vehicle they are upright and level, as it is; at most a line's width beyond its end."""
    corners = [(1000.0, -700.0), (8200.0, -700.0), (8200.0, 3000.0), (4000.0, 3000.0)]
    walked = (*corners, *corners[-2::-1]) if back else tuple(corners)
    drawing = draw_map(larch, Tour((), (walked,), 15.0, 0, proved=True), 188.0)
    (way,) = [
        i for i in drawing.items if isinstance(i, Line) and i.style.stroke == "#3a3a3a" and not i.closed
    ]
    pieces = list(itertools.pairwise(way.points))
    assert len(pieces) == (7 if back else 3)
    for (ax, ay), (bx, by) in pieces:
        assert min(abs(ax - bx), abs(ay - by)) < 1e-9
        assert math.dist((ax, ay), (bx, by)) > 1


def test_a_column_within_a_stop_says_which(sheet, larch, texts_of):
    """The head of the stop stands again over its further points, clear of the rule under the page's head."""
    route, titles = walked(larch)
    called = dict(zip(titles, route.stops, strict=True))
    called |= {f"Stop {n}": stop for n, stop in enumerate(route.stops, 1)}  # where the name is too long
    again = [s for s in texts_of(sheet) if s.item.text.endswith(", continued") and s.item.size_pt <= 9.5]
    assert again
    for s in again:
        stop = called[s.item.text.removesuffix(", continued")]
        below = min(
            (t for t in texts_of(sheet) if t.sheet == s.sheet and t.item.weight == "bold"
             and s.box[0] < t.box[0] < s.box[0] + 30 and t.box[1] > s.box[1]
             and not t.item.text.isdigit()),
            key=lambda t: t.box[1],
        )  # fmt: skip
        assert any(p.name.startswith(below.item.text) for p in stop.points)
        assert below.box[1] - s.box[3] > 1.5


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_column_within_a_stop_says_where_that_is(path):
    """Whichever stop goes on: the place is repeated in one line, no smaller than the names below it."""
    _, titles = walked(read_vehicle(path))
    for number, title in enumerate(titles, 1):
        head = StopHead(number=number, text=title).again(COLUMN_MM)
        words = [item for item in head.draw(0.0, 0.0, COLUMN_MM) if isinstance(item, Text)][1:]
        assert [item.text for item in words] == [f"{title}, continued"]
        assert 8.5 <= words[0].size_pt <= 9.5


def test_a_place_of_too_many_words_is_told_by_the_number_of_its_stop():
    head = StopHead(number=6, text="Outside, nearside, " + "behind the wheel " * 5).again(COLUMN_MM)
    assert head.text == "Stop 6, continued"


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
        page, back = sorted({s.sheet for s in found if s.item.text == copy})
        assert page % 2 == 0 and back == page + 1, "the leaf of that copy when printed on both sides"
        assert len([s for s in found if s.item.text.startswith(f"{copy} · Handover ")]) == 2, "at the foot"
        words = [s.item.text for s in found if s.sheet == page]
        assert words.count("Signature") == 2 and words.count("Date") == 2
        assert any("as ticked on page" in w for w in words)
        assert "Vehicle keys" in words and "Remarks" in words
    assert len(document.sheets) % 2 == 0
    for s in found:
        x0, y0, x1, y1 = s.box
        assert x0 >= 5 and x1 <= 205 and y0 >= 5 and y1 <= 292


def test_of_two_stops_at_one_place_each_number_stands_towards_its_own_points(larch):
    """The tag of the washroom stands on its side of the kitchen's, though one shows both from one place."""
    front, rear = (
        Stop((replace(larch.points[0], x=x, y=1000.0),), 4000.0, 1000.0, outside=False)
        for x in (3000.0, 5000.0)
    )
    for stops in ((front, rear), (rear, front)):
        drawing = draw_map(larch, Tour(stops, (), 0.0, 0, proved=True), 188.0)
        at = {i.text: i.x for i in drawing.items if isinstance(i, Text) and i.text in ("1", "2")}
        ahead, behind = (at[str(1 + stops.index(stop))] for stop in (front, rear))
        assert ahead < behind - 5.0


def test_the_copies_are_told_apart_at_arms_length(sheet, texts_of, seen):
    """In grey as well: the name is written white on dark on one, and dark on white on the other."""
    names = {s.item.text: s for s in texts_of(sheet) if s.item.text in ("Owner's copy", "Dealer's copy")}
    assert {s.item.colour for s in names.values()} == {WHITE, INK}
    for one in names.values():
        assert one.item.size_pt >= 12
        boxes = [s for s in seen(sheet) if isinstance(s.item, Rect) and s.sheet == one.sheet]
        bar = next(s for s in boxes if s.box[0] < one.box[0] < s.box[2] and s.box[1] < one.box[1] < s.box[3])
        assert bar.box[2] - bar.box[0] > 180 and {bar.item.style.fill, one.item.colour} == {WHITE, INK}


def test_the_owners_name_stands_on_its_line(larch, context_of, texts_of):
    found = texts_of(compose(context_of(larch)))
    names = [s for s in found if s.item.text == larch.owner and s.sheet >= 4]
    labels = [s for s in found if s.item.text == "Name"]
    assert len(names) == 2 and len(labels) == 4
    for name in names:
        beside = [
            s for s in labels if s.sheet == name.sheet and s.item.y == pytest.approx(name.item.y, abs=0.6)
        ]
        assert len(beside) == 2, "of the owner, and of who hands over"


def test_what_is_not_located_is_named_before_and_when_signing(few, context_of, texts_of):
    found = in_reading_order(texts_of(compose(context_of(few))))
    words = [s.item.text for s in found]
    for item in few.to_locate:
        assert " ".join(words).count(item.name) >= 2
    assert words.index("Not located yet: find before handover") < words.index("Say first")
    signed = " ".join(s.item.text for s in found if s.item.text not in ("Owner", "Owner's copy"))
    counted = f"located so far ({len(few.points)}; {len(few.to_locate)} still to be located)"
    assert signed.count(counted) == 2, "on both copies"


def test_a_vehicle_of_which_nothing_is_known_yet_says_so(few, context_of, texts_of):
    bare = replace(few, points=())
    words = " ".join(s.item.text for s in in_reading_order(texts_of(compose(context_of(bare)))))
    assert "No point is located yet." in words and "stops" not in words
    assert "located so far (none; " in words
