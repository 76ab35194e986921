"""The vehicle from outside: nearside, offside, front or rear, standing on the ground, to scale."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.drawing.primitives import Circle, Command, Item, Line, Path, Rect, Style
from guidegen.plan.body import outline_path
from guidegen.plan.elevation_frame import Box, ElevationFrame
from guidegen.plan.pens import (
    DETAIL_MM,
    EDGE_MM,
    FADED,
    LEAF_MM,
    OUTLINE_MM,
    PLAIN,
    Pens,
)
from guidegen.plan.strokes import placed
from guidegen.vehicle.layout import Door, Hatch, Layout, Side, Wheel, Window

SILL_MM = 380.0  # ground to the lower edge of skirts and bumpers
_BUMPER_MM = 560.0  # ground to its upper edge
_DOOR_MM = 1860.0  # height of a habitation door
_CAB_SILL_MM = 500.0
DRAWBAR_MM = 700.0  # height of what stands on it
COUPLING_MM = 425.0  # height of the middle of its head
_ARCH_MM = 55.0  # between a tyre and its arch


def draw_elevation(
    layout: Layout, side: Side, frame: ElevationFrame, faded: bool = False
) -> tuple[Item, ...]:
    """One side with its openings and wheels at their true heights."""
    pens = FADED if faded else PLAIN
    lengthwise = side in ("nearside", "offside")
    contour = layout.profile if lengthwise else _cross_section(layout)
    body = placed(outline_path(contour), frame.at)
    items: list[Item] = [*_wheels(layout, side, frame, pens)] if not lengthwise else []
    items.append(Path(body, pens.shape(pens.floor, pens.ink, OUTLINE_MM), css="elevation"))
    if lengthwise:
        items += _drawbar(layout, frame, pens)
        items += _cab_side(layout, side, frame, pens)
        items += _wheels(layout, side, frame, pens)
    elif side == "front" and layout.bonnet > 0:
        items += _cab_front(layout, frame, pens)
    elif side == "rear":
        items += _rear_end(layout, frame, pens)
    items += _openings(layout, side, frame, pens)
    if side == "front":
        items += _drawbar_ahead(layout, frame, pens)
    items.append(_ground(layout, frame, pens))
    return tuple(items)


def opening_boxes(layout: Layout, side: Side, frame: ElevationFrame) -> tuple[Box, ...]:
    """The boxes of a side's doors, hatches, windows and wheels on the sheet: nothing else is fitted there."""
    boxes = [_door_box(layout, door, frame) for door in layout.doors if door.side == side]
    boxes += [_hatch_box(hatch, frame) for hatch in layout.hatches if hatch.side == side]
    boxes += [_window_box(window, frame) for window in layout.windows if window.side == side]
    for wheel in _wheels_of(layout, side):
        radius = wheel.diameter / 2 + _ARCH_MM
        boxes.append(frame.box(wheel.x - radius, 0, 2 * radius, wheel.diameter / 2 + radius))
    if side == "front" and layout.drawbar > 0:
        boxes += [frame.box(*_jockey_post(layout)), frame.box(*_coupling(layout))]
    return tuple(boxes)


def _jockey_post(layout: Layout) -> Box:
    return (layout.width / 2 + 190, 180, 60, 520)


def _coupling(layout: Layout) -> Box:
    return (layout.width / 2 - 70, 350, 140, 150)


