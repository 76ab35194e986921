"""The vehicle from outside: which way round, and true heights."""

from __future__ import annotations

import pytest

from guidegen.drawing.primitives import Circle, Line, Path, Rect
from guidegen.plan.elevation import draw_elevation, draw_steady
from guidegen.plan.elevation_frame import ElevationFrame, fit_elevation
from guidegen.plan.frame import Hand
from guidegen.plan.pens import PLAIN
from guidegen.vehicle.layout import Side
from guidegen.vehicle.layout_reading import layout_ids, read_layout

SIDES: tuple[Side, ...] = ("front", "rear", "nearside", "offside")


@pytest.mark.parametrize(
    ("side", "nearside", "starts_left"),
    [
        # Before a left flank, the front is to the left; before a right one, to the right.
        ("nearside", "left", True),
        ("nearside", "right", False),
        ("offside", "left", False),
        ("offside", "right", True),
        # Behind the vehicle, its left is to the left; before it, to the right.
        ("rear", "left", True),
        ("rear", "right", False),
        ("front", "left", False),
        ("front", "right", True),
    ],
)
def test_a_side_is_seen_as_by_a_person_before_it(side: Side, nearside: Hand, starts_left: bool) -> None:
    frame = ElevationFrame(1 / 50, 10, 100, 2000, side, nearside)
    near, far = frame.at(0, 0)[0], frame.at(2000, 0)[0]
    assert (near < far) is starts_left
    assert frame.at(0, 500)[1] == pytest.approx(90)


@pytest.mark.parametrize("id", layout_ids())
@pytest.mark.parametrize("nearside", ["left", "right"])
def test_everything_lies_in_its_box_and_stands_on_the_ground(id: str, nearside: Hand) -> None:
    layout = read_layout(id)
    for side in SIDES:
        frame = fit_elevation(layout, side, (10, 20, 120, 40), nearside, 1 / 60)
        items = draw_elevation(layout, side, frame)
        for item in items:
            if isinstance(item, Rect):
                assert 9.5 <= item.x <= item.x + item.width <= 130.5
                assert 19.5 <= item.y <= item.y + item.height <= 60.5
        tyres = [i for i in items if isinstance(i, (Circle, Rect)) and i.style.fill == PLAIN.wall]
        assert tyres
        lowest = max(t.y + (t.radius if isinstance(t, Circle) else t.height) for t in tyres)
        assert lowest == pytest.approx(60, abs=0.01)


def test_hatches_and_windows_stand_at_their_true_places_and_heights() -> None:
    layout = read_layout("coachbuilt-rear-lounge")
    frame = ElevationFrame(1 / 50, 0, 100, layout.length, "nearside", "left")
    boxes = [
        (i.x, i.y + i.height, i.width, i.height)
        for i in draw_elevation(layout, "nearside", frame)
        if isinstance(i, Rect)
    ]
    for hatch in (h for h in layout.hatches if h.side == "nearside"):
        low, high = 100 - hatch.bottom_mm / 50, (hatch.top_mm - hatch.bottom_mm) / 50
        assert any(b == pytest.approx((hatch.start / 50, low, hatch.width / 50, high)) for b in boxes)
    for window in (w for w in layout.windows if w.side == "nearside"):
        low, high = 100 - window.sill_mm / 50, (window.top_mm - window.sill_mm) / 50
        assert any(b == pytest.approx((window.start / 50, low, window.width / 50, high)) for b in boxes)


@pytest.mark.parametrize("id", layout_ids())
def test_the_body_is_one_closed_path(id: str) -> None:
    layout = read_layout(id)
    for side in SIDES:
        frame = ElevationFrame(1 / 50, 0, 100, layout.length, side, "left")
        bodies = [i for i in draw_elevation(layout, side, frame) if getattr(i, "css", "") == "elevation"]
        assert len(bodies) == 1
        assert isinstance(bodies[0], Path)
        assert bodies[0].commands[-1] == ("Z",)


def caravans() -> list[str]:
    return [id for id in layout_ids() if read_layout(id).drawbar > 0]


@pytest.mark.parametrize("id", layout_ids())
def test_before_a_caravan_one_sees_its_drawbar_and_before_nothing_else(id: str) -> None:
    layout = read_layout(id)
    frame = ElevationFrame(1 / 60, 0, 100, layout.width, "front", "left")
    bars = [i for i in draw_elevation(layout, "front", frame) if isinstance(i, Line) and i.closed]
    assert len(bars) == (2 if id in caravans() else 0)
    middle = frame.at(layout.width / 2, 0)[0]
    for bar in bars:  # one to each side of the middle, as low as in the view from the side
        assert all(abs(x - middle) <= 560 / 60 + 1e-6 for x, _ in bar.points)
        assert {round((100 - y) * 60) for _, y in bar.points} == {360, 390, 440, 480}


@pytest.mark.parametrize("id", caravans())
@pytest.mark.parametrize("side", ["nearside", "offside"])
def test_a_steady_reaches_from_the_body_to_the_ground(id: str, side: Side) -> None:
    layout = read_layout(id)
    frame = ElevationFrame(1 / 50, 0, 100, layout.length, side, "left")
    leg, foot = draw_steady(frame, 420.0)
    x = frame.at(420.0, 0)[0]
    for part in (leg, foot):
        assert part.x + part.width / 2 == pytest.approx(x)
    assert foot.y + foot.height == pytest.approx(100)
    assert leg.y + leg.height == pytest.approx(foot.y)
    assert (100 - leg.y) * 50 == pytest.approx(380)  # the sill


@pytest.mark.parametrize("id", layout_ids())
def test_a_rear_has_a_bumper_below_its_doors_or_a_number_plate_above_it(id: str) -> None:
    layout = read_layout(id)
    frame = ElevationFrame(1 / 50, 0, 100, layout.width, "rear", "left")
    items = draw_elevation(layout, "rear", frame)
    (bumper,) = (
        i
        for i in items
        if isinstance(i, Line)
        and {x for x, _ in i.points} == {0.0, layout.width / 50}
        and i.points[0][1] < 99
    )
    above = [i for i in items if isinstance(i, Rect) and i.y + i.height <= bumper.points[0][1]]
    plates = [i for i in above if (i.width, i.height) == pytest.approx((520 / 50, 110 / 50))]
    doors = [door for door in layout.doors if door.side == "rear"]
    assert len(plates) == (0 if doors else 1)
    assert len(above) >= 3 * len(doors) + 2  # leaf, pane and handle of each, and the lamps
