"""Groups of rows under a heading, which comes again where a column begins amid them."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block, gap_mm

FEW = 3  # rows so few stay together: one of them alone looks lost on either side of a break


class Resumed(Block, frozen=True, kw_only=True):
    """A block at the head of a frame, below the heading that it carries."""

    block: Block

    def height_mm(self, width_mm: float) -> float:
        return self._above_mm(width_mm) + self.block.height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        again = self._again
        below = self.block.draw(x, y + self._above_mm(width_mm), width_mm)
        return (*again.draw(x, y, width_mm), *below)

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        cut = self.block.split(width_mm, height_mm - self._above_mm(width_mm))
        return cut and (resumed(replace(cut[0], carried=self._again)), cut[1])

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self._again.first_baseline_mm(width_mm)

    @property
    def name(self) -> str:
        return self.block.name

    @property
    def _again(self) -> Block:
        assert self.block.carried
        return self.block.carried

    def _above_mm(self, width_mm: float) -> float:
        return self._again.height_mm(width_mm) + gap_mm(self._again, self.block)


def resumed(block: Block) -> Block:
    """The block as it stands at the head of a frame."""
    if not block.carried:
        return block
    return Resumed(
        block=block,
        space_after_mm=block.space_after_mm,
        keep_with_next=block.keep_with_next,
        keep_together=block.keep_together,
    )


def original(block: Block) -> Block:
    """The block before a flow placed it: what stands at the head of a frame without its heading."""
    return block.block if isinstance(block, Resumed) else block


def grouped(heading: Block, rows: Sequence[Block], again: Block, whole: int = FEW) -> tuple[Block, ...]:
    """Rows under a heading that stays with two of them, as the last two stay together; few stay whole.

    again: what stands over the rows where a frame begins amid them.
    """
    last = len(rows) - 1
    kept = {*range(last)} if len(rows) <= whole else {0, last - 1}
    carried = (
        row.among_others(carried=again if n else None, keep_with_next=n in kept or row.keep_with_next)
        for n, row in enumerate(rows)
    )
    return (heading.among_others(keep_with_next=True), *carried)
