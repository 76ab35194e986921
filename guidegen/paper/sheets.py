"""Paper sizes, margins and the vertical rhythm: ISO 216 trimmed sizes and the DL panel, all in mm."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

Duplex = Literal["short", "long"]

EDGE_MM = 5.0
"""Ink stays this far from every edge: few desktop printers reach nearer."""

GRID_MM = 4.0
"""Step of the vertical rhythm."""


class Paper(Struct, frozen=True):
    """A sheet of paper as it lies before the reader."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def landscape(self) -> Paper:
        """The same sheet with its long edge at the top."""
        long, short = max(self.width_mm, self.height_mm), min(self.width_mm, self.height_mm)
        return Paper(self.name, long, short)

    @property
    def portrait(self) -> Paper:
        """The same sheet with its short edge at the top."""
        long, short = max(self.width_mm, self.height_mm), min(self.width_mm, self.height_mm)
        return Paper(self.name, short, long)

    def inside(self, margins: Margins) -> tuple[float, float, float, float]:
        """The box x, y, width, height that the margins leave.

        Raises ValueError when they leave nothing.
        """
        width = self.width_mm - margins.left - margins.right
        height = self.height_mm - margins.top - margins.bottom
        if width <= 0 or height <= 0:
            raise ValueError(f"margins {margins} leave nothing of {self.name}")
        return margins.left, margins.top, width, height


class Margins(Struct, frozen=True):
    """White space along the edges, in mm."""

    top: float
    right: float
    bottom: float
    left: float

    @classmethod
    def all_round(cls, mm: float) -> Margins:
        return cls(mm, mm, mm, mm)


def iso_a(number: int) -> Paper:
    """The trimmed size A0 to A7 of ISO 216, portrait.

    A0 is 841 × 1189 mm (1 m², sides as 1 : √2); each next size halves the longer side of the one before
    and drops the fraction of a millimetre (ISO 216, clauses 3 and 4). Raises ValueError for other numbers.
    """
    if not 0 <= number <= 7:
        raise ValueError(f"A{number} is not a size this project prints on: A0 to A7")
    width, height = 841, 1189
    for _ in range(number):
        width, height = height // 2, width
    return Paper(f"A{number}", float(width), float(height))


A3, A4, A5, A6, A7 = (iso_a(n) for n in (3, 4, 5, 6, 7))
DL_PANEL = Paper("DL", 99.0, 210.0)
"""A third of landscape A4; goes into the DL envelope of ISO 269 (110 × 220 mm)."""


def paper(name: str) -> Paper:
    """The paper of that name, "A0" to "A7" or "DL"; raises ValueError for any other."""
    if name.upper() == "DL":
        return DL_PANEL
    if len(name) == 2 and name[0] in "aA" and name[1].isdigit():
        return iso_a(int(name[1]))
    raise ValueError(f"no paper is called {name!r}: A0 to A7 or DL")


def margins_for(sheet: Paper) -> Margins:
    """House margins: 12 mm on A4 and larger, 6 mm on A6 and smaller and on DL panels, 9 mm between."""
    short = min(sheet.width_mm, sheet.height_mm)
    return Margins.all_round(12.0 if short >= 210 else 9.0 if short >= 148 else 6.0)


def on_grid(length_mm: float, step_mm: float = GRID_MM) -> float:
    """The length rounded up to the vertical rhythm."""
    return math.ceil(length_mm / step_mm - 1e-6) * step_mm
