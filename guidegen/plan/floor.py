"""The floor diagram as drawn: the vehicle, its callouts, insets and the words round it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from msgspec.structs import replace

from guidegen.drawing.boxes import Box, box_about, grown
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Circle, Group, Item, Line, Point, Rect, Style, Text, moved
from guidegen.plan.arrange import MARKER_MM, Arrangement
from guidegen.plan.body import draw_part, draw_vehicle
from guidegen.plan.callouts import Callout
from guidegen.plan.callouts.paths import point_to_segment
from guidegen.plan.callouts.sight import meets_box
from guidegen.plan.frame import Frame
from guidegen.plan.insets import TITLE_LINE_MM, TITLE_PT, Detail
from guidegen.plan.markers import BADGE_MM, INK, LEADER_MM, NUMBER_PT, callout, colour_of, ghost, system_mark
from guidegen.trade.records import Trade
from guidegen.vehicle.layout import Area, Layout
from guidegen.vehicle.model import ServicePoint, Vehicle

_TAG = Style(fill=INK)
_FRAME = Style(stroke=INK, width_mm=0.25, dash_mm=(0.8, 0.5))
WORD_PT = 8.5
_DOT_MM = 0.55  # half across: of a point that an inset enlarges


def draw_floor(
    vehicle: Vehicle,
    trade: Trade,
    arrangement: Arrangement,
    *,
    texts: Mapping[str, str] | None = None,
    ghosts: Collection[ServicePoint] = (),
    under: Sequence[Item] | None = None,
) -> tuple[Item, ...]:
    """Body, furniture, markers, callouts and insets of an arrangement.

    texts: what stands in the badges instead of numbers, by point id. ghosts: points shown as faint dots.
    under: the vehicle for the arrangement's frame, when it is drawn already.
    """
    points = {p.id: p for p in vehicle.points}
    frame = arrangement.frame
    drawn = draw_vehicle(vehicle.layout, frame, faded=bool(ghosts)) if under is None else under
    items: list[Item] = [*drawn]
    items += [ghost(p, frame.at(p.x, p.y)) for p in ghosts]
    items += _words(vehicle, arrangement)
    for d in arrangement.details:
        items += source(d.source, [points[k] for k in d.keys], trade, frame)
    for placed in arrangement.callouts:
        point = points[placed.key]
        text = texts.get(point.id) if texts else None
        items.append(callout(point, trade, arrangement.places[point.id], placed, MARKER_MM, text=text))
    for placed in arrangement.placement.callouts:
        if placed.key.startswith("inset:"):
            items += _letter_badge(placed, arrangement)
    items += _passed_over(arrangement, points, trade)
    for d in arrangement.details:
        items.append(_inset(d, vehicle, trade, points, arrangement, texts, faded=bool(ghosts)))
    return tuple(items)


def source(box: Box, points: Sequence[ServicePoint], trade: Trade, frame: Frame) -> Iterator[Item]:
    """The frame on the plan of what an inset enlarges, with the marks of its points."""
    yield Rect(*box, Style(fill=WHITE, fill_opacity=0.6), radius=0.8)
    for p in points:
        yield system_mark(trade.systems[p.system], colour_of(p, trade), *frame.at(p.x, p.y), _DOT_MM)
    yield Rect(*box, _FRAME, radius=0.8, css="inset-source")


def _passed_over(
    arrangement: Arrangement, points: Mapping[str, ServicePoint], trade: Trade
) -> Iterator[Item]:
    """The dots of insets that another callout's leader passes, again and in white: it goes on behind them."""
    leaders = [(c.key, c.leader) for c in arrangement.placement.callouts if len(c.leader) == 2]
    for d in arrangement.details:
        places = {key: arrangement.frame.at(points[key].x, points[key].y) for key in d.keys}
        about = grown(box_about(places.values()), _DOT_MM)
        near = [one for key, one in leaders if key != f"inset:{d.letter}" and meets_box(*one, about)]
        for key, place in places.items():
            p = points[key]
            if any(point_to_segment(place, *leader) < _DOT_MM for leader in near):
                yield Circle(*place, _DOT_MM + 0.35, Style(fill=WHITE))
                yield system_mark(trade.systems[p.system], colour_of(p, trade), *place, _DOT_MM)


