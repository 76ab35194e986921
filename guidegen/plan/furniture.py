"""Furniture in plan: each piece drawn by its kind, in its place."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.drawing.primitives import Item
from guidegen.plan.frame import Frame
from guidegen.plan.pens import FADED, PLAIN, Pens
from guidegen.plan.pieces import PIECES, hob, steering_wheel
from guidegen.plan.strokes import drawn, place_in, size_of
from guidegen.plan.unseen import draw_unseen
from guidegen.vehicle.layout import Area, Furniture, Layout, Side

_OPPOSITE: dict[Side, Side] = {
    "front": "rear",
    "rear": "front",
    "nearside": "offside",
    "offside": "nearside",
}
_BEDS = ("bed", "bunk", "over-cab-bed", "drop-down-bed")


def draw_furniture(layout: Layout, frame: Frame, faded: bool = False) -> tuple[Item, ...]:
    """All furniture in file order; then, dashed, what the cut does not meet: high and low furniture,
    wheels and roof openings.
    """
    pens = FADED if faded else PLAIN
    standing = [p for p in layout.furniture if not p.hidden]
    hidden = [p for p in layout.furniture if p.hidden]
    pieces = (item for piece in (*standing, *hidden) for item in _piece(layout, piece, frame, pens))
    return (*pieces, *draw_unseen(layout, frame, pens))


def drawn_facing(piece: Furniture) -> Side:
    """Which way the drawing of a piece looks: a bed's from its head, any other's towards a person."""
    if piece.kind in _BEDS and piece.head is not None:
        return _OPPOSITE[piece.head]
    return piece.facing


def _piece(layout: Layout, piece: Furniture, frame: Frame, pens: Pens) -> Iterator[Item]:
    facing = drawn_facing(piece)
    size = size_of(piece.area, facing)
    marks = hob(*size, piece.rings, piece.flame) if piece.kind == "hob" else PIECES[piece.kind](*size)
    yield from drawn(marks, place_in(piece.area, facing, frame), frame.scale, pens, hidden=piece.hidden)
    if piece.kind == "dashboard":
        yield from _steering(layout, piece, frame, pens)


def _steering(layout: Layout, dashboard: Furniture, frame: Frame, pens: Pens) -> Iterator[Item]:
    """The steering wheel, before the cab seat that is furthest to the offside."""
    seats = [p for p in layout.furniture if p.kind == "cab-seat"]
    if seats:
        driver = max(seats, key=lambda p: p.area.y)
        origin = Area(dashboard.area.x + dashboard.area.length + 40, driver.area.centre[1], 1, 1)
        yield from drawn(
            steering_wheel(190), place_in(origin, "rear", frame), frame.scale, pens, hidden=False
        )
