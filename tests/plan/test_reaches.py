"""A marker that makes room for another stays on its wall, and on its side of every wall."""

from __future__ import annotations

import math

import pytest

from guidegen.plan.arrange import Spot, Subject, arrange
from guidegen.plan.frame import Frame
from guidegen.plan.numbering import NUMBERING_BOX
from guidegen.plan.reaches import kept, on_sheet, reach
from guidegen.plan.spreading import APART_MM, nudge
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.outline import edge_at


@pytest.fixture(params=layout_ids())
def layout(request: pytest.FixtureRequest) -> Layout:
    return read_layout(request.param)


def at_door(layout: Layout) -> float:
    return next(d.start + d.width / 2 for d in layout.doors if d.kind in ("habitation", "sliding"))


def test_a_door_and_its_step_part_along_the_wall(layout: Layout) -> None:
    side = next(d.side for d in layout.doors if d.kind in ("habitation", "sliding"))
    x, y = edge_at(layout, side, at_door(layout), 0.0)
    pair = tuple(Spot(name, x, y, side, "", "") for name in ("door", "step"))
    found = arrange(Subject(layout, pair, "left"), NUMBERING_BOX)
    (x1, y1), (x2, y2) = found.places["door"], found.places["step"]
    assert y1 == y2 == pytest.approx(found.frame.at(x, y)[1], abs=1e-3)
    assert abs(x1 - x2) >= APART_MM - 0.01


@pytest.mark.parametrize("nearside", ["left", "right"])
@pytest.mark.parametrize("orientation", ["landscape", "portrait"])
def test_nothing_is_pushed_through_a_wall(layout: Layout, nearside, orientation) -> None:
    """Points on both sides of every straight partition, at one place as far as the sheet can tell."""
    frame = Frame(1 / 40, 20, 20, layout.width, orientation, nearside)
    for n, wall in enumerate(layout.partitions):
        (x1, y1), (x2, y2) = wall.start, wall.end
        if x1 != x2 and y1 != y2:
            continue
        x, y = (x1 + x2) / 2, (y1 + y2) / 2
        dx, dy = (1.0, 0.0) if x1 == x2 else (0.0, 1.0)
        points = [
            Spot(f"{n}-{k}", x + dx * off, y + dy * off, "inside", "", "")
            for k, off in enumerate((-10, 20, 25, 30))
        ]
        homes = {p.id: frame.at(p.x, p.y) for p in points}
        within = {p.id: on_sheet(reach(layout, p), frame) for p in points}
        for p in points:
            x_now, y_now = frame.back(nudge(homes, reaches=within)[p.id])
            before, after = (p.x - x, x_now - x) if dx else (p.y - y, y_now - y)
            assert before * after > 0


def test_what_stands_inside_is_not_pushed_into_the_outer_wall(layout: Layout) -> None:
    x = at_door(layout)
    points = [Spot(f"p{n}", x, layout.wall + 60.0 + 5 * n, "inside", "", "") for n in range(3)]
    frame = Frame(1 / 40, 0, 0, layout.width)
    within = {p.id: on_sheet(reach(layout, p), frame) for p in points}
    for place in nudge({p.id: frame.at(p.x, p.y) for p in points}, reaches=within).values():
        assert frame.back(place)[1] >= layout.wall


def test_a_place_is_always_within_its_own_reach(layout: Layout) -> None:
    grid = [
        Spot(f"{x}-{y}-{where}", x, y, where, "", "")
        for x in range(-900, int(layout.length) + 300, 330)
        for y in range(-200, int(layout.width) + 200, 210)
        for where in ("inside", "nearside", "rear", "roof", "under")
    ]
    assert all(kept((p.x, p.y), reach(layout, p)) == (p.x, p.y) for p in grid)


def test_a_slanted_wall_holds_nothing_to_a_line() -> None:
    layout = read_layout("coachbuilt-island-bed")  # its body widens behind the cab
    spots = [Spot(f"{x}", x, edge_at(layout, "nearside", x, 0)[1], "nearside", "", "") for x in (1950, 5000)]
    slanted, straight = (reach(layout, spot) for spot in spots)
    assert slanted[0] > -math.inf
    assert straight[:2] == (-math.inf, math.inf) and straight[2] == straight[3]
