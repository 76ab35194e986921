"""Doors, windows, hatches and roof openings in plan."""

from __future__ import annotations

import math
from collections.abc import Iterator

from guidegen.drawing.boxes import Box, box_about
from guidegen.drawing.primitives import Command, Item, Line, Path, Style
from guidegen.plan.frame import Frame
from guidegen.plan.pens import (
    DETAIL_MM,
    EDGE_MM,
    HATCH_MM,
    LEAF_MM,
    OUTLINE_MM,
    PARTITION_MM,
    Pens,
)
from guidegen.vehicle.contour import wall_line
from guidegen.vehicle.layout import XY, Door, Hatch, Layout, Partition, Side, Window

_OUTWARD: dict[Side, XY] = {"front": (-1, 0), "rear": (1, 0), "nearside": (0, -1), "offside": (0, 1)}
# How far leaves are drawn open. Outer doors stand ajar only, so that callouts find room beside the body.
_AJAR_DEG = {"habitation": 24.0, "cab": 16.0, "rear": 20.0, "garage": 14.0}
_LEAF_MM = 34.0
_QUARTER_HANDLE = 4 / 3
_SLIDING_OUT_MM = 95.0  # from the wall to the outer face of a sliding leaf
_SLICES = 4


def draw_window(layout: Layout, window: Window, frame: Frame, pens: Pens) -> Iterator[Item]:
    """Glass in the wall: two faces and the pane between them."""
    end = window.start + window.width
    yield _gap(layout, window.side, window.start, end, frame, pens.floor)
    outer = wall_line(layout, window.side, window.start, end)
    inner = wall_line(layout, window.side, window.start, end, layout.wall)
    glass = tuple(frame.at(*p) for p in (*outer, *reversed(inner)))
    yield Line(glass, Style(fill=pens.glass), closed=True)
    for depth, width in ((0.0, LEAF_MM), (layout.wall, EDGE_MM), (layout.wall / 2, DETAIL_MM)):
        yield _face(
            layout, window.side, (window.start, end, depth), frame, Style(stroke=pens.edge, width_mm=width)
        )
    yield from _jambs(layout, window.side, window.start, end, frame, Style(stroke=pens.ink, width_mm=EDGE_MM))


def draw_hatch(layout: Layout, hatch: Hatch, frame: Frame, pens: Pens) -> Iterator[Item]:
    """A flap in the outer skin: its own line, shut lines at both ends."""
    end = hatch.start + hatch.width
    yield _gap(layout, hatch.side, hatch.start, end, frame, pens.floor)
    yield _face(
        layout, hatch.side, (hatch.start, end, 0), frame, Style(stroke=pens.ink, width_mm=PARTITION_MM)
    )
    yield _face(
        layout,
        hatch.side,
        (hatch.start, end, layout.wall),
        frame,
        Style(stroke=pens.edge, width_mm=DETAIL_MM),
    )
    yield from _jambs(layout, hatch.side, hatch.start, end, frame, Style(stroke=pens.ink, width_mm=LEAF_MM))


def draw_door(layout: Layout, door: Door, frame: Frame, pens: Pens) -> Iterator[Item]:
    """An opening in the wall, its leaf ajar and the way that it swings."""
    end = door.start + door.width
    yield _gap(layout, door.side, door.start, end, frame, pens.floor)
    sill = Style(stroke=pens.detail, width_mm=DETAIL_MM)
    yield _face(layout, door.side, (door.start, end, 0), frame, sill)
    yield _face(layout, door.side, (door.start, end, layout.wall), frame, sill)
    yield from _jambs(
        layout, door.side, door.start, end, frame, Style(stroke=pens.ink, width_mm=PARTITION_MM)
    )
    if door.kind == "sliding":
        yield from _sliding_leaf(layout, door, frame, pens)
        return
    hinge, lock = _hung(layout, door)
    yield from swing(hinge, lock, _OUTWARD[door.side], _AJAR_DEG[door.kind], frame, pens)


