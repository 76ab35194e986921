"""The bare vehicle in plan: it reads as a vehicle, keeps to its outline and mirrors truly."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from shapely.geometry import LineString, Point, Polygon

from guidegen.drawing.primitives import Circle, Item, Line, Path, Rect, Style
from guidegen.plan.body import body_polygon, draw_body, draw_part, draw_vehicle
from guidegen.plan.frame import Frame, Hand, Orientation, fit_frame
from guidegen.plan.furniture import draw_furniture
from guidegen.plan.openings import swing
from guidegen.plan.pens import FADED, PLAIN
from guidegen.plan.views import draw_chassis, draw_roof
from guidegen.vehicle.contour import wall_line
from guidegen.vehicle.layout import Area, Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout

# ISO 128-2:2020, clause 6.2: the series of line widths, and 0,13 for the finest.
ISO_WIDTHS = {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0}
SHEET = (10.0, 10.0, 277.0, 190.0)


@pytest.fixture(params=layout_ids())
def layout(request: pytest.FixtureRequest) -> Layout:
    return read_layout(request.param)


def framed(layout: Layout, orientation: Orientation = "landscape", nearside: Hand = "left") -> Frame:
    return fit_frame(layout, SHEET, orientation, nearside, 1 / 30)


def styles(items: tuple[Item, ...]) -> Iterator[Style]:
    for item in items:
        assert isinstance(item, (Line, Path, Rect, Circle))
        yield item.style


def points_of(item: Item) -> list[tuple[float, float]]:
    if isinstance(item, Line):
        return list(item.points)
    if isinstance(item, Rect):
        return [(item.x, item.y), (item.x + item.width, item.y + item.height)]
    if isinstance(item, Circle):
        return [(item.x - item.radius, item.y - item.radius), (item.x + item.radius, item.y + item.radius)]
    assert isinstance(item, Path)
    return [(c[i], c[i + 1]) for c in item.commands for i in range(1, len(c), 2)]  # type: ignore[misc]


def test_the_outline_is_one_closed_path_of_class_body(layout: Layout) -> None:
    bodies = [i for i in draw_vehicle(layout, framed(layout)) if getattr(i, "css", "") == "body"]
    assert len(bodies) == 1
    body = bodies[0]
    assert isinstance(body, Path)
    assert body.commands[0][0] == "M"
    assert body.commands[-1] == ("Z",)
    assert body.style.width_mm == 0.7


def test_the_outline_is_as_long_and_wide_as_the_vehicle(layout: Layout) -> None:
    frame = framed(layout)
    body = next(i for i in draw_body(layout, frame) if getattr(i, "css", "") == "body")
    xs, ys = zip(*points_of(body), strict=True)
    assert max(xs) - min(xs) == pytest.approx(layout.length * frame.scale, abs=0.01)
    assert max(ys) - min(ys) == pytest.approx(layout.width * frame.scale, abs=0.01)


def test_the_polygon_for_callouts_is_valid_and_takes_in_the_drawbar(layout: Layout) -> None:
    frame = framed(layout)
    polygon = Polygon(body_polygon(layout, frame))
    assert polygon.is_valid
    left, _, right, _ = polygon.bounds
    assert right - left == pytest.approx((layout.length + layout.drawbar) * frame.scale, abs=0.05)
    assert polygon.contains(Point(frame.at(layout.length / 2, layout.width / 2)))
    if layout.drawbar:
        assert polygon.contains(Point(frame.at(-layout.drawbar / 2, layout.width / 2)))


def test_furniture_is_drawn_inside_the_body(layout: Layout) -> None:
    frame = framed(layout)
    room = Polygon(body_polygon(layout, frame)).buffer(0.4)
    for item in draw_furniture(layout, frame):
        if item.style.dash_mm:  # type: ignore[union-attr]
            continue  # hidden pieces may stand out over the cab's flanks
        assert all(room.contains(Point(p)) for p in points_of(item))


def test_line_widths_are_of_the_iso_series(layout: Layout) -> None:
    for style in styles(draw_vehicle(layout, framed(layout))):
        if style.stroke is not None:
            assert style.width_mm in ISO_WIDTHS


def test_hidden_things_are_dashed(layout: Layout) -> None:
    dashed = [s for s in styles(draw_vehicle(layout, framed(layout))) if s.dash_mm]
    hidden = [p for p in layout.furniture if p.hidden]
    assert len(dashed) >= len(layout.wheels) + len(layout.roof) + len(hidden)
    assert all(s.fill is None for s in dashed)


def test_the_tints_are_four_to_eight_per_cent_grey() -> None:
    for tint in (PLAIN.soft, PLAIN.cushion):
        level = int(tint[1:3], 16)
        assert tint == f"#{level:02x}" + f"{level:02x}" * 2
        assert 0.03 <= 1 - level / 255 <= 0.08


def test_lines_of_the_plain_drawing_are_told_from_white() -> None:
    """Non-text contrast of 3:1 or more, WCAG 2.1 success criterion 1.4.11, but for hatching."""
    for colour in (PLAIN.ink, PLAIN.edge, PLAIN.detail):
        level = int(colour[1:3], 16) / 255
        linear = level / 12.92 if level <= 0.04045 else ((level + 0.055) / 1.055) ** 2.4
        assert 1.05 / (linear + 0.05) >= 3.0


@pytest.mark.parametrize("orientation", ["landscape", "portrait"])
def test_both_nearsides_are_mirror_images(layout: Layout, orientation: Orientation) -> None:
    left = framed(layout, orientation, "left")
    right = framed(layout, orientation, "right")
    axis = 1 if orientation == "landscape" else 0
    middle = left.at(0, layout.width / 2)[axis]
    here = [points_of(i) for i in draw_vehicle(layout, left) if isinstance(i, Path)]
    there = [points_of(i) for i in draw_vehicle(layout, right) if isinstance(i, Path)]
    for a, b in zip(here, there, strict=True):
        turned = [(x, 2 * middle - y) if axis else (2 * middle - x, y) for x, y in a]
        assert turned == [pytest.approx(p, abs=1e-6) for p in b]


def test_a_faded_drawing_differs_in_ink_alone(layout: Layout) -> None:
    frame = framed(layout)
    plain, faded = draw_vehicle(layout, frame), draw_vehicle(layout, frame, faded=True)
    assert [points_of(i) for i in plain] == [points_of(i) for i in faded]
    inks = {s.stroke for s in styles(faded)} - {None}
    assert PLAIN.ink not in inks
    assert FADED.ink in inks


@pytest.mark.parametrize("angle", [16.0, 42.0, 90.0])
def test_a_leaf_swings_on_a_circle_about_its_hinge(angle: float) -> None:
    frame = Frame(1.0, 0, 0, 2000)
    arc, leaf = swing((100, 200), (700, 200), (0, -1), angle, frame, PLAIN)
    assert isinstance(arc, Path)
    assert isinstance(leaf, Line)
    hinge = frame.at(100, 200)
    (_, *start), (_, x1, y1, x2, y2, x, y) = arc.commands  # type: ignore[misc]
    assert math.dist(hinge, (x, y)) == pytest.approx(600)
    middle = [
        (a + 3 * b + 3 * c + d) / 8 for a, b, c, d in zip(start, (x1, y1), (x2, y2), (x, y), strict=True)
    ]
    assert math.dist(hinge, middle) == pytest.approx(600, rel=3e-4)
    turned = math.degrees(math.acos((x - hinge[0]) / 600))
    assert turned == pytest.approx(angle)
    # It opens towards the nearside, which is at the bottom of the sheet.
    assert y > hinge[1]


def test_roof_and_chassis_show_what_is_there(layout: Layout) -> None:
    frame = framed(layout)
    roof = draw_roof(layout, frame)
    assert sum(isinstance(i, Rect) for i in roof) >= len(layout.roof)
    chassis = draw_chassis(layout, frame)
    tyres = [i for i in chassis if isinstance(i, Rect) and i.style.fill == PLAIN.wall]
    assert len(tyres) == len(layout.wheels)


def test_a_part_of_the_vehicle_shows_its_door_as_an_opening(layout: Layout) -> None:
    """No dark line of the wall is left uncovered across the middle of the doorway."""
    door = next(d for d in layout.doors if d.kind in ("habitation", "sliding"))
    frame, middle = framed(layout), door.start + door.width / 2
    x, y = wall_line(layout, door.side, middle, middle)[0]
    part = draw_part(layout, Area(x - 150, y - 150, 300, 300), frame)
    seen = drawn_over(part, frame.at(x, y))
    assert seen and seen[-1].stroke != PLAIN.ink
    beside = door.start - 40.0
    shut = wall_line(layout, door.side, beside, beside)[0]
    assert drawn_over(part, frame.at(*shut))[-1].stroke == PLAIN.ink


def drawn_over(items: tuple[Item, ...], place: tuple[float, float]) -> list[Style]:
    """What covers a place, from the bottom up."""
    found = []
    for item in items:
        if not isinstance(item, Line):
            continue
        shape = LineString([*item.points, item.points[0]] if item.closed else item.points)
        filled = bool(item.style.fill) and Polygon(item.points).buffer(0).contains(Point(place))
        if filled or (item.style.stroke and shape.distance(Point(place)) <= item.style.width_mm / 2):
            found.append(item.style)
    return found


def test_a_part_holds_nothing_that_is_far_from_it(layout: Layout) -> None:
    piece = max(layout.furniture, key=lambda f: f.area.x)
    x, y = piece.area.centre
    part = draw_part(layout, Area(x - 20, y - 20, 40, 40), framed(layout))
    assert 0 < len(part) < len(draw_vehicle(layout, framed(layout))) / 3
