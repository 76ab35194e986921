"""The vehicle in plan: floor, walls, openings, nose and wheels, and the whole with its furniture."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from guidegen.drawing.boxes import Box
from guidegen.drawing.primitives import Command, Item, Line, Path, Point, Style
from guidegen.plan.frame import Frame
from guidegen.plan.furniture import draw_furniture
from guidegen.plan.nose import (
    SCREEN_MM,
    draw_drawbar,
    draw_mirrors,
    draw_nose,
    drawbar_region,
    mirror_boxes,
)
from guidegen.plan.openings import draw_door, draw_hatch, draw_partition, draw_window, leaf_boxes
from guidegen.plan.pens import EDGE_MM, FADED, HATCH_MM, OUTLINE_MM, PLAIN, Pens
from guidegen.plan.strokes import placed
from guidegen.vehicle.contour import behind, bends, encloses, flattened, inset
from guidegen.vehicle.layout import XY, Area, Corner, Door, Hatch, Layout, Partition, Window

_HATCH_STEP_MM = 1.5  # on the sheet, between the lines of a wet room's floor
_WET = ("shower", "toilet")


def draw_vehicle(layout: Layout, frame: Frame, faded: bool = False) -> tuple[Item, ...]:
    """The bare vehicle: body, furniture, then what is unseen above and below the cut."""
    return (*draw_body(layout, frame, faded), *draw_furniture(layout, frame, faded))


def draw_body(layout: Layout, frame: Frame, faded: bool = False) -> tuple[Item, ...]:
    """Floor, walls, nose and openings; the outline is one closed path of class "body"."""
    pens = FADED if faded else PLAIN
    return (*_floor(layout, frame, pens), *_shell(layout, frame, pens))


def draw_part(layout: Layout, area: Area, frame: Frame, faded: bool = False) -> tuple[Item, ...]:
    """What an area of the vehicle holds of it, walls and openings too; the rest of these is to be clipped."""
    pens = FADED if faded else PLAIN
    part = _within(layout, area)
    walls: list[Item] = []
    if not _clear_of_walls(layout, area):
        walls += _walls(layout, frame, pens)
        outline = tuple(frame.at(*p) for p in flattened(layout.outline))
        walls.append(Line(outline, Style(stroke=pens.ink, width_mm=OUTLINE_MM), closed=True))
    return (
        *walls,
        *_inner_walls(part, frame, pens),
        *_openings(part, frame, pens),
        *draw_furniture(part, frame, faded),
    )


def body_polygon(layout: Layout, frame: Frame) -> tuple[Point, ...]:
    """The outer contour on the sheet, flattened; a caravan's takes in its drawbar."""
    points = flattened(layout.outline)
    region = drawbar_region(layout)
    if region:
        # The outline starts at the front's middle and runs to the nearside: cut the front open there.
        low, high = region[-1][1], region[0][1]
        kept = [p for p in points if not (p[0] < 1 and low <= p[1] <= high)]
        points = (*region, *_from_nearside(kept, layout.width / 2))
    return tuple(frame.at(*p) for p in points)


def standing_out(layout: Layout, frame: Frame) -> tuple[Box, ...]:
    """Boxes on the sheet about what stands out of the contour: mirrors and the leaves of outer doors."""
    leaves = (box for door in layout.doors for box in leaf_boxes(layout, door, frame))
    return (*mirror_boxes(layout, frame), *leaves)


def outline_path(corners: tuple[Corner, ...]) -> tuple[Command, ...]:
    """A closed path with true curves, in the vehicle's mm."""
    commands: list[Command] = []
    for i, bend in enumerate(bends(corners)):
        commands.append(("M" if i == 0 else "L", *bend.start))
        if bend.start != bend.end:
            commands.append(("C", *bend.control_1, *bend.control_2, *bend.end))
    return (*commands, ("Z",))


