"""Rows of the training sheets: a number with an empty line for its name, and rows measured once."""

from __future__ import annotations

from functools import cached_property

from guidegen.documents.parts import BADGE_MM, INK, badge, badge_width_mm
from guidegen.documents.writing import write_line
from guidegen.drawing.primitives import Colour, Item
from guidegen.paper.blocks import Block

BLANK_ROW_MM = 7.4


class BlankKeyRow(Block, frozen=True, kw_only=True):
    """Badge and a line to write on."""

    number: int
    colour: Colour = INK
    pitch_mm: float = BLANK_ROW_MM  # from line to line
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return self.pitch_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        width = badge_width_mm(self.number)
        start = max(width, BADGE_MM) + 2.0
        foot = y + self.pitch_mm - 0.7
        sign = badge(self.number, x + width / 2, foot - BADGE_MM / 2, self.colour)
        return (*sign, write_line(x + start, foot, width_mm - start))

    @property
    def name(self) -> str:
        return f"line {self.number}"


class MeasuredRow(Block, frozen=True, kw_only=True, dict=True):
    """A row that remembers its height for each width: balancing columns asks for it many times."""

    block: Block
    keep_together: bool = True

    @cached_property
    def _heights(self) -> dict[float, float]:
        return {}

    def height_mm(self, width_mm: float) -> float:
        if width_mm not in self._heights:
            self._heights[width_mm] = self.block.height_mm(width_mm)
        return self._heights[width_mm]

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self.block.draw(x, y, width_mm)

    @property
    def name(self) -> str:
        return self.block.name
