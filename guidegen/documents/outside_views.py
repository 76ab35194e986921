"""The vehicle from outside, from above and from below: each view with its points where they are, numbered."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.outside_badges import (
    MARKER_MM,
    RING_MM,
    OverBadge,
    Space,
    drawn_badges,
    placed_outside,
)
from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import Circle, Item, Line, Path, Point, Rect, Style, Text, moved
from guidegen.plan.body import body_polygon
from guidegen.plan.callouts import Box, Polygon
from guidegen.plan.elevation import DRAWBAR_MM, draw_elevation, draw_steady, opening_boxes
from guidegen.plan.elevation_frame import ElevationFrame, fit_elevation
from guidegen.plan.fittings import TANK, Fitting, draw_fittings, fitting, from_above, hung
from guidegen.plan.floor import WORD_PT
from guidegen.plan.frame import Frame, Hand, fit_frame
from guidegen.plan.markers import INK, LEADER_MM, colour_of, system_mark
from guidegen.plan.pens import EDGE_MM, PLAIN
from guidegen.plan.seen import CASE_MM, Case, awning_case, lockers_about, on_roof, on_side
from guidegen.plan.spreading import nudge
from guidegen.plan.unseen import tyre_area
from guidegen.plan.views import draw_chassis, draw_roof
from guidegen.vehicle.contour import flattened
from guidegen.vehicle.layout import Area, Layout, Side
from guidegen.vehicle.model import ServicePoint

LONG_SIDES: tuple[tuple[Side, str], ...] = (("nearside", "Nearside"), ("offside", "Offside"))
ENDS: tuple[tuple[Side, str], ...] = (("front", "Front"), ("rear", "Rear"))
SCALE, END_SCALE = 1 / 50, 1 / 60
_AWNING_KINDS = ("awning", "awning-winder")
_ROOF_KINDS = ("roof-light", "heater-flue-roof", "solar-panel")
_EDGE_MM = 150.0  # of the vehicle: nothing is fitted on the rounded edge of its roof
_OFF_MM = 1.1  # of a word from the body that it stands beside
_CLEAR_MM = 3.0  # of the drawing from its title and from the words below where no badges stand between them


class View(Struct, frozen=True):
    """One view: title, its points, and the drawing with its top left corner at the origin.

    drawn: the height in mm of what is drawn to scale.
    """

    title: str
    points: tuple[ServicePoint, ...]
    items: tuple[Item, ...]
    width: float
    height: float
    scale: float
    drawn: float

    def smaller(self, scale: float) -> View:
        """About how high it is at a scale that is at most its own, with nothing drawn yet."""
        scale = min(scale, self.scale)
        less = self.drawn * (1 - scale / self.scale)
        return replace(self, items=(), height=self.height - less, scale=scale, drawn=self.drawn - less)


def nothing_over(shape: Circle | Rect, point: ServicePoint) -> Sequence[Item]:
    return ()


def fitting_scale(layout: Layout, width: float) -> float:
    """The scale at which a long side, with its badges beside it, is as wide as a drawing may be."""
    return min(SCALE, (width - 2 * RING_MM) / (layout.length + layout.drawbar))


def side_view(
    context: Context,
    side: Side,
    title: str,
    width: float,
    largest: float = SCALE,
    over: OverBadge = nothing_over,
    asked: Sequence[str] = (),
) -> View | None:
    """A side or end of the vehicle, as wide as asked, with its points; None when there are none.

    asked: letters of the systems that are shown, all when empty.
    """
    vehicle, layout = context.vehicle, context.vehicle.layout
    found = [p for p in vehicle.points if p.where == side]
    points = _of(asked, found)
    if not points:
        return None
    lengthwise = side in ("nearside", "offside")
    box = (RING_MM, RING_MM, width - 2 * RING_MM, layout.height * largest)
    frame = fit_elevation(layout, side, box, vehicle.nearside, largest)
    case = awning_case(layout, side, found)
    seen = {p.id: on_side(layout, side, p, case) for p in found}
    at = {key: frame.at(along, max(60.0, z)) for key, (along, z) in seen.items()}
    marked = nudge({p.id: at[p.id] for p in points})
    layout = lockers_about(layout, side, frame, [(at[id], to) for id, to in marked.items()])
    steadies = (p for p in points if p.kind == "steady")
    legs = [item for p in steadies for item in draw_steady(frame, p.x if lengthwise else p.y)]
    shade = _awning(case, frame)
    fittings = _fittings(
        context, [p for p in found if not case or p.kind not in _AWNING_KINDS], at, frame.scale
    )
    underside = frame.at(0.0, min(z for _, z, _ in layout.profile))[1]
    openings = opening_boxes(layout, side, frame)
    fitted = draw_fittings(
        [hung(one, underside) for one in fittings],
        (*openings, *((item.x, item.y, item.width, item.height) for item in shade)),
        frame.box(-layout.drawbar, 0.0, frame.span_mm + layout.drawbar, layout.height),
    )
    drawn = (*legs, *draw_elevation(layout, side, frame), *shade, *fitted)
    bar = (frame.box(-layout.drawbar, 0.0, layout.drawbar, DRAWBAR_MM),) if lengthwise else ()
    space = Space(frame.scale, _silhouette(layout, frame), bar, box, _run_over(fittings, at, openings))
    return _view(context, title, points, drawn, marked, space, over)


def _awning(case: Case | None, frame: ElevationFrame) -> tuple[Rect, ...]:
    """The awning's case along the edge of the roof, none without an awning."""
    if case is None:
        return ()
    box = frame.box(case.start, case.z - CASE_MM / 2, case.end - case.start, CASE_MM)
    return (Rect(*box, PLAIN.shape(PLAIN.soft, PLAIN.edge, EDGE_MM), box[3] / 3),)


