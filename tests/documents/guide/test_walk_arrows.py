"""The arrow heads of a walk: on the way, where neither a dot nor a number nor another head is."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from shapely.geometry import LineString, Point, Polygon, box

from guidegen.documents.context import Context
from guidegen.documents.guide.look import A4_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.walk_arrows import arrow_heads
from guidegen.documents.guide.walk_map import WAY, WalkMap
from guidegen.drawing.primitives import Circle, Line, Rect
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"
LONG_MM = 2.3
THERE = [(10.0, 20.0), (50.0, 20.0)]


def middle(head):
    return Polygon(head).centroid


def test_a_head_lies_near_the_middle_of_the_longest_piece_and_points_along_it():
    ((tip, left, right),) = arrow_heads([[(10.0, 5.0), *THERE]], LONG_MM, [])
    assert tip[1] == pytest.approx(20.0) and 30.0 < tip[0] < 33.0
    assert tip[0] - left[0] == pytest.approx(LONG_MM) == tip[0] - right[0]
    assert (left[1] + right[1]) / 2 == pytest.approx(20.0)


def test_it_moves_along_its_piece_where_something_stands_in_the_middle():
    number = (26.0, 15.0, 10.0, 8.0)
    ((head),) = arrow_heads([THERE], LONG_MM, [number])
    assert not Polygon(head).intersects(box(26.0, 15.0, 36.0, 23.0))
    assert LineString(THERE).distance(middle(head)) < 0.01
    assert LineString(THERE).buffer(2.0, cap_style="flat").contains(Polygon(head))


def test_it_lies_on_another_piece_where_the_longest_is_full_and_is_left_out_where_all_are():
    way = [*THERE, (50.0, 45.0)]
    full = (5.0, 15.0, 50.0, 10.0)
    ((head),) = arrow_heads([way], LONG_MM, [full])
    assert middle(head).x == pytest.approx(50.0)
    assert middle(head).y > 25.0
    assert not list(arrow_heads([way], LONG_MM, [full, (45.0, 20.0, 10.0, 30.0)]))
    assert not list(arrow_heads([[(0.0, 0.0), (3.0, 0.0)]], LONG_MM, []))  # too short for one


def test_those_of_there_and_back_lie_one_behind_the_other_and_two_the_same_way_are_one():
    back = [(x, 18.9) for x, _ in reversed(THERE)]
    there, again = arrow_heads([THERE, back, THERE], LONG_MM, [])
    assert not Polygon(there).intersects(Polygon(again))
    assert there[0][0] > there[1][0] and again[0][0] < again[1][0]


@pytest.mark.parametrize("look", [A4_LOOK, LARGE_LOOK], ids=["A4", "large"])
@pytest.mark.parametrize("sample", ["juniper", "larch"])
def test_on_the_maps_of_a_guide_heads_touch_no_dot_no_number_and_no_other_head(sample, look):
    """Measured in what is drawn."""
    context = Context(read_vehicle(SAMPLES / f"{sample}.yaml"), load_trade())
    for sequence in context.sequences.sequences.values():
        walk = WalkMap(Kit(context, look), sequence, look.width, 0.28 * look.height)
        drawn = [*walk._way(), *walk._tags()]
        heads = [Polygon(i.points) for i in drawn if isinstance(i, Line) and i.closed and i.style.fill == WAY]
        dots = [Point(i.x, i.y).buffer(i.radius) for i in drawn if isinstance(i, Circle)]
        frames = [i for i in drawn if isinstance(i, Rect)]  # the white about the numbers
        numbers = [box(i.x, i.y, i.x + i.width, i.y + i.height) for i in frames]
        assert len(heads) > 10 and len(dots) >= len(numbers) > 10
        for head in heads:
            assert not any(head.intersects(one) for one in (*dots, *numbers))
        assert not any(a.intersects(b) for a, b in combinations(heads, 2))
