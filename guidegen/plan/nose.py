"""The two ends that tell what a vehicle is: bonnet, windscreen, lamps and mirrors, or a drawbar."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.drawing.primitives import Circle, Command, Item, Line, Path, Rect, Style
from guidegen.plan.frame import Frame
from guidegen.plan.pens import DETAIL_MM, EDGE_MM, LEAF_MM, Pens
from guidegen.plan.strokes import placed
from guidegen.vehicle.contour import wall_line
from guidegen.vehicle.layout import XY, Area, Layout

_COUPLING_MM = 320.0
_MIRROR_OUT_MM = 262.0  # from the cab's side
# How far behind its foot's middle the windscreen meets the cab's sides.
SCREEN_MM = 230.0


def draw_nose(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    """Windscreen, bonnet lines and head lamps of a motorised vehicle."""
    if layout.bonnet <= 0:
        return
    meets = layout.bonnet + SCREEN_MM
    left = wall_line(layout, "nearside", meets, meets)[0][1]
    right = layout.width - left
    yield from _bonnet_lines(layout, (left, right), frame, pens)
    yield from _lamps(layout, frame, pens)
    yield _windscreen(layout, (left, right), frame, pens)


def draw_mirrors(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    """A door mirror on each side, just behind the windscreen's foot."""
    if layout.bonnet <= 0:
        return
    x = layout.bonnet + 330
    edge = wall_line(layout, "nearside", x, x)[0][1]
    for sign, face in ((-1.0, edge), (1.0, layout.width - edge)):
        yield Path(placed(_mirror(x, face, sign), frame.at), pens.shape(pens.soft, pens.ink, LEAF_MM))


def mirror_boxes(layout: Layout, frame: Frame) -> tuple[tuple[float, float, float, float], ...]:
    """The boxes on the sheet about both door mirrors."""
    if layout.bonnet <= 0:
        return ()
    x = layout.bonnet + 330
    edge = wall_line(layout, "nearside", x, x)[0][1]
    starts = (edge - _MIRROR_OUT_MM, layout.width - edge)
    return tuple(frame.box(Area(x - 75, y, 155, _MIRROR_OUT_MM)) for y in starts)