def views_from_above(
    context: Context,
    width: float,
    largest: float = SCALE,
    over: OverBadge = nothing_over,
    asked: Sequence[str] = (),
) -> Iterator[View]:
    """The roof and what is under the floor, where there are points."""
    vehicle, layout = context.vehicle, context.vehicle.layout
    roof = [p for p in vehicle.points if p.where == "roof" or p.kind in _ROOF_KINDS]
    under = [p for p in vehicle.points if p.where == "under"]
    draw: Callable[..., tuple[Item, ...]]
    tyres = [tyre_area(wheel) for wheel in layout.wheels]
    for title, draw, found, openings in (
        ("The roof, from above", draw_roof, roof, [opening.area for opening in layout.roof]),
        ("Under the floor, seen from above", draw_chassis, under, tyres),
    ):
        if points := _of(asked, found):
            box = (RING_MM, RING_MM, width - 2 * RING_MM, (layout.width + 660.0) * largest)
            frame = fit_frame(layout, box, "landscape", vehicle.nearside, largest)
            at = {p.id: frame.at(*on_roof(layout, p)) for p in found}
            fittings = _fittings(context, found, at, frame.scale, above=True)
            taken = [frame.box(area) for area in openings]
            fitted = draw_fittings(fittings, taken, frame.box(_roof(layout)))
            bar = frame.box(Area(-layout.drawbar, 0.0, layout.drawbar, layout.width))
            words = tuple(_words(layout, frame, vehicle.nearside))
            clear = (bar, *(taking for _, taking in words))
            keep_off = (*_run_over(fittings, at, taken), *((taking, "") for _, taking in words))
            space = Space(frame.scale, body_polygon(layout, frame), clear, box, keep_off)
            marked = nudge({p.id: at[p.id] for p in points})
            drawn = (*draw(layout, frame), *fitted, *(word for word, _ in words))
            yield _view(context, title, points, drawn, marked, space, over)


def _words(layout: Layout, frame: Frame, nearside: Hand) -> Iterator[tuple[Text, Box]]:
    """Front before the nose, Nearside and Offside at the rear corners, each with the box that it takes."""
    x1, y1, wide, high = frame.box(Area(-layout.drawbar, 0.0, layout.length + layout.drawbar, layout.width))
    cap, x2, y2 = cap_height_mm(WORD_PT), x1 + wide, y1 + high
    long = text_width_mm("Front", WORD_PT, "bold")
    middle = y1 + high / 2
    word = Text(x1 - _OFF_MM, middle, "Front", WORD_PT, "bold", INK, "middle", turn_deg=-90)
    yield word, (x1 - _OFF_MM - cap, middle - long / 2, cap, long)
    below, above = ("Nearside", "Offside") if nearside == "left" else ("Offside", "Nearside")
    for text, base in ((above, y1 - _OFF_MM), (below, y2 + _OFF_MM + cap)):
        long = text_width_mm(text, WORD_PT, "bold")
        yield Text(x2, base, text, WORD_PT, "bold", INK, "end"), (x2 - long, base - cap, long, cap)


