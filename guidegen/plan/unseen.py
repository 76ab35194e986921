"""What the cut does not meet: wheels under the floor and openings of the roof, dashed."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.drawing.primitives import Item, Rect, Style
from guidegen.plan.frame import Frame
from guidegen.plan.pens import DASH_MM, DETAIL_MM, EDGE_MM, FINE_DASH_MM, Pens
from guidegen.vehicle.layout import Area, Layout, Wheel


def draw_unseen(layout: Layout, frame: Frame, pens: Pens) -> Iterator[Item]:
    tyre = Style(stroke=pens.edge, width_mm=EDGE_MM, dash_mm=DASH_MM)
    for wheel in layout.wheels:
        yield Rect(*frame.box(tyre_area(wheel)), tyre, frame.length(70))
    opening_style = Style(stroke=pens.edge, width_mm=DETAIL_MM, dash_mm=FINE_DASH_MM)
    for opening in layout.roof:
        yield Rect(*frame.box(opening.area), opening_style, frame.length(45))


def tyre_area(wheel: Wheel) -> Area:
    return Area(wheel.x - wheel.diameter / 2, wheel.y - wheel.width / 2, wheel.diameter, wheel.width)
