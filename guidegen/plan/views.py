"""The vehicle from above and from below: roof and chassis, for what is to be found there."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.drawing.primitives import Item, Line, Path, Rect, Style
from guidegen.plan.body import outline_path
from guidegen.plan.frame import Frame
from guidegen.plan.nose import draw_drawbar, draw_mirrors, draw_nose
from guidegen.plan.pens import DETAIL_MM, EDGE_MM, FADED, LEAF_MM, OUTLINE_MM, PARTITION_MM, PLAIN, Pens
from guidegen.plan.strokes import placed
from guidegen.plan.unseen import tyre_area
from guidegen.vehicle.contour import behind, flattened, inset, mirrored
from guidegen.vehicle.layout import Area, Corner, Layout

_ROOF_EDGE_MM = 110.0  # the roof's rounded edge, seen from above
_RAIL_MM = 70.0
_OVER_CAB_MM = 2000.0  # what the profile holds above this height is over the cab


def draw_roof(layout: Layout, frame: Frame, faded: bool = False) -> tuple[Item, ...]:
    """The roof from above: its edge, the bonnet before it, and its openings."""
    pens = FADED if faded else PLAIN
    return tuple(_roof(layout, frame, pens))


def draw_chassis(layout: Layout, frame: Frame, faded: bool = False) -> tuple[Item, ...]:
    """What is under the floor, as if the floor were glass: rails, axles and wheels."""
    pens = FADED if faded else PLAIN
    return tuple(_chassis(layout, frame, pens))


def _roof(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    yield from draw_drawbar(layout, frame, pens)
    yield from draw_mirrors(layout, frame, pens)
    yield _outline(layout, frame, pens)
    yield from draw_nose(layout, frame, pens)
    top = max(corner[1] for corner in layout.profile)
    starts = min(corner[0] for corner in layout.profile if corner[1] > top - 120)
    roof = layout.outline
    if any(p.kind == "over-cab-bed" for p in layout.furniture):
        # The over-cab part stands out over bonnet and cab as wide as the body.
        roof = _over_cab_roof(layout)
        yield Path(placed(outline_path(roof), frame.at), pens.shape(pens.floor, pens.ink, PARTITION_MM))
    edge = behind(flattened(inset(roof, _ROOF_EDGE_MM)), starts)
    yield Line(tuple(frame.at(*p) for p in edge), pens.shape(pens.cushion, pens.edge, EDGE_MM), closed=True)
    for opening in layout.roof:
        x, y, width, height = frame.box(opening.area)
        yield Rect(x, y, width, height, pens.shape(pens.glass, pens.edge, LEAF_MM), frame.length(45))
        rim = frame.length(45)
        inner = Style(stroke=pens.detail, width_mm=DETAIL_MM)
        yield Rect(x + rim, y + rim, width - 2 * rim, height - 2 * rim, inner, frame.length(30))


def _chassis(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    yield from draw_drawbar(layout, frame, pens)
    yield _outline(layout, frame, pens)
    middle = layout.width / 2
    start = 0.0 if layout.drawbar else 420.0
    for y in (middle - 480, middle + 480 - _RAIL_MM):
        rail = Area(start, y, layout.length - start - 250, _RAIL_MM)
        yield Rect(*frame.box(rail), pens.shape(pens.soft, pens.detail, DETAIL_MM))
    for x in sorted({wheel.x for wheel in layout.wheels}):
        ys = [wheel.y for wheel in layout.wheels if wheel.x == x]
        axle = Area(x - 45, min(ys), 90, max(1.0, max(ys) - min(ys)))
        yield Rect(*frame.box(axle), pens.shape(pens.soft, pens.edge, DETAIL_MM))
    for wheel in layout.wheels:
        yield Rect(*frame.box(tyre_area(wheel)), pens.shape(pens.wall, pens.ink, LEAF_MM), frame.length(70))


def _over_cab_roof(layout: Layout) -> tuple[Corner, ...]:
    foremost = min(x for x, z, _ in layout.profile if z > _OVER_CAB_MM)
    width, rear = layout.width, layout.length
    half: tuple[Corner, ...] = (
        (foremost, width / 2, 0.0),
        (foremost, 0.0, 420.0),
        (rear, 0.0, 90.0),
        (rear, width / 2, 0.0),
    )
    return mirrored(half, width)


def _outline(layout: Layout, frame: Frame, pens: Pens) -> Item:
    path = placed(outline_path(layout.outline), frame.at)
    return Path(path, pens.shape(pens.floor, pens.ink, OUTLINE_MM), css="body")
