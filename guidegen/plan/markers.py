"""Markers, badges and leaders: the callouts as drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator

from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Circle, Group, Item, Line, Point, Rect, Style, Text
from guidegen.drawing.shapes import marker as marker_shape
from guidegen.plan.callouts import Callout
from guidegen.trade.records import Kind, System, Trade
from guidegen.vehicle.model import ServicePoint

INK = "#1a1a1a"
GHOST = "#b9b9b9"
LEADER_MM = 0.2  # ISO 128-2: thin continuous line
_EDGE_MM = 0.2
_LIGHT = 0.3  # luminance of what stands out 3:1 on white, WCAG 2.1 success criterion 1.4.11
NUMBER_PT = 8.5
BADGE_MM = 5.2  # high
MARK_RADIUS_MM = 0.82  # of a disc as heavy as the mark


def colour_of(point: ServicePoint, trade: Trade) -> str:
    """The colour of a point: its kind's own, else its system's."""
    kind: Kind = trade.kinds[point.kind]
    return kind.colour or trade.systems[point.system].colour


def system_mark(
    system: System, colour: str, x: float, y: float, radius_mm: float = MARK_RADIUS_MM, *, css: str = ""
) -> Item:
    """The system's shape as a small mark; outlined where the system is.

    A colour too light for white paper gets an edge: ISO 3864-1 sets yellow against black.
    """
    if system.outlined:
        return marker_shape(
            system.shape, x, y, radius_mm * 0.92, Style(fill=WHITE, stroke=colour, width_mm=0.3), css
        )
    if _is_light(colour):
        style = Style(fill=colour, stroke=INK, width_mm=_EDGE_MM)
        return marker_shape(system.shape, x, y, radius_mm - _EDGE_MM / 2, style, css)
    return marker_shape(system.shape, x, y, radius_mm, Style(fill=colour), css)


def _is_light(colour: str) -> bool:
    """Whether a colour, #rrggbb, is too light to stand out on white."""
    red, green, blue = (math.pow(byte / 255, 2.2) for byte in bytes.fromhex(colour[1:]))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue > _LIGHT


def callout(
    point: ServicePoint,
    trade: Trade,
    place: Point,
    placed: Callout,
    halo_mm: float,
    *,
    inset: bool = False,
    text: str | None = None,
) -> Group:
    """One callout after the contract of the plan's SVG: leader, marker and badge in a group.

    text: what stands in the badge; the number when None.
    """
    colour = colour_of(point, trade)
    items = (
        *_leader(placed),
        Circle(*place, halo_mm, Style(fill=WHITE), css="marker"),
        system_mark(trade.systems[point.system], colour, *place),
        *badge(placed, colour, str(point.number) if text is None else text),
    )
    attributes = [
        ("data-number", str(point.number)),
        ("data-point", point.id),
        ("data-system", point.system),
    ]
    if inset:
        attributes.append(("data-inset", "true"))
    return Group(
        items, css="callout", attributes=tuple(attributes), title=f"{point.number} {point.name}".strip()
    )


def ghost(point: ServicePoint, place: Point) -> Circle:
    """The faint dot of a point that is not asked for on this sheet."""
    return Circle(*place, 0.5, Style(fill=GHOST))


def _leader(placed: Callout) -> Iterator[Line]:
    if placed.leader:
        yield Line(placed.leader, Style(stroke=INK, width_mm=LEADER_MM), css="leader")


def badge(placed: Callout, colour: str, text: str) -> Iterator[Item]:
    """A badge: dark figures on white, edged in the system's colour."""
    edge = Style(fill=WHITE, stroke=colour, width_mm=0.45)
    if placed.width_mm == placed.height_mm:
        yield Circle(placed.x, placed.y, placed.width_mm / 2, edge, css="badge")
    else:
        x, y = placed.x - placed.width_mm / 2, placed.y - placed.height_mm / 2
        yield Rect(x, y, placed.width_mm, placed.height_mm, edge, radius=0.8, css="badge")
    if text:
        size = NUMBER_PT if len(text) < 3 or placed.width_mm != placed.height_mm else 7.2
        size *= max(1.0, placed.height_mm / BADGE_MM)
        baseline = placed.y + cap_height_mm(size) / 2
        yield Text(placed.x, baseline, text, size, "bold", INK, "middle")
