"""Panels of numbers, side by side where there is room for it."""

from __future__ import annotations

from functools import cached_property
from typing import Self

from msgspec.structs import replace

from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block
from guidegen.paper.containers import Columns, closer

WIDE_MM = 150.0
_GAP_MM = 8.0


class Panels(Block, frozen=True, kw_only=True, dict=True):
    """Panels in two columns where the frame is wide enough, else in one."""

    panels: tuple[Block, ...]
    wide_mm: float = WIDE_MM
    space_before_mm: float = 4.0
    space_after_mm: float = 4.0

    @cached_property
    def _set(self) -> dict[int, Columns]:
        """By the number of columns: they balance themselves once."""
        return {}

    def _columns(self, width_mm: float) -> Columns:
        count = 2 if width_mm >= self.wide_mm else 1
        if count not in self._set:
            space = self.space_after_mm
            self._set[count] = Columns(blocks=self.panels, count=count, gap=_GAP_MM, space_after_mm=space)
        return self._set[count]

    def height_mm(self, width_mm: float) -> float:
        return self._columns(width_mm).height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self._columns(width_mm).draw(x, y, width_mm)

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        return self._columns(width_mm).split(width_mm, height_mm)

    def closer(self, share: float) -> Self:
        return replace(super().closer(share), panels=closer(self.panels, share))

    @property
    def name(self) -> str:
        return self.panels[0].name if self.panels else "panels"