def draw_drawbar(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    """A-frame, coupling head, jockey wheel and hand brake of a caravan."""
    if layout.drawbar <= 0:
        return
    middle, tip = layout.width / 2, -layout.drawbar
    neck = tip + _COUPLING_MM
    steel = pens.shape(pens.soft, pens.ink, LEAF_MM)
    for sign in (-1.0, 1.0):
        bar = (
            (0.0, middle + sign * 560),
            (0.0, middle + sign * 480),
            (neck, middle + sign * 6),
            (neck, middle + sign * 62),
        )
        yield Line(tuple(frame.at(*p) for p in bar), steel, closed=True)
    yield from _jockey_wheel(neck + 150, middle, frame, pens)
    head: tuple[Command, ...] = (
        ("M", neck + 60, middle - 66),
        ("L", neck - 120, middle - 50),
        ("C", tip - 20, middle - 75, tip - 20, middle + 75, neck - 120, middle + 50),
        ("L", neck + 60, middle + 66),
        ("Z",),
    )
    yield Path(placed(head, frame.at), steel)
    yield Circle(*frame.at(tip + 85, middle), frame.length(30), Style(stroke=pens.edge, width_mm=DETAIL_MM))
    lever = frame.box(Area(neck + 20, middle - 17, 300, 34))
    yield Rect(*lever, pens.shape(pens.floor, pens.edge, DETAIL_MM), frame.length(17))


def drawbar_region(layout: Layout) -> tuple[XY, ...]:
    """The drawbar's triangle from the body's nearside to its offside, for a polygon round the whole."""
    if layout.drawbar <= 0:
        return ()
    middle, tip = layout.width / 2, -layout.drawbar
    return (
        (0.0, middle + 570),
        (tip + 300, middle + 150),
        (tip, middle + 80),
        (tip, middle - 80),
        (tip + 300, middle - 80),
        (0.0, middle - 570),
    )


def _jockey_wheel(x: float, middle: float, frame: Frame, pens: Pens) -> Iterator[Item]:
    clamp = frame.box(Area(x - 35, middle + 60, 70, 70))
    tyre = frame.box(Area(x - 100, middle + 80, 200, 62))
    yield Rect(*tyre, pens.shape(pens.floor, pens.edge, EDGE_MM), frame.length(28))
    yield Rect(*clamp, pens.shape(pens.soft, pens.ink, EDGE_MM), frame.length(30))


def _windscreen(layout: Layout, sides: tuple[float, float], frame: Frame, pens: Pens) -> Item:
    """The raked glass between its foot and the height of the cut, bowed forwards."""
    (left, right), x = sides, layout.bonnet
    y1, y2 = left + layout.wall * 0.6, right - layout.wall * 0.6
    glass: tuple[Command, ...] = (
        ("M", x + SCREEN_MM, y1),
        ("C", x - 120, y1 + 230, x - 120, y2 - 230, x + SCREEN_MM, y2),
        ("L", x + SCREEN_MM + 120, y2),
        ("C", x + 45, y2 - 250, x + 45, y1 + 250, x + SCREEN_MM + 120, y1),
        ("Z",),
    )
    return Path(placed(glass, frame.at), pens.shape(pens.glass, pens.edge, EDGE_MM))


def _bonnet_lines(layout: Layout, sides: tuple[float, float], frame: Frame, pens: Pens) -> Iterator[Item]:
    """Shut lines of the bonnet from the windscreen to the lamps and across the nose, and the grille."""
    (left, right), x = sides, layout.bonnet
    style = Style(stroke=pens.detail, width_mm=DETAIL_MM)
    grille = wall_line(layout, "front", left + 620, right - 620, 60)
    yield Line(tuple(frame.at(*p) for p in grille), style)
    if x < 500:
        return
    front = wall_line(layout, "front", left + 400, right - 400, 150)
    x1, y1 = front[0]
    lid: tuple[Command, ...] = (
        ("M", x + 160, left + 120),
        ("C", x * 0.75, left + 170, x * 0.4, left + 230, x1, y1),
        *(("L", *p) for p in front[1:]),
        ("C", x * 0.4, right - 230, x * 0.75, right - 170, x + 160, right - 120),
    )
    yield Path(placed(lid, frame.at), style)


def _lamps(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    """Head lamps let into the front corners."""
    width = layout.width
    for start, end, inwards in ((0.125, 0.245, 1.0), (0.755, 0.875, -1.0)):
        outer = wall_line(layout, "front", width * start, width * end, 22)
        inner = tuple((x + 135, y + inwards * 35) for x, y in outer)
        points = tuple(frame.at(*p) for p in (*outer, *reversed(inner)))
        yield Line(points, pens.shape(pens.glass, pens.edge, DETAIL_MM), closed=True)


def _mirror(x: float, face: float, sign: float) -> tuple[Command, ...]:
    """Arm and head: sign −1 stands out to the nearside, +1 to the offside."""

    def y(out: float) -> float:
        return face + sign * out

    return (
        ("M", x + 20, y(0)),
        ("L", x - 15, y(75)),
        ("C", x - 70, y(80), x - 75, y(110), x - 75, y(150)),
        ("C", x - 75, y(235), x - 30, y(_MIRROR_OUT_MM), x + 15, y(_MIRROR_OUT_MM)),
        ("C", x + 45, y(_MIRROR_OUT_MM), x + 50, y(240), x + 50, y(215)),
        ("L", x + 50, y(90)),
        ("C", x + 50, y(70), x + 70, y(60), x + 80, y(0)),
        ("Z",),
    )