def _letter_badge(placed: Callout, arrangement: Arrangement) -> Iterator[Item]:
    letter = placed.key.removeprefix("inset:")
    framed = next(d.source for d in arrangement.details if d.letter == letter)
    if placed.leader:
        leader = from_edge(placed.leader, framed)
        yield Line(leader, Style(stroke=INK, width_mm=LEADER_MM), css="inset-leader")
    w, h = placed.width_mm, placed.height_mm
    yield Rect(placed.x - w / 2, placed.y - h / 2, w, h, _TAG, radius=0.6, css="inset-tag")
    size = NUMBER_PT * h / BADGE_MM
    yield Text(placed.x, placed.y + cap_height_mm(size) / 2, letter, size, "bold", WHITE, "middle")


def from_edge(leader: tuple[Point, ...], framed: Box) -> tuple[Point, ...]:
    """The leader from the edge of the source frame on, rather than from its middle."""
    x, y, w, h = framed
    cx, cy = x + w / 2, y + h / 2
    (x1, y1), *rest = ((cx, cy), *leader[1:])
    dx, dy = rest[0][0] - x1, rest[0][1] - y1
    reach = min(w / 2 / abs(dx) if dx else 9e9, h / 2 / abs(dy) if dy else 9e9, 1.0)
    return ((x1 + dx * reach, y1 + dy * reach), *rest)


def _inset(
    d: Detail,
    vehicle: Vehicle,
    trade: Trade,
    points: Mapping[str, ServicePoint],
    arrangement: Arrangement,
    texts: Mapping[str, str] | None,
    faded: bool,
) -> Group:
    x, y = arrangement.corners[d.letter]
    items: list[Item] = [
        Rect(0, 0, d.width, d.height, Style(fill=WHITE, stroke=INK, width_mm=0.35), radius=1.2),
        *window(vehicle.layout, d, faded),
        Rect(1.2, 1.2, 4.2, 4.2, _TAG, radius=0.6),
        Text(3.3, 3.3 + cap_height_mm(8.5) / 2, d.letter, 8.5, "bold", WHITE, "middle"),
    ]
    for n, line in enumerate(d.title.split("\n")):
        baseline = 3.3 + cap_height_mm(TITLE_PT) / 2 + n * TITLE_LINE_MM
        items.append(Text(6.6, baseline, line, TITLE_PT, "bold", INK))
    places = dict(d.places)
    items += [ghost(points[k], place) for k, place in d.places if k not in d.keys]
    for placed in d.callouts:
        text = texts.get(placed.key) if texts else None
        items.append(
            callout(points[placed.key], trade, places[placed.key], placed, MARKER_MM, inset=True, text=text)
        )
    group = moved(items, x, y)
    return replace(group, css="inset", attributes=(("data-letter", d.letter),))


def window(layout: Layout, d: Detail, faded: bool) -> tuple[Item, ...]:
    """The enlarged part of the vehicle that an inset shows, in its dashed frame."""
    x, y, w, h = d.window
    (x1, y1), (x2, y2) = d.view.back((x, y)), d.view.back((x + w, y + h))
    area = Area(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1))
    return (Group(draw_part(layout, area, d.view, faded), clip=d.window), Rect(*d.window, _FRAME, radius=0.8))


def _words(vehicle: Vehicle, arrangement: Arrangement) -> Iterator[Item]:
    """Front, Nearside and Offside at the edges of the plan's box, level with the body's middle."""
    x, y, w, h = arrangement.box
    frame, layout = arrangement.frame, vehicle.layout
    flat = frame.orientation == "landscape"
    mid_x, mid_y = frame.at(layout.length / 2, layout.width / 2)
    near_low = (vehicle.nearside == "left") == flat
    low, high = ("Nearside", "Offside") if near_low else ("Offside", "Nearside")
    drop = cap_height_mm(WORD_PT)
    if flat:
        yield Text(mid_x, y + drop + 0.4, high, WORD_PT, "bold", INK, "middle")
        yield Text(mid_x, y + h - 0.8, low, WORD_PT, "bold", INK, "middle")
        yield Text(x + drop + 0.4, mid_y, "Front", WORD_PT, "bold", INK, "middle", turn_deg=-90)
    else:
        yield Text(x + drop + 0.4, mid_y, high, WORD_PT, "bold", INK, "middle", turn_deg=-90)
        yield Text(x + w - 0.8, mid_y, low, WORD_PT, "bold", INK, "middle", turn_deg=-90)
        yield Text(mid_x, y + drop + 0.4, "Front", WORD_PT, "bold", INK, "middle")
