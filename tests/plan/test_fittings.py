"""What is fitted to a vehicle's outside: at its true place, as large as it is, and nothing on anything else."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import box as shapely_box

from guidegen.drawing.primitives import Circle, Line, Rect
from guidegen.plan.elevation import opening_boxes
from guidegen.plan.elevation_frame import fit_elevation
from guidegen.plan.fittings import LEAST_MM, SHAPES, Box, draw_fittings, fitting, from_above, hung
from guidegen.plan.pens import PLAIN
from guidegen.trade.load import _kind, load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
ROOM: Box = (0.0, 0.0, 150.0, 60.0)


def outer(items) -> list[Box]:
    """The boxes of the fittings: the shapes that no earlier shape holds."""
    found: list[Box] = []
    for item in items:
        if isinstance(item, Rect):
            box = (item.x, item.y, item.width, item.height)
        elif isinstance(item, Circle):
            box = (item.x - item.radius, item.y - item.radius, 2 * item.radius, 2 * item.radius)
        else:
            continue
        if not any(area(b).buffer(1e-6).contains(area(box)) for b in found):
            found.append(box)
    return found


def area(box: Box):
    return shapely_box(box[0], box[1], box[0] + box[2], box[1] + box[3])


@pytest.mark.parametrize("shape", [s for s in SHAPES if s != "spout"])
def test_a_fitting_is_as_large_as_its_kind_and_stands_about_its_place(shape: str) -> None:
    (box,) = outer(draw_fittings([fitting(shape, (50.0, 30.0), 8.0, 8.0)], (), ROOM))
    assert box == pytest.approx((46.0, 26.0, 8.0, 8.0))


def test_a_small_fitting_is_never_hidden_by_its_marker() -> None:
    (box,) = outer(draw_fittings([fitting("cap", (50.0, 30.0), 1.0, 1.0)], (), ROOM))
    assert box[2] == box[3] == pytest.approx(LEAST_MM)


def test_two_fillers_side_by_side_stand_behind_one_flap() -> None:
    two = [fitting("cap", (x, 30.0), 4.0, 4.0) for x in (50.0, 52.0)]
    (box,) = outer(draw_fittings(two, (), ROOM))
    assert box == pytest.approx((48.0, 28.0, 6.0, 4.0))


def test_a_vent_ends_beside_a_door_and_still_holds_its_place() -> None:
    door: Box = (40.0, 10.0, 14.0, 40.0)
    (box,) = outer(draw_fittings([fitting("louvres", (57.0, 30.0), 10.0, 5.0)], [door], ROOM))
    assert not area(box).intersects(area(door))
    assert area(box).contains(ShapelyPoint(57.0, 30.0))
    assert (box[0] + box[2], box[3]) == pytest.approx((62.0, 5.0))


def test_what_stands_within_a_hatch_is_not_drawn_over_it() -> None:
    hatch: Box = (40.0, 20.0, 20.0, 20.0)
    assert draw_fittings([fitting("flap", (50.0, 30.0), 6.0, 6.0)], [hatch], ROOM) == ()


def test_a_flap_shows_its_hinge_along_its_top() -> None:
    items = draw_fittings([fitting("flap", (50.0, 30.0), 6.0, 6.0)], (), ROOM)
    hinge, lock = (i for i in items if isinstance(i, Line))
    assert hinge.style.width_mm > lock.style.width_mm
    assert hinge.points[0][1] == pytest.approx(27.1) and lock.points[0][1] > 30.0


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
@pytest.mark.parametrize("side", ["nearside", "offside"])
def test_on_every_sample_no_fitting_lies_on_a_door_a_window_a_wheel_or_another(path: Path, side) -> None:
    vehicle, kinds = read_vehicle(path), load_trade().kinds
    frame = fit_elevation(vehicle.layout, side, (12, 12, 154, 61), vehicle.nearside, 1 / 50)
    seen = [(frame.at(p.x, p.z), kinds[p.kind].form) for p in vehicle.points if p.where == side]
    fittings = [fitting(f.shape, at, f.width_mm / 50, f.height_mm / 50) for at, f in seen if f]
    taken = opening_boxes(vehicle.layout, side, frame)
    room = frame.box(0.0, 0.0, vehicle.layout.length, vehicle.layout.height)
    boxes = outer(draw_fittings(fittings, taken, room))
    assert boxes
    for box in boxes:
        assert area(room).buffer(1e-6).contains(area(box))
        assert not any(area(box).intersects(area(other)) for other in taken)
    for one, other in combinations(boxes, 2):
        assert not area(one).intersects(area(other))


def test_every_form_of_a_kind_is_one_that_can_be_drawn() -> None:
    forms = [kind.form for kind in load_trade().kinds.values() if kind.form]
    assert {form.shape for form in forms} == set(SHAPES)
    assert all(min(f.width_mm, f.height_mm) >= 50 and max(f.width_mm, f.height_mm) <= 3000 for f in forms)


def test_a_form_that_cannot_be_read_names_its_kind() -> None:
    with pytest.raises(ValueError, match="kinds.yaml: record vent: .* not louvres 480"):
        _kind({"id": "vent", "form": "louvres 480"})


@pytest.mark.parametrize("shape", SHAPES)
def test_a_shape_keeps_within_its_box_and_below_the_weight_of_the_body(shape: str) -> None:
    whole = area((10.0, 10.0, 9.0, 6.0)).buffer(1e-6)
    for item in SHAPES[shape]((10.0, 10.0, 9.0, 6.0)):
        match item:
            case Line(points=points):
                assert all(whole.contains(ShapelyPoint(p)) for p in points)
            case Rect(x=x, y=y, width=width, height=height):
                assert whole.contains(area((x, y, width, height)))
            case Circle(x=x, y=y, radius=radius):
                assert whole.contains(ShapelyPoint(x, y).buffer(radius))
        assert item.style.stroke == PLAIN.edge


def test_a_vent_of_which_too_little_would_be_left_is_drawn_whole_beside_its_place() -> None:
    door: Box = (40.0, 10.0, 14.0, 40.0)
    (box,) = outer(draw_fittings([fitting("louvres", (54.5, 30.0), 5.3, 2.7)], [door], ROOM))
    assert box[2:] == pytest.approx((5.3, 2.7))
    assert not area(box).intersects(area(door))
    assert area(box).distance(ShapelyPoint(54.5, 30.0)) < 0.6


def test_a_pipe_below_the_body_hangs_from_its_underside() -> None:
    pipe = fitting("spout", (50.0, 40.0), 3.0, 5.0)
    assert hung(pipe, 36.0).box == pytest.approx((48.5, 36.0, 3.0, 6.5))
    within, flap = fitting("spout", (50.0, 30.0), 3.0, 5.0), fitting("flap", (50.0, 40.0), 3.0, 5.0)
    assert (hung(within, 36.0), hung(flap, 36.0)) == (within, flap)


def test_from_above_one_looks_down_a_pipe() -> None:
    pipe = from_above(fitting("spout", (50.0, 40.0), 4.0, 7.0))
    assert (pipe.shape, pipe.box) == ("rings", pytest.approx((48.0, 38.0, 4.0, 4.0)))
    grille = fitting("grille", (50.0, 40.0), 4.0, 7.0)
    assert from_above(grille) == grille


def test_a_flap_that_finds_no_room_is_not_drawn_where_a_vent_is_marked() -> None:
    """Else one would look for a flap at the vent."""
    wheel: Box = (56.5, 10.0, 14.0, 40.0)
    vent, flap = fitting("louvres", (55.0, 30.0), 9.6, 4.8), fitting("flap", (56.4, 30.0), 4.0, 3.6)
    (box,) = outer(draw_fittings([vent, flap], [wheel], ROOM))
    assert area(box).contains(ShapelyPoint(55.0, 30.0)) and box[3] == pytest.approx(4.8)


def test_a_flap_in_a_narrow_gap_is_slimmer_and_still_shows_round_its_marker() -> None:
    """On small paper a fuel filler stands between the cab door and the gas locker."""
    door, locker = (20.0, 10.0, 15.2, 40.0), (38.6, 20.0, 9.0, 20.0)
    (box,) = outer(draw_fittings([fitting("cap", (36.0, 30.0), 2.0, 2.0)], [door, locker], ROOM))
    assert not any(area(box).intersects(area(other)) for other in (door, locker))
    assert box[2] < LEAST_MM == box[3], "its height shows above and below the marker"
    assert area(box).distance(ShapelyPoint(36.0, 30.0)) == 0.0


@pytest.mark.parametrize("sample", ["bramble", "fern"])
def test_before_a_drawbar_no_socket_covers_the_coupling(sample: str) -> None:
    (path,) = (path for path in SAMPLES if path.stem == sample)
    layout = read_vehicle(path).layout
    frame = fit_elevation(layout, "front", (12, 12, 154, 61), "left", 1 / 60)
    coupling, socket = frame.at(layout.width / 2, 425), frame.at(layout.width / 2 + 100, 465)
    taken = opening_boxes(layout, "front", frame)
    assert any(area(box).contains(ShapelyPoint(coupling)) for box in taken)
    drawn = outer(draw_fittings([fitting("cap", socket, 170 / 60, 170 / 60)], taken, ROOM))
    assert not any(area(box).contains(ShapelyPoint(coupling)) for box in drawn)
