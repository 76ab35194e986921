"""Whether the pieces of a layout can be: inside the body, in known rooms, within their side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from guidegen.vehicle.contour import encloses, flattened
from guidegen.vehicle.layout import Area, Layout, Side
from guidegen.vehicle.layout_fields import suggestion

# Where in the layout, what is wrong, what would be right.
Complaint: TypeAlias = tuple[tuple[str, ...], str, str]

_SLACK_MM = 20.0


def complaints(layout: Layout) -> Iterator[Complaint]:
    """Everything about the layout that cannot be, in file order."""
    yield from _sizes(layout)
    yield from _rooms(layout)
    yield from _furniture(layout)
    yield from _openings(layout)
    yield from _partitions(layout)


def side_length(layout: Layout, side: Side) -> float:
    """How long one side of the body is, in mm."""
    return layout.length if side in ("nearside", "offside") else layout.width


def _sizes(layout: Layout) -> Iterator[Complaint]:
    limits = (("length", 3000, 12000), ("width", 1400, 2600), ("height", 1500, 4000), ("wall", 10, 120))
    for name, low, high in limits:
        value = getattr(layout, name)
        if not low <= value <= high:
            yield (name,), f"a {name} of {value:g} mm cannot be", f"it lies between {low} and {high} mm"
    xs, ys = [c[0] for c in layout.outline], [c[1] for c in layout.outline]
    if abs(min(xs)) > 1 or abs(max(xs) - layout.length) > 1 or abs(min(ys)) > 1:
        yield (
            ("half_outline",),
            f"the outline runs from {min(xs):g} to {max(xs):g} mm and at most to the side at {min(ys):g} mm",
            f"it must run from 0 to the length, {layout.length:g} mm, and touch 0 at the nearside",
        )
    middle = layout.width / 2
    if any(abs(c[1] - middle) > 1 for c in (layout.outline[0], layout.outline[len(layout.outline) // 2])):
        yield (
            ("half_outline",),
            "the outline does not start and end on the middle line",
            (f"give the first and the last corner y = {middle:g}"),
        )
    if not layout.rooms:
        yield ("rooms",), "a layout needs one room or more", ""


def _rooms(layout: Layout) -> Iterator[Complaint]:
    for room in layout.rooms:
        if not _in_box(layout, room.area):
            yield ("rooms", room.id, "area"), _outside(f"the room “{room.id}”", room.area), _body(layout)
    known = tuple(room.id for room in layout.rooms)
    used = [("furniture", f.id, f.room) for f in layout.furniture]
    used += [("windows", w.id, w.room) for w in layout.windows]
    for section, id, room_id in used:
        if room_id not in known:
            yield (
                (section, id, "room"),
                f"“{id}” is in a room “{room_id}”, which there is not",
                suggestion(room_id, known),
            )


def _furniture(layout: Layout) -> Iterator[Complaint]:
    outline = flattened(layout.outline)
    for piece in layout.furniture:
        a = piece.area
        corners = (
            (x, y)
            for x in (a.x + _SLACK_MM, a.x + a.length - _SLACK_MM)
            for y in (a.y + _SLACK_MM, a.y + a.width - _SLACK_MM)
        )
        # A bed above the cab may stand out over the cab's flanks, so hidden pieces need only the box.
        inside = _in_box(layout, a) and (piece.hidden or all(encloses(outline, c) for c in corners))
        if not inside:
            yield ("furniture", piece.id, "area"), _outside(f"“{piece.id}”", a), _body(layout)
        if piece.top_mm > layout.height:
            yield (
                ("furniture", piece.id, "top_mm"),
                f"“{piece.id}” is {piece.top_mm:g} mm high, higher than the vehicle",
                "top_mm counts from the habitation floor",
            )
    for opening in layout.roof:
        if not _in_box(layout, opening.area):
            yield ("roof", opening.id, "area"), _outside(f"“{opening.id}”", opening.area), _body(layout)
    for wheel in layout.wheels:
        if not (0 <= wheel.x <= layout.length and 0 <= wheel.y <= layout.width):
            yield ("wheels", wheel.id), f"the wheel “{wheel.id}” is outside the body", _body(layout)


def _openings(layout: Layout) -> Iterator[Complaint]:
    pieces = [("doors", d.id, d.side, d.start, d.width) for d in layout.doors]
    pieces += [("windows", w.id, w.side, w.start, w.width) for w in layout.windows]
    pieces += [("hatches", h.id, h.side, h.start, h.width) for h in layout.hatches]
    for section, id, side, start, width in pieces:
        length = side_length(layout, side)
        if width > length:
            yield (
                (section, id, "width"),
                f"“{id}” is {width:g} mm wide, wider than its side ({side}, {length:g} mm)",
                "give its width in mm",
            )
        elif start < 0 or start + width > length:
            yield (
                (section, id, "start"),
                f"“{id}” runs from {start:g} to {start + width:g} mm, past the end of its side",
                f"the {side} is {length:g} mm long",
            )
    for door in layout.doors:
        ends = ("front", "rear") if door.side in ("nearside", "offside") else ("nearside", "offside")
        if door.hinge not in ends:
            yield (
                ("doors", door.id, "hinge"),
                f"a door in the {door.side} cannot have its hinge at the {door.hinge}",
                f"use {ends[0]} or {ends[1]}",
            )
    heights = [("windows", w.id, w.sill_mm, w.top_mm) for w in layout.windows]
    heights += [("hatches", h.id, h.bottom_mm, h.top_mm) for h in layout.hatches]
    for section, id, low, high in heights:
        if not low < high <= layout.height:
            yield (
                (section, id, "top_mm"),
                f"“{id}” reaches from {low:g} to {high:g} mm above ground",
                f"its top lies above its foot and under the roof, {layout.height:g} mm",
            )


def _partitions(layout: Layout) -> Iterator[Complaint]:
    for wall in layout.partitions:
        (x1, y1), (x2, y2) = wall.start, wall.end
        long = max(abs(x2 - x1), abs(y2 - y1))
        if not all(_in_box(layout, Area(x, y, 1, 1)) for x, y in (wall.start, wall.end)):
            yield ("partitions", wall.id), f"the partition “{wall.id}” leaves the body", _body(layout)
        elif wall.opening and sum(wall.opening) > long + 1:
            yield (
                ("partitions", wall.id, "opening"),
                f"the opening of “{wall.id}” is longer than the partition ({long:g} mm)",
                "give [distance from its start, width]",
            )


def _in_box(layout: Layout, area: Area) -> bool:
    return (
        area.x >= -_SLACK_MM
        and area.y >= -_SLACK_MM
        and area.x + area.length <= layout.length + _SLACK_MM
        and area.y + area.width <= layout.width + _SLACK_MM
    )


def _outside(what: str, area: Area) -> str:
    return (
        f"{what} stands outside the body: it runs from x {area.x:g} to {area.x + area.length:g} "
        f"and y {area.y:g} to {area.y + area.width:g} mm"
    )


def _body(layout: Layout) -> str:
    return f"the body is {layout.length:g} mm long and {layout.width:g} mm wide"
