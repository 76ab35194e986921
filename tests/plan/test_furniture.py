"""Each kind of furniture as drawn, in its own mm."""

from __future__ import annotations

import pytest

from guidegen.drawing.primitives import Circle, Rect
from guidegen.plan.frame import Frame
from guidegen.plan.furniture import draw_furniture, drawn_facing
from guidegen.plan.pieces import PIECES, bed, fridge, hob
from guidegen.plan.strokes import Box, Curve, Mark, Oval, Stroke, place_in, size_of
from guidegen.vehicle.layout import Area, Side
from guidegen.vehicle.layout_fields import FURNITURE_KINDS
from guidegen.vehicle.layout_reading import read_layout

FRAME = Frame(1.0, 0, 0, 2000, "landscape", "right")  # the sheet's x, y are the vehicle's


def reach(mark: Mark) -> tuple[float, float, float, float]:
    """Smallest and largest u and v of a mark."""
    if isinstance(mark, Box):
        return (mark.u, mark.v, mark.u + mark.width, mark.v + mark.depth)
    if isinstance(mark, Oval):
        ru, rv = mark.radius_u, mark.radius_v
        return (mark.u - ru, mark.v - rv, mark.u + ru, mark.v + rv)
    if isinstance(mark, Stroke):
        us, vs = zip(*mark.points, strict=True)
    else:
        assert isinstance(mark, Curve)
        ends = [c[-2:] for c in mark.commands if len(c) > 1]
        us, vs = zip(*ends, strict=True)
    return (min(us), min(vs), max(us), max(vs))


def test_every_kind_that_a_layout_may_name_has_a_drawing() -> None:
    assert set(PIECES) == set(FURNITURE_KINDS)


@pytest.mark.parametrize("kind", sorted(PIECES))
@pytest.mark.parametrize(
    ("width", "depth"), [(400, 560), (560, 560), (1000, 600), (1400, 1950), (1900, 700), (280, 560)]
)
def test_a_drawing_keeps_within_its_piece(kind: str, width: float, depth: float) -> None:
    for mark in PIECES[kind](width, depth):
        u1, v1, u2, v2 = reach(mark)
        # An oven's handle stands out from its worktop.
        assert u1 >= -1, mark
        assert v1 >= -1, mark
        assert u2 <= width + 1, mark
        assert v2 <= depth + (30 if kind == "oven" else 1), mark


def test_a_bed_has_a_pillow_for_each_sleeper_at_its_head() -> None:
    for width, sleepers in ((750, 1), (1350, 2)):
        pillows = [m for m in bed(width, 1950) if isinstance(m, Box) and m.tint == "floor"]
        assert len(pillows) == sleepers
        assert all(p.v + p.depth < 1950 / 3 for p in pillows)


def test_hob_rings_do_not_touch() -> None:
    for width, depth in ((400, 430), (520, 480), (560, 500)):
        outer = [m for m in hob(width, depth) if isinstance(m, Oval) and m.pen == "edge"]
        assert len(outer) == (2 if width < 430 else 4)
        for i, a in enumerate(outer):
            for b in outer[i + 1 :]:
                assert (a.u - b.u) ** 2 + (a.v - b.v) ** 2 > (a.radius_u + b.radius_u) ** 2


@pytest.mark.parametrize(
    ("facing", "back", "front"),
    [
        ("offside", (1500, 500), (1500, 900)),
        ("nearside", (1500, 900), (1500, 500)),
        ("rear", (1000, 700), (2000, 700)),
        ("front", (2000, 700), (1000, 700)),
    ],
)
def test_v_runs_from_the_back_to_the_free_edge(
    facing: Side, back: tuple[float, float], front: tuple[float, float]
) -> None:
    area = Area(1000, 500, 1000, 400)
    width, depth = size_of(area, facing)
    place = place_in(area, facing, FRAME)
    assert place(width / 2, 0) == pytest.approx(back)
    assert place(width / 2, depth) == pytest.approx(front)


def test_a_bed_is_drawn_from_its_head_though_it_is_entered_from_the_side() -> None:
    layout = read_layout("van-transverse-bed")
    piece = layout.piece("bed")
    assert piece is not None
    assert (piece.facing, drawn_facing(piece)) == ("front", "nearside")
    items = draw_furniture(layout, FRAME)
    pillows = [i for i in items if isinstance(i, Rect) and i.style.fill == "#ffffff" and i.x > 4500]
    assert len(pillows) == 2
    assert all(p.y + p.height / 2 > layout.width / 2 for p in pillows)  # head to the offside


@pytest.mark.parametrize("id", ["coachbuilt-rear-lounge", "a-class-drop-down-bed", "van-short"])
def test_the_steering_wheel_stands_before_the_offside_seat(id: str) -> None:
    layout = read_layout(id)
    driver = layout.piece("driver-seat")
    assert driver is not None
    empty = {type(i) for i in draw_furniture(layout, FRAME)}
    assert Circle in empty
    strong = [i for i in draw_furniture(layout, FRAME) if i.style.width_mm == 0.35]  # type: ignore[union-attr]
    assert len(strong) == 1  # the rim
    ys = [c[-1] for c in strong[0].commands if len(c) > 1]  # type: ignore[union-attr]
    xs = [c[-2] for c in strong[0].commands if len(c) > 1]  # type: ignore[union-attr]
    assert (min(ys) + max(ys)) / 2 == pytest.approx(driver.area.centre[1])
    assert max(xs) < driver.area.x


def test_the_star_of_a_fridge_is_clear_of_a_marker_in_its_middle():
    """The point of a fridge is usually said to be in the middle, and its control before it."""
    for width, depth in ((450, 500), (560, 600)):
        star = [reach(mark) for mark in fridge(width, depth) if isinstance(mark, Stroke)]
        assert len(star) == 3
        assert max(v for _, _, _, v in star) < depth / 2 - 20