def leaf_boxes(layout: Layout, door: Door, frame: Frame) -> tuple[Box, ...]:
    """Boxes on the sheet that cover an outer door's leaf as drawn, and the way from it to the wall."""
    if door.kind == "sliding":
        start, end = _run(door)
        outer = wall_line(layout, door.side, start, end, -_SLIDING_OUT_MM)
        wall = wall_line(layout, door.side, start, end)
        return (box_about([frame.at(*p) for p in (*outer, *wall)]),)
    hinge, lock = _hung(layout, door)
    angle, way = math.radians(_AJAR_DEG[door.kind]), _OUTWARD[door.side]
    wide = math.dist(hinge, lock)
    along = ((lock[0] - hinge[0]) / wide, (lock[1] - hinge[1]) / wide)
    found = []
    for n in range(_SLICES):
        near, far = (wide * k / _SLICES for k in (n, n + 1))
        # The leaf's own slice, and at the last the arc that its edge runs along.
        corners = [(d, o) for d in (near, far) for o in (0.0, d * math.sin(angle))]
        corners += [(d * math.cos(angle), d * math.sin(angle)) for d in (near, far)]
        points = [
            (hinge[0] + along[0] * d + way[0] * o, hinge[1] + along[1] * d + way[1] * o) for d, o in corners
        ]
        found.append(box_about([frame.at(*p) for p in points]))
    return tuple(found)


def _hung(layout: Layout, door: Door) -> tuple[XY, XY]:
    """Where a door's hinge and its lock are on the wall."""
    line = wall_line(layout, door.side, door.start, door.start + door.width)
    return (line[0], line[-1]) if door.hinge in ("front", "nearside") else (line[-1], line[0])


def _run(door: Door) -> tuple[float, float]:
    """Start and end of a sliding leaf that has run half open."""
    run = door.width * 0.55 * (1 if door.hinge in ("rear", "offside") else -1)
    return door.start + run, door.start + door.width + run


def draw_partition(wall: Partition, frame: Frame, pens: Pens) -> Iterator[Item]:
    """An inner wall with its doorway."""
    (x1, y1), (x2, y2) = wall.start, wall.end
    long = math.hypot(x2 - x1, y2 - y1) or 1.0
    along = ((x2 - x1) / long, (y2 - y1) / long)

    def point(distance: float) -> XY:
        return (x1 + along[0] * distance, y1 + along[1] * distance)

    style = Style(stroke=pens.ink, width_mm=PARTITION_MM, round_ends=False)
    first, width = wall.opening or (long, 0.0)
    for start, end in ((0.0, first), (first + width, long)):
        if end - start > 1:
            yield Line((frame.at(*point(start)), frame.at(*point(end))), style)
    if not wall.opening or not wall.door:
        return
    near, far = point(first), point(first + width)
    way = _OUTWARD[wall.opens or ("rear" if abs(along[1]) > 0.5 else "offside")]
    if wall.door == "swing":
        hinge, lock = (near, far) if wall.hinge == "start" else (far, near)
        yield from swing(hinge, lock, way, 90, frame, pens)
    elif wall.door == "sliding":
        yield from _pocket_leaf(near, far, way, frame, pens)
    else:
        yield _curtain(near, far, way, frame, pens)


def swing(hinge: XY, lock: XY, way: XY, angle_deg: float, frame: Frame, pens: Pens) -> Iterator[Item]:
    """A leaf turned about its hinge towards `way`, and the arc that its edge runs along."""
    shut = (lock[0] - hinge[0], lock[1] - hinge[1])
    width = math.hypot(*shut)
    # The direction at right angles to the shut leaf that lies on the side of `way`.
    normal = (-shut[1], shut[0])
    if normal[0] * way[0] + normal[1] * way[1] < 0:
        normal = (shut[1], -shut[0])

    def turned(angle: float) -> XY:
        c, s = math.cos(angle), math.sin(angle)
        return (hinge[0] + shut[0] * c + normal[0] * s, hinge[1] + shut[1] * c + normal[1] * s)

    angle = math.radians(angle_deg)
    open_end = turned(angle)
    handle = _QUARTER_HANDLE * math.tan(angle / 4)
    start_tangent = (lock[0] + normal[0] * handle, lock[1] + normal[1] * handle)
    c, s = math.cos(angle), math.sin(angle)
    end_tangent = (
        open_end[0] + (shut[0] * s - normal[0] * c) * handle,
        open_end[1] + (shut[1] * s - normal[1] * c) * handle,
    )
    arc: tuple[Command, ...] = (
        ("M", *frame.at(*lock)),
        ("C", *frame.at(*start_tangent), *frame.at(*end_tangent), *frame.at(*open_end)),
    )
    yield Path(arc, Style(stroke=pens.detail, width_mm=HATCH_MM))
    thick = _LEAF_MM / width
    across = (
        -(shut[0] * -s + normal[0] * c) * thick,
        -(shut[1] * -s + normal[1] * c) * thick,
    )
    corners = (
        hinge,
        open_end,
        (open_end[0] + across[0], open_end[1] + across[1]),
        (hinge[0] + across[0], hinge[1] + across[1]),
    )
    leaf = Style(fill=pens.floor, stroke=pens.ink, width_mm=EDGE_MM)
    yield Line(tuple(frame.at(*p) for p in corners), leaf, closed=True)


