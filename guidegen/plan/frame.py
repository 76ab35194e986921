"""From the vehicle's millimetres to the sheet's: scale, place, turn and mirror."""

from __future__ import annotations

from typing import Literal, TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.vehicle.layout import XY, Area, Layout

Orientation: TypeAlias = Literal["landscape", "portrait"]
Hand: TypeAlias = Literal["left", "right"]

# What stands out beyond the body's sides and is drawn with it: door mirrors and doors ajar.
OVERHANG_MM = 330.0


class Frame(Struct, frozen=True):
    """Where a plan stands on its sheet.

    Landscape: front at the left of the sheet. Portrait: front up. In both, the vehicle is seen from
    above, so that a left nearside is at the bottom of a landscape sheet and at the left of a portrait one.
    x and y are the sheet's mm of the top left corner of the body's box (length × width, no drawbar).
    """

    scale: float  # sheet mm in a vehicle mm, such as 1 / 33
    x: float
    y: float
    width_mm: float  # of the vehicle
    orientation: Orientation = "landscape"
    nearside: Hand = "left"

    def at(self, x: float, y: float) -> Point:
        """The sheet's point for a point of the vehicle."""
        if self.orientation == "landscape":
            across = self.width_mm - y if self.nearside == "left" else y
            return (self.x + x * self.scale, self.y + across * self.scale)
        across = y if self.nearside == "left" else self.width_mm - y
        return (self.x + across * self.scale, self.y + x * self.scale)

    def back(self, point: Point) -> XY:
        """The vehicle's point for a point of the sheet."""
        right, down = (point[0] - self.x) / self.scale, (point[1] - self.y) / self.scale
        if self.orientation == "landscape":
            return (right, self.width_mm - down if self.nearside == "left" else down)
        return (down, right if self.nearside == "left" else self.width_mm - right)

    def length(self, mm: float) -> float:
        """A length of the vehicle on the sheet."""
        return mm * self.scale

    def box(self, area: Area) -> tuple[float, float, float, float]:
        """The area's box on the sheet: x, y of its top left corner, width, height."""
        (x1, y1), (x2, y2) = self.at(area.x, area.y), self.at(area.x + area.length, area.y + area.width)
        return (min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1))


def fit_frame(
    layout: Layout,
    box: tuple[float, float, float, float],
    orientation: Orientation = "landscape",
    nearside: Hand = "left",
    largest_scale: float = 1 / 20,
) -> Frame:
    """The largest plan that fits in a box (x, y, width, height) of the sheet, in its middle.

    Room is kept for the drawbar, mirrors and doors ajar.
    """
    x, y, width, height = box
    behind = OVERHANG_MM if any(door.side == "rear" for door in layout.doors) else 0.0
    lengthwise = layout.drawbar + layout.length + behind
    across = layout.width + 2 * OVERHANG_MM
    flat = orientation == "landscape"
    size = (lengthwise, across) if flat else (across, lengthwise)
    scale = min(largest_scale, width / size[0], height / size[1])
    left = x + (width - size[0] * scale) / 2
    top = y + (height - size[1] * scale) / 2
    offset = (layout.drawbar, OVERHANG_MM) if flat else (OVERHANG_MM, layout.drawbar)
    return Frame(
        scale, left + offset[0] * scale, top + offset[1] * scale, layout.width, orientation, nearside
    )
