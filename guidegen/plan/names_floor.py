"""A plan with names at the ends of its leaders, as drawn; or with numbers and lines to write the names on."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Circle, Group, Item, Line, Point, Rect, Style, Text, moved
from guidegen.paper.text import TextStyle
from guidegen.plan.body import draw_vehicle
from guidegen.plan.floor import WORD_PT, from_edge, source, window
from guidegen.plan.labels import Label
from guidegen.plan.markers import INK, LEADER_MM, colour_of, ghost, system_mark
from guidegen.plan.named_crowds import NAME, PAD_MM
from guidegen.plan.names import LABEL, MARK_MM, Crowd, NamesPlan
from guidegen.trade.records import Trade
from guidegen.vehicle.model import ServicePoint, Vehicle

_LEADER = Style(stroke=INK, width_mm=LEADER_MM)
_WRITE = Style(stroke="#595959", width_mm=0.25, round_ends=False)
_FRAME = Style(fill=WHITE, stroke=INK, width_mm=0.35)
_NUMBER_MM = 8.5  # for a number before its line


def draw_names(
    vehicle: Vehicle,
    trade: Trade,
    plan: NamesPlan,
    ghosts: Collection[ServicePoint] = (),
    task: str = "",
) -> tuple[Item, ...]:
    """The vehicle between its columns of labels.

    task: "Exercise", numbers and lines instead of the names; "Answers", labels that begin with the numbers.
    """
    points = {p.id: p for p in vehicle.points}
    items: list[Item] = [*draw_vehicle(vehicle.layout, plan.frame, faded=bool(ghosts))]
    items += [ghost(p, plan.frame.at(p.x, p.y)) for p in ghosts]
    items += _words(vehicle, plan)
    for crowd in plan.crowds:
        members = [points[label.key] for label in crowd.named.labels]
        items += source(crowd.source, members, trade, plan.frame)
        items.append(Line(from_edge(crowd.label.leader, crowd.source), _LEADER, css="inset-leader"))
    middle = plan.frame.at(0.0, vehicle.layout.width / 2)[0]
    for label in plan.labels:
        drawn = _label(label, points[label.key], trade, LABEL, label.box[0] < middle, task)
        items.append(_callout(points[label.key], drawn, task))
    for crowd in plan.crowds:
        items.append(_crowd(crowd, vehicle, trade, points, crowd.label.box[0] < middle, bool(ghosts), task))
    return tuple(items)


def _callout(point: ServicePoint, items: tuple[Item, ...], task: str, inset: bool = False) -> Group:
    attributes = [("data-number", str(point.number)), ("data-point", point.id), ("data-system", point.system)]
    if inset:
        attributes.append(("data-inset", "true"))
    title = str(point.number) if task == "Exercise" else f"{point.number} {point.name}"
    return Group(items, css="callout", attributes=tuple(attributes), title=title)


def _label(
    label: Label, point: ServicePoint, trade: Trade, style: TextStyle, left: bool, task: str
) -> tuple[Item, ...]:
    """Leader, marker and box; in the box mark and name, both next to the leader's end."""
    x, y, w, h = label.box
    colour, system = colour_of(point, trade), trade.systems[point.system]
    items: list[Item] = [Line(label.leader, _LEADER, css="leader")] if label.leader else []
    items += [
        Circle(*label.place, label.radius_mm, Style(fill=WHITE), css="marker"),
        system_mark(system, colour, *label.place),
        Rect(x, y, w, h, Style(fill=WHITE, stroke=colour, width_mm=0.35), radius=0.8, css="badge"),
    ]
    if task == "Exercise":
        return (*items, *_to_fill_in(label, point, style))
    mark = MARK_MM if style.size_pt > NAME.size_pt else 0.0
    if mark:
        at = x + w - PAD_MM - 0.9 if left else x + PAD_MM + 0.9
        items.append(system_mark(system, colour, at, y + h / 2, 1.0))
    edge = x + w - PAD_MM - mark * 0.75 if left else x + PAD_MM + mark * 0.75
    top = y + (h - len(label.lines) * style.line_mm) / 2
    for n, line in enumerate(label.lines):
        baseline = top + n * style.line_mm + style.baseline_mm
        number = str(point.number) if task and n == 0 else ""
        items += _line(number, line.removeprefix(number).lstrip(), (edge, baseline), style, left)
    return tuple(items)


def _line(number: str, words: str, at: Point, style: TextStyle, left: bool) -> Iterator[Item]:
    """A line of a label, its number in bold before it; at: its end in a left column, else its start."""
    x, y = at
    wide = style.bold.width_mm(f"{number} ") if number else 0.0
    if number:
        start = x - style.width_mm(words) - wide if left else x
        yield Text(start, y, number, style.size_pt, "bold", INK)
    if words:
        yield Text(
            x if left else x + wide, y, words, style.size_pt, "regular", INK, "end" if left else "start"
        )


def _to_fill_in(label: Label, point: ServicePoint, style: TextStyle) -> Iterator[Item]:
    x, y, w, h = label.box
    base = y + h / 2 + cap_height_mm(style.size_pt) / 2
    yield Text(x + PAD_MM, base, str(point.number), style.size_pt, "bold", INK)
    yield Line(((x + _NUMBER_MM, base + 0.7), (x + w - PAD_MM, base + 0.7)), _WRITE)


def _crowd(
    crowd: Crowd,
    vehicle: Vehicle,
    trade: Trade,
    points: Mapping[str, ServicePoint],
    left: bool,
    faded: bool,
    task: str,
) -> Group:
    x, y, w, h = crowd.label.box
    detail = crowd.named.detail
    items: list[Item] = [Rect(0, 0, w, h, _FRAME, radius=1.2), *window(vehicle.layout, detail, faded)]
    named = {label.key for label in crowd.named.labels}
    items += [ghost(points[k], place) for k, place in detail.places if k not in named]
    for label in crowd.named.labels:
        drawn = _label(label, points[label.key], trade, NAME, left, task)
        items.append(_callout(points[label.key], drawn, task, inset=True))
    return Group((moved(items, x, y),), css="inset", attributes=(("data-letter", detail.letter),))


def _words(vehicle: Vehicle, plan: NamesPlan) -> Iterator[Item]:
    """Front over the nose, and the sides at the heads of the columns."""
    x, y, w, _ = plan.columns[0]
    right_x, _, right_w, _ = plan.columns[1]
    left, right = ("Nearside", "Offside") if vehicle.nearside == "left" else ("Offside", "Nearside")
    middle: Point = plan.frame.at(0.0, vehicle.layout.width / 2)
    yield Text(x + w, y - 2.5, left, WORD_PT, "bold", INK, "end")
    yield Text(right_x, y - 2.5, right, WORD_PT, "bold", INK)
    yield Text(middle[0], y - 2.5, "Front", WORD_PT, "bold", INK, "middle")
