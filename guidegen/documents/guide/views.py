"""The vehicle from outside: sides, ends, roof and under the floor, with the outside points where they are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, product

from guidegen.documents.guide.pages import Chapter, Kit, enlarged, flowed, label_block, title_block
from guidegen.documents.guide.rows import badge_link, place_of
from guidegen.documents.parts import BADGE_MM, badge_width_mm, badges
from guidegen.drawing.primitives import Circle, Item, Line, Link, Point, Rect, Style, moved
from guidegen.paper.blocks import Block, Drawing, Paragraph, Spacer
from guidegen.paper.containers import Cell, KeepTogether, Row
from guidegen.paper.text import Span
from guidegen.plan.body import body_polygon
from guidegen.plan.callouts import Badge, Box, Callout, CannotPlace, Placement, Polygon, Site, Task, place
from guidegen.plan.elevation import ElevationFrame, draw_elevation, fit_elevation
from guidegen.plan.frame import fit_frame
from guidegen.plan.markers import INK, LEADER_MM, colour_of, system_mark
from guidegen.plan.spreading import clusters, nudge
from guidegen.plan.views import draw_chassis, draw_roof
from guidegen.vehicle.layout import Side
from guidegen.vehicle.model import ServicePoint

_RING_MM = 12.0
_SCALE, _END_SCALE = 1 / 50, 1 / 60
_NEAR_MM = (2.6, 3.6, 5.0, 8.0)  # markers nearer than this share one leader
_MARKER_MM = 1.1
_ROOF_KINDS = ("roof-light", "heater-flue-roof", "solar-panel")
_BETWEEN_MM = 0.6
_ON_A_LINE = 4
_RINGS_MM = (24.0, 36.0)  # room about the body for badges above and below it
_LONG: tuple[tuple[Side, str], ...] = (("nearside", "Nearside"), ("offside", "Offside"))
_ENDS: tuple[tuple[Side, str], ...] = (("front", "Front"), ("rear", "Rear"))


def views_chapter(kit: Kit) -> Chapter | None:
    """The views that have points to show; None when there are none."""
    blocks = [view for view in (*_sides(kit), *_from_above(kit)) if view]
    if not blocks:
        return None
    head = (
        title_block(kit, "outside", "Seen from outside"),
        Paragraph(
            text="Everything is to scale, as you see it when you stand there.",
            style=kit.look.body,
        ),
    )
    return Chapter("outside", "Seen from outside", tuple(flowed(kit, (*head, *blocks))))


def _sides(kit: Kit) -> Iterator[Block]:
    """The long sides one below the other, the ends side by side."""
    for side, title in _LONG:
        if points := _on(kit, side):
            yield _elevation(kit, side, title, points, kit.look.width)
    ends = [(side, title, points) for side, title in _ENDS if (points := _on(kit, side))]
    if not ends:
        return
    width = (kit.look.width - kit.look.gutter) / 2
    cells = [Cell(_elevation(kit, side, title, points, width)) for side, title, points in ends]
    if len(cells) == 1:
        cells.append(Cell(Spacer(height=0.0)))
    yield Row(cells=tuple(cells), gap=kit.look.gutter, space_before_mm=4.0, space_after_mm=3.0)


def _on(kit: Kit, side: Side) -> list[ServicePoint]:
    return [p for p in kit.context.vehicle.points if p.where == side]


def _elevation(kit: Kit, side: Side, title: str, points: Sequence[ServicePoint], width_mm: float) -> Block:
    vehicle, layout = kit.context.vehicle, kit.context.vehicle.layout
    lengthwise = side in ("nearside", "offside")
    width = width_mm / kit.look.drawing_scale
    box = (_RING_MM, _RING_MM, width - 2 * _RING_MM, layout.height * _SCALE)
    frame = fit_elevation(layout, side, box, vehicle.nearside, _SCALE if lengthwise else _END_SCALE)
    at = {p.id: frame.at(p.x if lengthwise else p.y, max(60.0, p.z)) for p in points}
    return _view(
        kit, title, points, draw_elevation(layout, side, frame), at, _silhouette(frame, layout.height), box
    )


def _silhouette(frame: ElevationFrame, height: float) -> Polygon:
    """The box of the body from the ground up."""
    (x1, y1), (x2, y2) = frame.at(0.0, 0.0), frame.at(frame.span_mm, height)
    return ((x1, y1), (x2, y1), (x2, y2), (x1, y2))


def _from_above(kit: Kit) -> Iterator[Block]:
    vehicle, layout = kit.context.vehicle, kit.context.vehicle.layout
    draw: Callable[..., tuple[Item, ...]]
    for title, draw, points in (
        (
            "The roof, from above",
            draw_roof,
            [p for p in vehicle.points if p.where == "roof" or p.kind in _ROOF_KINDS],
        ),
        ("Under the floor, seen from above", draw_chassis, [p for p in vehicle.points if p.where == "under"]),
    ):
        if not points:
            continue
        scale = kit.look.drawing_scale
        width = kit.look.width / scale
        box = (_RING_MM, _RING_MM, width - 2 * _RING_MM, (layout.width + 660.0) * _SCALE)
        frame = fit_frame(layout, box, "landscape", vehicle.nearside, _SCALE)
        at = {p.id: frame.at(p.x, p.y) for p in points}
        yield _view(kit, title, points, draw(layout, frame), at, body_polygon(layout, frame), box)


def _view(
    kit: Kit,
    title: str,
    points: Sequence[ServicePoint],
    drawn: Sequence[Item],
    at: dict[str, Point],
    body: Polygon,
    box: Box,
) -> Block:
    """Title, drawing with callouts, and the names of its numbers in one paragraph."""
    by_id = {p.id: p for p in points}
    at = nudge(at)
    groups, placement = _placement(at, by_id, body, box)
    items = [*drawn]
    for placed in placement.callouts:
        members = sorted((by_id[k] for k in groups[placed.key]), key=lambda p: p.number)
        if placed.leader:
            items.append(Line(placed.leader, Style(stroke=INK, width_mm=LEADER_MM)))
        for point in members:
            items.append(Circle(*at[point.id], _MARKER_MM, Style(fill="#ffffff")))
            mark = system_mark(
                kit.context.trade.systems[point.system], colour_of(point, kit.context.trade), *at[point.id]
            )
            items.append(mark)
        items += _badges(kit, members, placed.x, placed.y)
    scale = kit.look.drawing_scale
    top = (
        min([body[i][1] for i in range(len(body))] + [c.y - c.height_mm / 2 for c in placement.callouts])
        - 1.0
    )
    foot = (
        max([body[i][1] for i in range(len(body))] + [c.y + c.height_mm / 2 for c in placement.callouts])
        + 1.0
    )
    drawing = Drawing(
        items=(enlarged(kit, items, 0.0, -top * scale),),
        width=(box[2] + 2 * _RING_MM) * scale - 1e-6,
        height=(foot - top) * scale,
        title=title,
    )
    return KeepTogether(
        blocks=(label_block(kit, title), drawing, _names(kit, points)),
        space_before_mm=6.0,
        space_after_mm=4.0,
    )


def _groups(at: dict[str, Point], near_mm: float) -> dict[str, tuple[str, ...]]:
    """Points that would lie on one another, by a key of their own; the others alone."""
    crowds = clusters(at, near_mm)
    crowded = {k for crowd in crowds for k in crowd}
    groups = {f"crowd:{crowd[0]}": tuple(crowd) for crowd in crowds}
    groups |= {k: (k,) for k in at if k not in crowded}
    return groups


def _placement(
    at: dict[str, Point], by_id: dict[str, ServicePoint], body: Polygon, box: Box
) -> tuple[dict[str, tuple[str, ...]], Placement]:
    """The groups and where their badges stand; more points share a leader where there is no other way."""
    last: CannotPlace | None = None
    for near, ring in product(_NEAR_MM, _RINGS_MM):
        groups = _groups(at, near)
        sites = []
        for key, members in sorted(groups.items()):
            x = sum(at[k][0] for k in members) / len(members)
            y = sum(at[k][1] for k in members) / len(members)
            width, height = _size([by_id[k] for k in members])
            sites.append(Site(key, x, y, _MARKER_MM, Badge(width, height, len(members) == 1)))
        room = (0.0, box[1] - ring, box[2] + 2 * _RING_MM, box[3] + 2 * ring)
        try:
            placement = place(Task(tuple(sites), (body,), room, offset_mm=3.0))
        except CannotPlace as error:
            last = error
            continue
        if not any(_overlap(a, b) for a, b in combinations(placement.callouts, 2)):
            return groups, placement
        last = CannotPlace("Badges overlap.", 0.0)
    assert last is not None
    raise last


def _overlap(one: Callout, other: Callout) -> bool:
    apart_x = abs(one.x - other.x) - (one.width_mm + other.width_mm) / 2
    apart_y = abs(one.y - other.y) - (one.height_mm + other.height_mm) / 2
    return max(apart_x, apart_y) < _BETWEEN_MM / 2


def _lines(points: Sequence[ServicePoint]) -> list[Sequence[ServicePoint]]:
    """The badges of one callout, a few on a line."""
    return [points[n : n + _ON_A_LINE] for n in range(0, len(points), _ON_A_LINE)]


def _line_width(points: Sequence[ServicePoint]) -> float:
    return sum(badge_width_mm(p.number) + _BETWEEN_MM for p in points) - _BETWEEN_MM


def _size(points: Sequence[ServicePoint]) -> tuple[float, float]:
    lines = _lines(points)
    return max(_line_width(line) for line in lines), len(lines) * (BADGE_MM + _BETWEEN_MM) - _BETWEEN_MM


def _badges(kit: Kit, points: Sequence[ServicePoint], x: float, y: float) -> Iterator[Item]:
    """The badges of one callout about x, y, each in its own colour and with its link."""
    top = y - _size(points)[1] / 2
    for line in _lines(points):
        left = x - _line_width(line) / 2
        for point in line:
            drawn = badges((point.number,), 1, colour=colour_of(point, kit.context.trade))
            shape = drawn.items[0]
            link: tuple[Link, ...] = (badge_link(shape, point),) if isinstance(shape, Circle | Rect) else ()
            yield moved((*drawn.items, *link), left, top)
            left += badge_width_mm(point.number) + _BETWEEN_MM
        top += BADGE_MM + _BETWEEN_MM


def _names(kit: Kit, points: Sequence[ServicePoint]) -> Paragraph:
    spans: list[Span] = []
    for point in sorted(points, key=lambda p: p.number):
        spans.append(Span(f"{point.number}\N{NO-BREAK SPACE}", "bold", target=f"#{place_of(point.id)}"))
        spans.append(Span(f"{point.name}.  "))
    spans[-1] = Span(spans[-1].text.rstrip())
    return Paragraph(text=tuple(spans), style=kit.look.small, space_before_mm=1.0)
