"""The numbers of a walk's stops: beside the way and their stop's dot, never over either or over each other."""

from __future__ import annotations

import math
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from shapely.geometry import LineString, MultiLineString, Point, box

from guidegen.documents.context import Context
from guidegen.documents.guide import walk_map
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.walk_map import WalkMap
from guidegen.documents.guide.walk_tags import beside_way
from guidegen.documents.guide.walks import _begun, stops_of, walk_chapter
from guidegen.drawing.primitives import Sheet
from guidegen.plan.numbering import numbered
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"
ROOM, TAG, DOT_MM = (120.0, 60.0), (4.0, 4.0), 0.9


@pytest.fixture
def asked(monkeypatch):
    """What each map that is drawn asks for its numbers, and is told."""
    found = []

    def spy(*given):
        stands = beside_way(*given)
        found.append((*given, stands))
        return stands

    monkeypatch.setattr(walk_map, "beside_way", spy)
    return found


def shape(stand):
    x, y, w, h = stand.box
    return box(x, y, x + w, y + h)


def test_a_number_stands_next_to_its_stop_off_the_way_and_without_a_leader():
    way = [(20.0, 30.0), (100.0, 30.0)]
    (stand,) = beside_way([(60.0, 30.0)], [TAG], [way], ROOM, DOT_MM)
    assert stand.leader is None
    assert 0.5 < shape(stand).distance(LineString(way)) < 2.5
    assert stand.box[0] == pytest.approx(58.0)  # its middle over the stop


def test_where_ways_leave_no_room_a_leader_ties_the_number_to_its_stop():
    star = [
        [(60 + 9 * math.cos(a), 30 + 9 * math.sin(a)), (60.0, 30.0)]
        for a in map(math.radians, range(0, 360, 20))
    ]
    (stand,) = beside_way([(60.0, 30.0)], [TAG], star, ROOM, DOT_MM)
    assert stand.leader
    assert Point(stand.leader[0]).distance(Point(60, 30)) == pytest.approx(DOT_MM)
    assert shape(stand).contains(Point(stand.leader[1]))
    assert shape(stand).distance(MultiLineString(star)) > 0


def test_a_crowd_of_stops_keeps_its_numbers_apart_and_within_the_map():
    stops = [(4.0 * n, 7.0 + n % 2) for n in range(1, 9)]
    stands = beside_way(stops, [TAG] * len(stops), [stops], ROOM, DOT_MM)
    for one, other in combinations(stands, 2):
        assert shape(one).distance(shape(other)) >= 0.6
    for stand in stands:
        x, y, w, h = stand.box
        assert x >= 0 and y >= 0 and x + w <= ROOM[0] and y + h <= ROOM[1]
        assert all(shape(stand).distance(Point(stop)) > DOT_MM for stop in stops)


def in_vehicle(stand, body):
    x, y, w, h = body
    return shape(stand).intersection(box(x, y, x + w, y + h)).area


def test_numbers_of_stops_beside_the_vehicle_stand_outside_it_and_make_room_for_each_other():
    """Next to its stop the middle one has no room beyond the way as long as the others stand as they like."""
    body, way = (20.0, 20.0, 80.0, 24.0), [(20.0, 17.0), (100.0, 17.0)]
    stops, sizes = [(54.0, 17.0), (60.0, 17.0), (65.0, 17.0)], [(6.0, 4.0), (4.0, 4.0), (6.0, 4.0)]
    stands = beside_way(stops, sizes, [way], ROOM, DOT_MM, (), body)
    assert not any(in_vehicle(stand, body) for stand in stands)
    assert not any(stand.leader for stand in stands)
    for one, other in combinations(stands, 2):
        assert shape(one).distance(shape(other)) >= 0.6


def test_numbers_of_stops_inside_stay_off_the_wall():
    body, way = (20.0, 20.0, 80.0, 24.0), [(60.0, 24.0), (60.0, 30.0), (90.0, 30.0)]
    (stand,) = beside_way([(60.0, 24.0)], [TAG], [way], ROOM, DOT_MM, (), body)
    assert in_vehicle(stand, body) == pytest.approx(16.0)
    assert shape(stand).distance(LineString(way)) > 0


@pytest.mark.parametrize("sample", ["bramble", "fern", "larch"])
def test_in_large_print_hardly_a_number_of_a_stop_outside_reads_as_one_inside(sample, asked):
    """What is left lies over an edge or a corner, where other numbers or a name take the room beyond the way."""
    context = Context(read_vehicle(SAMPLES / f"{sample}.yaml"), load_trade())
    over = everything = 0.0
    for sequence in context.sequences.sequences.values():
        walk = WalkMap(Kit(context, LARGE_LOOK), sequence, LARGE_LOOK.width, 0.28 * LARGE_LOOK.height)
        walk.drawn(0.0, 0.0)
        layout = context.vehicle.layout
        (x1, y1), (x2, y2) = walk.frame.at(0.0, 0.0), walk.frame.at(layout.length, layout.width)
        body = box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
        stops, *_, stands = asked[-1]
        outside = [shape(one) for at, one in zip(stops, stands, strict=True) if not body.contains(Point(at))]
        assert len(outside) > 3
        over += sum(one.intersection(body).area for one in outside)
        everything += sum(one.area for one in outside)
    assert len(asked) == 4
    assert over < 0.025 * everything


