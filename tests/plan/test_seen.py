"""Where a view from outside marks a point: on what one looks for, not where the description reaches it."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.documents.context import Context
from guidegen.documents.outside_views import views_from_above
from guidegen.drawing.primitives import Rect
from guidegen.plan.elevation import door_heights, draw_elevation
from guidegen.plan.elevation_frame import fit_elevation
from guidegen.plan.pens import PLAIN
from guidegen.plan.seen import awning_case, lockers_about, on_roof, on_side
from guidegen.plan.spreading import nudge
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
VEHICLES = [pytest.param(read_vehicle(path), id=path.stem) for path in SAMPLES]


def ways_in(layout):
    return [d for d in layout.doors if d.kind in ("habitation", "sliding")]


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_the_habitation_door_is_marked_on_its_leaf_well_above_the_step(vehicle):
    for point in (p for p in vehicle.points if p.kind == "habitation-door"):
        along, z = on_side(vehicle.layout, point.where, point)
        bottom, top = door_heights(vehicle.layout, ways_in(vehicle.layout)[0])
        door = ways_in(vehicle.layout)[0]
        assert door.start <= along <= door.start + door.width
        assert bottom + (top - bottom) / 3 < z < top - (top - bottom) / 3


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_an_awning_runs_along_the_roof_over_the_door_to_its_winder_its_lamp_not_on_the_door(vehicle):
    layout = vehicle.layout
    for awning in (p for p in vehicle.points if p.kind == "awning"):
        side = [p for p in vehicle.points if p.where == awning.where]
        case = awning_case(layout, awning.where, side)
        door = ways_in(layout)[0]
        assert case.start <= door.start and door.start + door.width <= case.end
        assert 2000 <= case.end - case.start <= 4500  # common practice, no source
        assert case.z > door_heights(layout, door)[1]
        assert case.start < on_side(layout, awning.where, awning, case)[0] < case.end
        for winder in (p for p in side if p.kind == "awning-winder"):
            assert on_side(layout, winder.where, winder, case) == (case.end, case.z)
            assert case.end == winder.x
        for lamp in (p for p in side if p.kind == "awning-light"):
            along, z = on_side(layout, lamp.where, lamp, case)
            beside = not door.start <= along <= door.start + door.width
            assert beside or z > door_heights(layout, door)[1]


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_what_is_in_a_locker_is_marked_within_its_door(vehicle):
    for hatch in vehicle.layout.hatches:
        inside = [p for p in vehicle.points if p.where == hatch.side and f"in the {hatch.name}" in p.place]
        assert all(hatch.bottom_mm < p.z < hatch.top_mm for p in inside)


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_roof_light_is_marked_in_its_middle(vehicle):
    middles = {opening.area.centre for opening in vehicle.layout.roof}
    lights = [p for p in vehicle.points if p.kind == "roof-light"]
    assert {on_roof(vehicle.layout, p) for p in lights} <= middles


@pytest.mark.parametrize("sample", ["bramble", "fern"])
def test_the_hitch_is_marked_on_the_coupling_and_the_socket_on_the_drawbar(sample):
    vehicle = read_vehicle(SAMPLES[0].with_name(f"{sample}.yaml"))
    seen = {
        p.kind: on_side(vehicle.layout, "front", p)
        for p in vehicle.points
        if p.kind in ("tow-hitch", "towing-socket")
    }
    assert seen["tow-hitch"] == (vehicle.layout.width / 2, 425.0)
    assert 340 <= seen["towing-socket"][1] <= 480  # between the edges of the drawbar's bars


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize("side", ["nearside", "offside"])
def test_a_motor_vehicle_has_a_driving_mirror_on_both_sides(vehicle, side):
    frame = fit_elevation(vehicle.layout, side, (0, 0, 154, 61), vehicle.nearside, 1 / 50)
    size = (frame.length(130), frame.length(260))
    mirrors = [
        item
        for item in draw_elevation(vehicle.layout, side, frame)
        if isinstance(item, Rect)
        and (item.width, item.height) == pytest.approx(size)
        and item.style.fill == PLAIN.wall
    ]
    assert len(mirrors) == (vehicle.layout.bonnet > 0)


@pytest.mark.parametrize("vehicle", [v for v in VEHICLES if v.id in ("larch", "rowan", "willow")])
def test_a_waste_tank_under_the_floor_shows_its_outline(vehicle):
    (view,) = [v for v in views_from_above(Context(vehicle, load_trade()), 178.0) if "floor" in v.title]
    (group,) = view.items
    dashed = [item for item in group.items if isinstance(item, Rect) and item.style.dash_mm]
    assert len(dashed) == sum(p.kind == "waste-tank" for p in view.points) == 1


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_on_no_sample_do_things_on_the_roof_or_under_the_floor_lie_on_one_another(vehicle):
    """Panels clear of roof lights, vents clear of the chassis rails, which are 70 mm wide, 410 from the middle."""
    kinds, layout = load_trade().kinds, vehicle.layout
    for p in vehicle.points:
        form = kinds[p.kind].form
        if form and p.where == "roof" and form.shape in ("panel", "louvres"):
            for opening in layout.roof:
                x, y = opening.area.centre
                apart_x = abs(p.x - x) - (form.width_mm + opening.area.length) / 2
                apart_y = abs(p.y - y) - (form.height_mm + opening.area.width) / 2
                assert max(apart_x, apart_y) >= 15, (p.id, opening.id)
        if form and p.where == "under" and form.shape == "grille":
            from_middle = abs(p.y - layout.width / 2)
            assert not 410 - 90 < from_middle < 480 + 90, p.id


@pytest.mark.parametrize("vehicle", [v for v in VEHICLES if v.id in ("alder", "juniper", "larch")])
@pytest.mark.parametrize("scale", [1 / 50, 1 / 80])
def test_a_locker_is_drawn_round_the_markers_of_all_that_is_in_it(vehicle, scale):
    """However small the drawing and however many markers are moved apart, none stands outside its locker."""
    layout = vehicle.layout
    frame = fit_elevation(layout, "nearside", (0, 0, 300, 100), vehicle.nearside, scale)
    true = {p.id: frame.at(p.x, p.z) for p in vehicle.points if p.where == "nearside"}
    marked = nudge(true)
    (gas,) = (h for h in layout.hatches if h.id == "gas-locker")
    kept = [id for id, at in true.items() if holds(gas, frame, at)]
    drawn = lockers_about(layout, "nearside", frame, [(true[id], marked[id]) for id in true])
    (locker,) = (h for h in drawn.hatches if h.id == "gas-locker")
    assert len(kept) >= 6 and all(holds(locker, frame, marked[id]) for id in kept)


def test_in_a_small_drawing_a_full_locker_is_drawn_larger_than_it_is():
    (vehicle,) = (v.values[0] for v in VEHICLES if v.id == "larch")
    frame = fit_elevation(vehicle.layout, "nearside", (0, 0, 154, 61), vehicle.nearside, 1 / 80)
    locker = vehicle.layout.hatches[0]
    inside, beside = frame.at(locker.start + 10, 800), frame.at(locker.start - 60, 800)
    drawn = lockers_about(vehicle.layout, "nearside", frame, [(inside, beside)]).hatches[0]
    assert drawn.start < locker.start - 60
    assert drawn.start + drawn.width == pytest.approx(locker.start + locker.width)


def holds(hatch, frame, at):
    x, y, width, height = frame.box(hatch.start, hatch.bottom_mm, hatch.width, hatch.top_mm - hatch.bottom_mm)
    return x <= at[0] <= x + width and y <= at[1] <= y + height


def test_a_locker_with_room_enough_is_drawn_as_it_is():
    (vehicle,) = (v.values[0] for v in VEHICLES if v.id == "larch")
    frame = fit_elevation(vehicle.layout, "nearside", (0, 0, 154, 61), vehicle.nearside, 1 / 50)
    place = frame.at(2680, 800)
    assert lockers_about(vehicle.layout, "nearside", frame, [(place, place)]) == vehicle.layout