def _roof(layout: Layout) -> Area:
    return Area(_EDGE_MM, _EDGE_MM, layout.length - 2 * _EDGE_MM, layout.width - 2 * _EDGE_MM)


def _fittings(
    context: Context,
    points: Sequence[ServicePoint],
    at: Mapping[str, Point],
    scale: float,
    above: bool = False,
) -> list[Fitting]:
    """What is seen of the points, at their true places; from above tanks too, and into pipes."""
    formed = ((at[p.id], context.trade.kinds[p.kind].form) for p in points)
    made = (
        fitting(form.shape, place, form.width_mm * scale, form.height_mm * scale)
        for place, form in formed
        if form and (above or form.shape != TANK)
    )
    return [from_above(one) if above else one for one in made]


def _run_over(
    fittings: Sequence[Fitting], at: Mapping[str, Point], openings: Sequence[Box]
) -> tuple[tuple[Box, str], ...]:
    """What leaders had better not run over: what shows other points, then doors, windows and wheels."""
    ids = {place: id for id, place in at.items()}
    shown = ((one.box, ids[one.places[0]]) for one in fittings if one.shape != TANK)
    return (*shown, *((box, "") for box in openings))


def _of(asked: Sequence[str], points: Sequence[ServicePoint]) -> list[ServicePoint]:
    return [p for p in points if not asked or p.system in asked]


def _silhouette(layout: Layout, frame: ElevationFrame) -> Polygon:
    """The body down to the ground; of a long side with the slope of its front."""
    ground = [frame.at(frame.span_mm, 0.0), frame.at(0.0, 0.0)]
    if frame.side in ("nearside", "offside"):
        return (*(frame.at(*corner) for corner in flattened(layout.profile)), *ground)
    return (frame.at(0.0, layout.height), frame.at(frame.span_mm, layout.height), *ground)


def _view(
    context: Context,
    title: str,
    points: Sequence[ServicePoint],
    drawn: Sequence[Item],
    at: dict[str, Point],
    space: Space,
    over: OverBadge,
) -> View:
    by_id = {p.id: p for p in points}
    groups, placement = placed_outside(at, by_id, space)
    items = [*drawn]
    for placed in placement.callouts:
        members = sorted((by_id[k] for k in groups[placed.key]), key=lambda p: p.number)
        if placed.leader:
            items.append(Line(placed.leader, Style(stroke=INK, width_mm=LEADER_MM)))
        for point in members:
            items.append(Circle(*at[point.id], MARKER_MM, Style(fill="#ffffff")))
            system = context.trade.systems[point.system]
            items.append(system_mark(system, colour_of(point, context.trade), *at[point.id]))
        items += drawn_badges(context, members, placed.x, placed.y, over)
    reach = [*_heights(drawn), *(p[1] for p in space.body)]  # mirrors stand out beyond the body
    tops = [min(reach) - _CLEAR_MM, *(c.y - c.height_mm / 2 - 1.0 for c in placement.callouts)]
    feet = [max(reach) + _CLEAR_MM, *(c.y + c.height_mm / 2 + 1.0 for c in placement.callouts)]
    top, foot = min(tops), max(feet)
    width = space.box[2] + 2 * RING_MM - 1e-6
    shown = (moved(items, 0.0, -top),)
    return View(title, tuple(points), shown, width, foot - top, space.scale, max(reach) - min(reach))


def _heights(drawn: Sequence[Item]) -> Iterator[float]:
    """The y of all that the outlines of a drawing run through."""
    for item in drawn:
        match item:
            case Line(points=points):
                yield from (y for _, y in points)
            case Path(commands=commands):
                yield from (y for command in commands for y in command[2::2] if isinstance(y, float))