def test_the_pitch_supply_is_drawn_near_so_that_the_vehicle_is_large():
    context = Context(read_vehicle(SAMPLES / "hazel.yaml"), load_trade())
    arrive = WalkMap(Kit(context, A4_LOOK), context.sequences.sequences["arrive"], 178.0, 70.0)
    post = next(s for s in arrive.sequence.steps if s.stop == "post")
    layout, (_, y) = context.vehicle.layout, arrive._at((post.x, post.y))
    assert post.y - layout.width > 1400.0  # as one walks
    assert arrive.frame.back((0.0, y))[1] - layout.width <= 1200.01  # as it is drawn
    assert 0.0 < y < arrive.height


@pytest.mark.parametrize("look", [A4_LOOK, A5_LOOK, LARGE_LOOK], ids=["A4", "A5", "large"])
@pytest.mark.parametrize("sample", ["hazel", "larch"])
def test_on_the_maps_of_a_guide_no_number_hides_the_way_or_another(sample, look, asked):
    context = Context(read_vehicle(SAMPLES / f"{sample}.yaml"), load_trade())
    for sequence in context.sequences.sequences.values():
        WalkMap(Kit(context, look), sequence, look.width, 0.28 * look.height).drawn(0.0, 0.0)
    assert len(asked) == 4
    for stops, sizes, ways, _, dot, rings, _, stands in asked:
        drawn = MultiLineString([piece for way in ways for piece in pairwise(way) if piece[0] != piece[1]])
        hidden = sum(shape(stand).intersection(drawn).length for stand in stands)
        assert hidden < 0.005 * drawn.length
        assert not any(shape(a).intersects(shape(b)) for a, b in combinations(stands, 2))
        for stand, size in zip(stands, sizes, strict=True):
            assert stand.box[2:] == size
            assert all(shape(stand).distance(Point(stop)) >= dot for stop in stops)
            assert not any(shape(stand).contains(Point(ring)) for ring in rings)


@pytest.mark.parametrize("sample", ["alder", "hazel"])
def test_every_end_of_the_way_has_a_dot_or_a_ring(sample):
    """Where the way turns straight back somebody stands to do something."""
    context = Context(read_vehicle(SAMPLES / f"{sample}.yaml"), load_trade())
    turns = 0
    for sequence in context.sequences.sequences.values():
        walk = WalkMap(Kit(context, A4_LOOK), sequence, A4_LOOK.width, 70.0)
        marked = [Point(walk._at(stop)) for stop in walk._stops()] + [Point(at) for at in walk._elsewhere()]
        drawn = [walk._at(p) for leg in walk._legs() for p in leg]
        drawn = [p for p, after in pairwise([*drawn, (-9.0, -9.0)]) if math.dist(p, after) > 0.05]
        back = [b for a, b, c in zip(drawn, drawn[1:], drawn[2:], strict=False) if math.dist(a, c) < 0.05]
        turns += len(back)
        for end in (*back, drawn[-1]):
            assert min(one.distance(Point(end)) for one in marked) < 2 * DOT_MM
    assert turns


def test_the_heading_of_a_stop_that_leads_through_rooms_says_which_is_first():
    context = Context(read_vehicle(SAMPLES / "alder.yaml"), load_trade())
    points = {p.id: p for p in context.vehicle.points}
    rooms = {room.name for room in context.vehicle.layout.rooms}
    seen = 0
    for sequence in context.sequences.sequences.values():
        for steps in stops_of(sequence):
            placed = [tuple(points[id] for id in step.points) for step in steps]
            said = _begun(context.vehicle.layout, steps, placed)
            if said.endswith(" first") and said.removesuffix(" first").removeprefix(", ") in rooms:
                seen += 1
                if first := next((one[0] for one in placed if one and not steps[0].stops), None):
                    assert first.place.startswith(f"Inside{said.removesuffix(' first')}")
    assert seen > 5


def test_the_way_from_the_drivers_seat_to_the_fridge_is_on_the_map():
    """Leave: the engine runs by then, and the fridge goes to 12 V; one comes back to the seat."""
    context = Context(read_vehicle(SAMPLES / "sorrel.yaml"), load_trade())
    sequence = context.sequences.sequences["leave"]
    last = sequence.steps[-1]
    assert last.stop == "seat" and last.points and len(last.spots) == 2
    walk = WalkMap(Kit(context, A4_LOOK), sequence, A4_LOOK.width, 70.0)
    assert math.dist(walk._legs()[-1][-1], last.spots[1]) < 1.0
    steps = stops_of(sequence)[-1]
    points = {p.id: p for p in context.vehicle.points}
    placed = [tuple(points[id] for id in step.points) for step in steps]
    assert _begun(context.vehicle.layout, steps, placed) == ", then kitchen"


def test_what_hides_a_valve_stands_at_its_step_and_no_other_note_does(texts_of):
    """A note on use, "plug the pump in", would be wrong where it is unplugged, and one on opening at closing."""
    printed = set()
    for sample in ("alder", "hazel", "willow"):
        vehicle = numbered(read_vehicle(SAMPLES / f"{sample}.yaml"))
        context = Context(vehicle, load_trade())
        for sequence in context.sequences.sequences.values():
            pages = walk_chapter(Kit(context, A4_LOOK), sequence).pages
            texts = [s.item.text for page in pages for s in texts_of(Sheet(210.0, 297.0, page, "page"))]
            words = " ".join(texts).replace("\N{NO-BREAK SPACE}", " ")
            printed |= {p for p in vehicle.points if p.note and p.note in words}
    assert {p.kind for p in printed} == {"isolation-valve"}