def _sliding_leaf(layout: Layout, door: Door, frame: Frame, pens: Pens) -> Iterator[Item]:
    """The leaf run half open along the outside, and the way it runs."""
    start, end = _run(door)
    outer = wall_line(layout, door.side, start, end, -_SLIDING_OUT_MM)
    inner = wall_line(layout, door.side, start, end, -45)
    leaf = Style(fill=pens.floor, stroke=pens.ink, width_mm=EDGE_MM)
    yield Line(tuple(frame.at(*p) for p in (*outer, *reversed(inner))), leaf, closed=True)


def _pocket_leaf(near: XY, far: XY, way: XY, frame: Frame, pens: Pens) -> Iterator[Item]:
    """A sliding inner door, drawn beside its wall and half open."""
    shift = (near[0] - far[0], near[1] - far[1])
    off = (way[0] * 28, way[1] * 28)
    a = (near[0] + shift[0] * 0.5 + off[0], near[1] + shift[1] * 0.5 + off[1])
    b = (far[0] + shift[0] * 0.5 + off[0], far[1] + shift[1] * 0.5 + off[1])
    yield Line((frame.at(*a), frame.at(*b)), Style(stroke=pens.ink, width_mm=LEAF_MM, round_ends=False))


def _curtain(near: XY, far: XY, way: XY, frame: Frame, pens: Pens) -> Item:
    """A wavy line across the doorway."""
    long = math.dist(near, far)
    along = ((far[0] - near[0]) / long, (far[1] - near[1]) / long)
    folds = max(4, round(long / 70))
    points = []
    for i in range(folds * 6 + 1):
        at, out = long * i / (folds * 6), 22 * math.sin(2 * math.pi * i / 6)
        points.append(
            frame.at(near[0] + along[0] * at + way[0] * out, near[1] + along[1] * at + way[1] * out)
        )
    return Line(tuple(points), Style(stroke=pens.edge, width_mm=DETAIL_MM))


def _gap(layout: Layout, side: Side, start: float, end: float, frame: Frame, fill: str) -> Item:
    """A patch over the wall between two distances, covering the outline's stroke as well."""
    over = (OUTLINE_MM + PARTITION_MM) / 2 / frame.scale
    outer = wall_line(layout, side, start, end, -over)
    inner = wall_line(layout, side, start, end, layout.wall + 0.15 / frame.scale)
    return Line(tuple(frame.at(*p) for p in (*outer, *reversed(inner))), Style(fill=fill), closed=True)


def _face(layout: Layout, side: Side, span: tuple[float, float, float], frame: Frame, style: Style) -> Item:
    """One face of the wall from start to end at a depth."""
    return Line(tuple(frame.at(*p) for p in wall_line(layout, side, *span)), style)


def _jambs(
    layout: Layout, side: Side, start: float, end: float, frame: Frame, style: Style
) -> Iterator[Item]:
    over = OUTLINE_MM / 2 / frame.scale
    for at in (start, end):
        outer = wall_line(layout, side, at, at, -over)[0]
        inner = wall_line(layout, side, at, at, layout.wall)[0]
        yield Line((frame.at(*outer), frame.at(*inner)), style)
