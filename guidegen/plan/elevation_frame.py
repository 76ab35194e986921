"""Where the millimetres of a side or an end of the vehicle come to stand on the sheet."""

from __future__ import annotations

from typing import TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.plan.frame import Hand
from guidegen.vehicle.layout import Layout, Side

Box: TypeAlias = tuple[float, float, float, float]  # x, y of the top left corner, width, height


class ElevationFrame(Struct, frozen=True):
    """Maps a side's own mm to the sheet: along runs from the front, or from the nearside on front and rear.

    x is the sheet's left end of the body, y the ground line; seen as a person standing there sees it.
    """

    scale: float
    x: float
    y: float
    span_mm: float  # length or width of the body
    side: Side
    nearside: Hand = "left"

    @property
    def mirrored(self) -> bool:
        """Whether `along` runs from right to left on the sheet."""
        starts_left = self.side in ("nearside", "rear")
        return starts_left is (self.nearside == "right")

    def at(self, along: float, z: float) -> Point:
        across = self.span_mm - along if self.mirrored else along
        return (self.x + across * self.scale, self.y - z * self.scale)

    def under(self, at: Point) -> tuple[float, float]:
        """Along and z of a place on the sheet."""
        across = (at[0] - self.x) / self.scale
        return (self.span_mm - across if self.mirrored else across, (self.y - at[1]) / self.scale)

    def length(self, mm: float) -> float:
        return mm * self.scale

    def box(self, start: float, bottom: float, width: float, height: float) -> Box:
        """The box on the sheet."""
        (x1, y1), (x2, y2) = self.at(start, bottom), self.at(start + width, bottom + height)
        return (min(x1, x2), y2, abs(x2 - x1), y1 - y2)


def fit_elevation(
    layout: Layout, side: Side, box: tuple[float, float, float, float], nearside: Hand, largest_scale: float
) -> ElevationFrame:
    """The largest elevation that fits in a box (x, y, width, height), in its middle, on its lower edge."""
    x, y, width, height = box
    lengthwise = side in ("nearside", "offside")
    span = layout.length if lengthwise else layout.width
    extra = layout.drawbar if lengthwise else 0.0
    scale = min(largest_scale, width / (span + extra), height / layout.height)
    frame = ElevationFrame(scale, x, y + height, span, side, nearside)
    left = x + (width - (span + extra) * scale) / 2
    return ElevationFrame(
        scale, left if frame.mirrored else left + extra * scale, y + height, span, side, nearside
    )