def _floor(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    yield Path(placed(outline_path(layout.outline), frame.at), Style(fill=pens.floor))
    wet = {piece.room for piece in layout.furniture if piece.kind in _WET}
    for room in layout.rooms:
        if room.id in wet:
            yield from _hatching(frame.box(room.area), pens)


def _shell(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    yield from _walls(layout, frame, pens)
    yield from _inner_walls(layout, frame, pens)
    yield from draw_drawbar(layout, frame, pens)
    yield from draw_mirrors(layout, frame, pens)
    outline = placed(outline_path(layout.outline), frame.at)
    yield Path(outline, Style(stroke=pens.ink, width_mm=OUTLINE_MM), css="body")
    yield from draw_nose(layout, frame, pens)
    yield from _openings(layout, frame, pens)


def _inner_walls(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    for wall in layout.partitions:
        yield from draw_partition(wall, frame, pens)


def _openings(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    for window in layout.windows:
        yield from draw_window(layout, window, frame, pens)
    for hatch in layout.hatches:
        yield from draw_hatch(layout, hatch, frame, pens)
    for door in layout.doors:
        yield from draw_door(layout, door, frame, pens)


def _walls(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    """The cut wall behind the windscreen's foot, and its inner face."""
    outer = flattened(layout.outline)
    inner = flattened(inset(layout.outline, layout.wall))
    if layout.bonnet > 0:
        start = layout.bonnet + SCREEN_MM + 60
        outer, inner = behind(outer, start), behind(inner, start)
    band = (*_ring(outer, frame), *_ring(inner, frame))
    yield Path(band, Style(fill=pens.wall), even_odd=True)
    face = Style(stroke=pens.edge, width_mm=EDGE_MM)
    if layout.bonnet > 0:
        cut = max(range(len(inner)), key=lambda i: abs(inner[i][1] - inner[i - 1][1]) - inner[i][0])
        yield Line(tuple(frame.at(*p) for p in (*inner[cut:], *inner[:cut])), face)
    else:
        yield Line(tuple(frame.at(*p) for p in inner), face, closed=True)


def _ring(points: tuple[XY, ...], frame: Frame) -> tuple[Command, ...]:
    first, *others = (frame.at(*p) for p in points)
    return (("M", *first), *(("L", *p) for p in others), ("Z",))


def _within(layout: Layout, area: Area) -> Layout:
    """The layout with only such furniture, partitions and openings as an area meets."""
    spans = {True: (area.x, area.x + area.length), False: (area.y, area.y + area.width)}

    def met(start: float, end: float, along: bool) -> bool:
        return start < spans[along][1] and end > spans[along][0]

    def opens(one: Door | Window | Hatch) -> bool:
        return met(one.start, one.start + one.width, one.side in ("nearside", "offside"))

    def holds(a: Area) -> bool:
        return met(a.x, a.x + a.length, True) and met(a.y, a.y + a.width, False)

    return replace(
        layout,
        furniture=tuple(f for f in layout.furniture if holds(f.area)),
        partitions=tuple(p for p in layout.partitions if holds(_about(p))),
        doors=tuple(d for d in layout.doors if opens(d)),
        windows=tuple(w for w in layout.windows if opens(w)),
        hatches=tuple(h for h in layout.hatches if opens(h)),
    )


def _about(wall: Partition) -> Area:
    """A partition and as far to both sides as its door may swing."""
    (x1, y1), (x2, y2) = wall.start, wall.end
    swing = max(50.0, wall.opening[1] if wall.opening else 0.0)
    return Area(min(x1, x2) - swing, min(y1, y2) - swing, abs(x2 - x1) + 2 * swing, abs(y2 - y1) + 2 * swing)


def _clear_of_walls(layout: Layout, area: Area) -> bool:
    """Whether an area lies wholly inside the outer walls."""
    inner = flattened(inset(layout.outline, layout.wall))
    ends = ((area.x, area.y), (area.x + area.length, area.y + area.width))
    return all(encloses(inner, (x, y)) for x, _ in ends for _, y in ends)


def _from_nearside(points: list[XY], middle: float) -> list[XY]:
    """The ring turned so that it starts at its first point on the nearside of the middle."""
    start = next(i for i, p in enumerate(points) if p[1] < middle)
    return points[start:] + points[:start]


def _hatching(box: tuple[float, float, float, float], pens: Pens) -> Iterator[Item]:
    """Fine lines at 45° across a box of the sheet."""
    x, y, width, height = box
    style = Style(stroke=pens.hatch, width_mm=HATCH_MM, round_ends=False)
    step = _HATCH_STEP_MM * 2**0.5
    offset = step
    while offset < width + height:
        start = (x + min(offset, width), y + max(0.0, offset - width))
        end = (x + max(0.0, offset - height), y + min(offset, height))
        yield Line((start, end), style)
        offset += step
