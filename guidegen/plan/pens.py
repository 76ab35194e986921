"""Pens and tints of the plan: line widths of ISO 128-2, greys that let callouts stand out."""

from __future__ import annotations

from msgspec import Struct

from guidegen.drawing.primitives import Colour, Style

# Line widths in mm, from the ISO 128-2 series 0,13 0,18 0,25 0,35 0,5 0,7.
OUTLINE_MM, PARTITION_MM, LEAF_MM, EDGE_MM, DETAIL_MM, HATCH_MM = 0.7, 0.5, 0.35, 0.25, 0.18, 0.13
# Dash and gap in mm of the dashed narrow line (ISO 128-2 type 02, shortened for small drawings).
DASH_MM = (1.5, 0.9)
FINE_DASH_MM = (0.9, 0.7)


class Pens(Struct, frozen=True):
    """One set of inks for a whole drawing."""

    ink: Colour  # the body's outline
    wall: Colour  # walls cut through
    edge: Colour  # furniture
    detail: Colour  # what stands on furniture
    hatch: Colour
    soft: Colour  # furniture's tint, 4 to 8 % grey
    cushion: Colour  # one step lighter: upholstery, tables, bedding
    glass: Colour
    floor: Colour = "#ffffff"

    def line(self, colour: Colour, width_mm: float, dash_mm: tuple[float, ...] = ()) -> Style:
        return Style(stroke=colour, width_mm=width_mm, dash_mm=dash_mm)

    def shape(self, fill: Colour, colour: Colour, width_mm: float) -> Style:
        return Style(fill=fill, stroke=colour, width_mm=width_mm)


PLAIN = Pens(
    ink="#1c1c1c",
    wall="#c4c4c4",
    edge="#767676",
    detail="#949494",
    hatch="#cdcdcd",
    soft="#ededed",
    cushion="#f6f6f6",
    glass="#e9eff2",
)
# For drawings on which one system alone is to be seen.
FADED = Pens(
    ink="#8f8f8f",
    wall="#e2e2e2",
    edge="#b4b4b4",
    detail="#c9c9c9",
    hatch="#e4e4e4",
    soft="#f6f6f6",
    cushion="#fafafa",
    glass="#f3f6f8",
)
