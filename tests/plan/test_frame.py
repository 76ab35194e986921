"""Where a vehicle's points come to stand on the sheet."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from guidegen.plan.frame import Frame, Hand, Orientation, fit_frame
from guidegen.vehicle.layout import Area
from guidegen.vehicle.layout_reading import layout_ids, read_layout

HANDS: tuple[Hand, ...] = ("left", "right")
TURNS: tuple[Orientation, ...] = ("landscape", "portrait")


def frame(orientation: Orientation, nearside: Hand) -> Frame:
    return Frame(1 / 40, 20, 30, 2000, orientation, nearside)


@pytest.mark.parametrize(
    ("orientation", "nearside", "nearside_front", "offside_rear"),
    [
        # Front at the left; seen from above, a left nearside is then at the bottom.
        ("landscape", "left", (20, 80), (120, 30)),
        ("landscape", "right", (20, 30), (120, 80)),
        # Front up: a left nearside is at the left.
        ("portrait", "left", (20, 30), (70, 130)),
        ("portrait", "right", (70, 30), (20, 130)),
    ],
)
def test_front_and_nearside_stand_where_the_rules_say(
    orientation: Orientation,
    nearside: Hand,
    nearside_front: tuple[float, float],
    offside_rear: tuple[float, float],
) -> None:
    f = frame(orientation, nearside)
    assert f.at(0, 0) == pytest.approx(nearside_front)
    assert f.at(4000, 2000) == pytest.approx(offside_rear)


def test_a_left_nearside_is_on_the_left_hand_of_whoever_looks_forwards() -> None:
    """The turn from forwards to the nearside is anticlockwise as seen from above for a left nearside."""
    for orientation in TURNS:
        for nearside in HANDS:
            f = frame(orientation, nearside)
            (x0, y0), (x1, y1), (x2, y2) = f.at(2000, 1000), f.at(1000, 1000), f.at(2000, 0)
            cross = (x1 - x0) * (y2 - y0) - (y1 - y0) * (x2 - x0)
            # The sheet's y runs down, so that anticlockwise is negative.
            assert (cross < 0) is (nearside == "left")


@given(
    st.floats(-2000, 9000),
    st.floats(-500, 2500),
    st.sampled_from(TURNS),
    st.sampled_from(HANDS),
)
def test_back_undoes_at(x: float, y: float, orientation: Orientation, nearside: Hand) -> None:
    f = frame(orientation, nearside)
    assert f.back(f.at(x, y)) == pytest.approx((x, y), abs=1e-6)


def test_a_box_spans_the_corners_of_its_area() -> None:
    assert frame("landscape", "left").box(Area(400, 0, 800, 400)) == pytest.approx((30, 70, 20, 10))
    assert frame("portrait", "right").box(Area(400, 0, 800, 400)) == pytest.approx((60, 40, 10, 20))


@pytest.mark.parametrize("orientation", TURNS)
def test_a_fitted_plan_lies_in_its_box_with_its_drawbar(orientation: Orientation) -> None:
    box = (10.0, 12.0, 200.0, 150.0)
    for id in layout_ids():
        layout = read_layout(id)
        f = fit_frame(layout, box, orientation, "left")
        for x in (-layout.drawbar, layout.length):
            for y in (0.0, layout.width):
                right, down = f.at(x, y)
                assert 9.99 <= right <= 210.01
                assert 11.99 <= down <= 162.01