def _openings(layout: Layout, side: Side, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    for door in (d for d in layout.doors if d.side == side and d.kind != "cab"):
        yield from _door(layout, door, frame, pens)
    for hatch in (h for h in layout.hatches if h.side == side):
        yield from _hatch(_hatch_box(hatch, frame), frame, pens)
    for window in (w for w in layout.windows if w.side == side):
        yield from _window(window, frame, pens)


def _hatch_box(hatch: Hatch, frame: ElevationFrame) -> Box:
    return frame.box(hatch.start, hatch.bottom_mm, hatch.width, hatch.top_mm - hatch.bottom_mm)


def _window_box(window: Window, frame: ElevationFrame) -> Box:
    return frame.box(window.start, window.sill_mm, window.width, window.top_mm - window.sill_mm)


def _hatch(box: Box, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """A locker's door with its hinge along the top (common practice, no source) and its lock below."""
    x, y, width, height = box
    yield Rect(*box, pens.shape(pens.soft, pens.edge, EDGE_MM), frame.length(40))
    ends = ((x + frame.length(60), y), (x + width - frame.length(60), y))
    yield Line(ends, Style(stroke=pens.edge, width_mm=OUTLINE_MM, round_ends=False))
    left, foot = x + width / 2 - frame.length(35), y + height - frame.length(60)
    lock = (left, foot, frame.length(70), frame.length(30))
    yield Rect(*lock, pens.shape(pens.floor, pens.edge, DETAIL_MM), frame.length(10))


def _window(window: Window, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """The pane in its frame."""
    x, y, width, height = _window_box(window, frame)
    rim = frame.length(45)
    yield Rect(x, y, width, height, pens.shape(pens.glass, pens.edge, EDGE_MM), frame.length(70))
    pane = (x + rim, y + rim, width - 2 * rim, height - 2 * rim)
    yield Rect(*pane, Style(stroke=pens.detail, width_mm=DETAIL_MM), frame.length(40))


def _door_box(layout: Layout, door: Door, frame: ElevationFrame) -> Box:
    bottom, top = door_heights(layout, door)
    return frame.box(door.start, bottom, door.width, top - bottom)


def door_heights(layout: Layout, door: Door) -> tuple[float, float]:
    """Lower and upper edge above the ground."""
    if door.kind == "garage":
        return 480.0, 1480.0
    if door.kind == "cab":
        return _CAB_SILL_MM, windscreen(layout)[1][1] - 60
    bottom = layout.floor - 60
    return bottom, min(bottom + _DOOR_MM, layout.height - 170)


def _door(layout: Layout, door: Door, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    bottom, top = door_heights(layout, door)
    yield Rect(*_door_box(layout, door, frame), pens.shape(pens.floor, pens.edge, LEAF_MM), frame.length(60))
    if door.kind != "garage":
        pane = frame.box(door.start + door.width * 0.2, top - 760, door.width * 0.6, 560)
        yield Rect(*pane, pens.shape(pens.glass, pens.edge, DETAIL_MM), frame.length(50))
    lock_end = door.start + door.width - 90 if door.hinge in ("front", "nearside") else door.start + 40
    handle = frame.box(lock_end, (bottom + top) / 2 - 90, 50, 130)
    yield Rect(*handle, pens.shape(pens.soft, pens.edge, DETAIL_MM), frame.length(20))


def _wheels(layout: Layout, side: Side, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    if side in ("nearside", "offside"):
        for wheel in _wheels_of(layout, side):
            yield from _wheel(wheel, frame, pens)
        return
    end = min(layout.wheels, key=lambda w: w.x if side == "front" else -w.x, default=None)
    for wheel in (w for w in layout.wheels if end is not None and w.x == end.x):
        box = frame.box(wheel.y - wheel.width / 2, 0, wheel.width, wheel.diameter)
        yield Rect(*box, pens.shape(pens.wall, pens.ink, LEAF_MM), frame.length(40))


def _wheels_of(layout: Layout, side: Side) -> Iterator[Wheel]:
    """The wheels on one of the long sides; none on an end."""
    if side in ("nearside", "offside"):
        yield from (w for w in layout.wheels if (w.y < layout.width / 2) is (side == "nearside"))


def _wheel(wheel: Wheel, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """Tyre and hub under an arch cut out of the skirt."""
    middle, radius = wheel.diameter / 2, wheel.diameter / 2 + _ARCH_MM
    rise = radius * 4 / 3
    arch: tuple[Command, ...] = (
        ("M", wheel.x - radius, middle),
        ("C", wheel.x - radius, middle + rise, wheel.x + radius, middle + rise, wheel.x + radius, middle),
    )
    skirt = (("L", wheel.x + radius, SILL_MM - 60), ("L", wheel.x - radius, SILL_MM - 60), ("Z",))
    yield Path(placed((*arch, *skirt), frame.at), Style(fill=pens.floor))
    yield Path(placed(arch, frame.at), Style(stroke=pens.ink, width_mm=LEAF_MM))
    x, y = frame.at(wheel.x, middle)
    tyre = frame.length(middle)
    yield Circle(x, y, tyre, pens.shape(pens.wall, pens.ink, LEAF_MM))
    yield Circle(x, y, tyre * 0.6, pens.shape(pens.floor, pens.edge, EDGE_MM))
    yield Circle(x, y, tyre * 0.14, pens.shape(pens.soft, pens.edge, DETAIL_MM))


def _cab_side(layout: Layout, side: Side, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """Windscreen, cab door with its glass and mirror behind the screen's rake, head lamp and bumper."""
    if layout.bonnet <= 0:
        return
    lamp = frame.box(60, 780, 240, 150)
    yield Rect(*lamp, pens.shape(pens.glass, pens.edge, DETAIL_MM), frame.length(60))
    foot, head = windscreen(layout)
    slope = (head[0] - foot[0]) / max(1.0, head[1] - foot[1])
    yield from _front_end(layout, side, frame, pens)
    screen = (
        (foot[0] + 20 + 40 * slope, foot[1] + 40, 0),
        (head[0] + 20 - 70 * slope, head[1] - 70, 0),
        (head[0] + 150 - 70 * slope, head[1] - 70, 60),
        (foot[0] + 190 + 40 * slope, foot[1] + 40, 60),
    )
    yield Path(placed(outline_path(screen), frame.at), pens.shape(pens.glass, pens.edge, EDGE_MM))
    for door in (d for d in layout.doors if d.kind == "cab" and d.side == side):
        end, belt, top = door.start + door.width, max(foot[1] + 30, 1180.0), head[1] - 60
        post = foot[0] + 200 - foot[1] * slope  # the pillar's x at height 0
        # Above this height the door's front edge leans back with the pillar.
        bends_at = max(belt, (door.start - post) / slope) if slope > 0.05 else top
        leaf = (
            (door.start, _CAB_SILL_MM, 120),
            (door.start, min(bends_at, top - 20), 40),
            (max(door.start, post + top * slope), top, 90),
            (end, top, 60),
            (end, _CAB_SILL_MM, 60),
        )
        yield Path(placed(outline_path(leaf), frame.at), pens.shape(pens.floor, pens.edge, LEAF_MM))
        glass = (
            (max(door.start + 50, post + 90 + belt * slope), belt, 30),
            (max(door.start + 60, post + 90 + (top - 70) * slope), top - 70, 50),
            (end - 60, top - 70, 40),
            (end - 60, belt, 40),
        )
        yield Path(placed(outline_path(glass), frame.at), pens.shape(pens.glass, pens.edge, EDGE_MM))
        handle = frame.box(end - 190, belt - 170, 120, 45)
        yield Rect(*handle, pens.shape(pens.soft, pens.edge, DETAIL_MM), frame.length(20))
    yield _mirror(layout, side, frame, pens)


def _mirror(layout: Layout, side: Side, frame: ElevationFrame, pens: Pens) -> Item:
    """The driving mirror behind the windscreen's pillar: there is one on each side, whether or not a door."""
    foot, head = windscreen(layout)
    slope = (head[0] - foot[0]) / max(1.0, head[1] - foot[1])
    belt = max(foot[1] + 30, 1180.0)
    start = foot[0] + 260 + (belt - foot[1]) * slope
    for door in layout.doors:
        if door.kind == "cab" and door.side == side:
            start = max(start, door.start + 20)
    return Rect(
        *frame.box(start, belt - 20, 130, 260), pens.shape(pens.wall, pens.edge, EDGE_MM), frame.length(50)
    )


def _front_end(layout: Layout, side: Side, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """The upper edge of the bumper from the front to the arch, and a tail lamp."""
    first = min(_wheels_of(layout, side), key=lambda w: w.x, default=None)
    if first is not None:
        ends = (frame.at(20, _BUMPER_MM), frame.at(first.x - first.diameter / 2 - _ARCH_MM, _BUMPER_MM))
        yield Line(ends, Style(stroke=pens.edge, width_mm=EDGE_MM))
    lamp = frame.box(layout.length - 120, 640, 70, 420)
    yield Rect(*lamp, pens.shape(pens.soft, pens.edge, DETAIL_MM), frame.length(30))


def windscreen(layout: Layout) -> tuple[tuple[float, float], tuple[float, float]]:
    """Foot and head of the windscreen in x and z: the profile's edge that rises from the bonnet."""
    points = [(c[0], c[1]) for c in layout.profile]
    foot = min(
        range(len(points) - 1), key=lambda i: abs(points[i][0] - layout.bonnet) + (points[i][1] < 1000) * 9999
    )
    return points[foot], points[foot + 1]


def _cross_section(layout: Layout) -> tuple[tuple[float, float, float], ...]:
    """Front or rear view of the body: y and z."""
    top = max(c[1] for c in layout.profile)
    lean = 90.0 if layout.body == "panel-van" else 0.0
    width = layout.width
    return (
        (0, SILL_MM, 50),
        (0, 1300, 700),
        (lean, top, 170),
        (width - lean, top, 170),
        (width, 1300, 700),
        (width, SILL_MM, 50),
    )


def _cab_front(layout: Layout, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """Windscreen, bonnet edge, lamps and grille before the body's front."""
    foot, head = windscreen(layout)
    wide = layout.body == "a-class"
    edge = 60.0 if wide else 150.0
    width = layout.width
    if not wide:
        cab = (
            (edge, SILL_MM, 60),
            (edge, foot[1] + 60, 300),
            (edge + 130, head[1] + 60, 160),
            (width - edge - 130, head[1] + 60, 160),
            (width - edge, foot[1] + 60, 300),
            (width - edge, SILL_MM, 60),
        )
        yield Path(placed(outline_path(cab), frame.at), pens.shape(pens.floor, pens.ink, LEAF_MM))
    glass = (
        (edge + 90, foot[1] + 40, 90),
        (edge + 190, head[1] - 20, 110),
        (width - edge - 190, head[1] - 20, 110),
        (width - edge - 90, foot[1] + 40, 90),
    )
    yield Path(placed(outline_path(glass), frame.at), pens.shape(pens.glass, pens.edge, EDGE_MM))
    for start in (edge + 90, width - edge - 400):
        yield Rect(
            *frame.box(start, 800, 310, 180), pens.shape(pens.glass, pens.edge, DETAIL_MM), frame.length(70)
        )
    grille = frame.box(edge + 480, 620, width - 2 * edge - 960, 200)
    yield Rect(*grille, pens.shape(pens.soft, pens.edge, DETAIL_MM), frame.length(60))


def _rear_end(layout: Layout, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """Bumper and lamps, and an empty number plate where no doors are: by these a rear is told from a box."""
    doors = any(door.side == "rear" for door in layout.doors)
    top = layout.floor - 80 if doors else _BUMPER_MM
    bumper = (frame.at(0.0, top), frame.at(layout.width, top))
    yield Line(bumper, Style(stroke=pens.edge, width_mm=EDGE_MM))
    if not doors:
        plate = frame.box(layout.width / 2 - 260, top + 60, 520, 110)
        yield Rect(*plate, pens.shape(pens.floor, pens.edge, DETAIL_MM), frame.length(20))
    for start in (35.0, layout.width - 125):
        yield Rect(
            *frame.box(start, 640, 90, 420), pens.shape(pens.soft, pens.edge, DETAIL_MM), frame.length(50)
        )


def _drawbar(layout: Layout, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    if layout.drawbar <= 0:
        return
    tip, steel = -layout.drawbar, pens.shape(pens.soft, pens.ink, LEAF_MM)
    bar = ((60.0, 480.0), (tip + 260, 440.0), (tip + 260, 360.0), (60.0, 390.0))
    yield Line(tuple(frame.at(*p) for p in bar), steel, closed=True)
    yield Rect(*frame.box(tip, 380, 330, 110), steel, frame.length(45))
    yield Rect(
        *frame.box(tip + 440, 180, 60, 520), pens.shape(pens.floor, pens.edge, EDGE_MM), frame.length(15)
    )
    yield Circle(*frame.at(tip + 470, 100), frame.length(100), pens.shape(pens.wall, pens.edge, EDGE_MM))


def _drawbar_ahead(layout: Layout, frame: ElevationFrame, pens: Pens) -> Iterator[Item]:
    """The drawbar as it comes towards who stands before it: its two bars, the coupling, the jockey wheel."""
    if layout.drawbar <= 0:
        return
    middle, steel = layout.width / 2, pens.shape(pens.soft, pens.ink, LEAF_MM)
    for hand in (-1, 1):
        bar = ((560.0, 480.0), (60.0, 440.0), (60.0, 360.0), (560.0, 390.0))
        yield Line(tuple(frame.at(middle + hand * along, z) for along, z in bar), steel, closed=True)
    post = frame.box(*_jockey_post(layout))
    yield Rect(*post, pens.shape(pens.floor, pens.edge, EDGE_MM), frame.length(15))
    jockey = frame.box(middle + 185, 0, 70, 200)
    yield Rect(*jockey, pens.shape(pens.wall, pens.edge, EDGE_MM), frame.length(25))
    yield Rect(*frame.box(*_coupling(layout)), steel, frame.length(45))


def draw_steady(frame: ElevationFrame, along: float) -> tuple[Item, ...]:
    """A corner steady let down at `along`: its leg and the foot that it stands on."""
    leg = frame.box(along - 25, 30, 50, SILL_MM - 30)
    foot = frame.box(along - 90, 0, 180, 30)
    style = PLAIN.shape(PLAIN.soft, PLAIN.edge, EDGE_MM)
    return (Rect(*leg, style, frame.length(10)), Rect(*foot, style, frame.length(10)))


def _ground(layout: Layout, frame: ElevationFrame, pens: Pens) -> Item:
    start = -layout.drawbar if frame.side in ("nearside", "offside") else 0.0
    ends = (frame.at(start, 0), frame.at(frame.span_mm, 0))
    return Line(ends, Style(stroke=pens.edge, width_mm=EDGE_MM))
