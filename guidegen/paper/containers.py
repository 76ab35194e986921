"""Blocks made of blocks: stacks, boxes, rows of cells on one baseline, balanced columns."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, lru_cache
from typing import Self

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Item, Rect, Style
from guidegen.paper.blocks import Block
from guidegen.paper.flow import Frame, Placed, draw_stack, fill, flow_balanced, stack_height_mm
from guidegen.paper.groups import original, resumed
from guidegen.paper.text import DoesNotFit


def closer(blocks: Sequence[Block], share: float) -> tuple[Block, ...]:
    """The blocks with a share of the white between and within them."""
    if share == 1.0:  # they know how high they are, which others would have to find out
        return tuple(blocks)
    return tuple(block.closer(share) for block in blocks)


class Stack(Block, frozen=True, kw_only=True, dict=True):
    """Blocks one below the other; splits between and within them unless kept together."""

    blocks: tuple[Block, ...]

    @cached_property
    def _heights(self) -> dict[float, float]:
        """By width: a flow asks for the height of a block again and again."""
        return {}

    def height_mm(self, width_mm: float) -> float:
        known = self._heights
        if width_mm not in known:
            known[width_mm] = stack_height_mm(self.blocks, width_mm)
        return known[width_mm]

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return draw_stack(self.blocks, x, y, width_mm)

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        if self.keep_together:
            return None
        placed, rest = fill(self.blocks, Frame(0.0, 0.0, width_mm, height_mm))
        if not placed or not rest:
            return None
        head = replace(
            self, blocks=tuple(one.block for one in placed), space_after_mm=0.0, keep_with_next=False
        )
        rest = (resumed(rest[0]), *rest[1:])
        return head, replace(self, blocks=rest, space_before_mm=0.0)

    def closer(self, share: float) -> Self:
        return replace(super().closer(share), blocks=closer(self.blocks, share))

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.blocks[0].first_baseline_mm(width_mm) if self.blocks else None

    @property
    def name(self) -> str:
        return self.blocks[0].name if self.blocks else "nothing"


class KeepTogether(Stack, frozen=True, kw_only=True):
    """A stack that never splits."""

    keep_together: bool = True


class Boxed(Block, frozen=True, kw_only=True):
    """Blocks in a border on a ground; never splits unless keep_together is taken off."""

    blocks: tuple[Block, ...]
    style: Style = Style(stroke="#000000", width_mm=0.35)
    padding_mm: float = 2.0
    radius_mm: float = 0.0
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return stack_height_mm(self.blocks, width_mm - 2 * self.padding_mm) + 2 * self.padding_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        half = self.style.width_mm / 2 if self.style.stroke else 0.0
        height = self.height_mm(width_mm)
        frame = Rect(
            x + half, y + half, width_mm - 2 * half, height - 2 * half, self.style, radius=self.radius_mm
        )
        inner = width_mm - 2 * self.padding_mm
        return (frame, *draw_stack(self.blocks, x + self.padding_mm, y + self.padding_mm, inner))

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        if self.keep_together:
            return None
        inner = Stack(blocks=self.blocks).split(
            width_mm - 2 * self.padding_mm, height_mm - 2 * self.padding_mm
        )
        if inner is None:
            return None
        head, tail = (replace(self, blocks=(part,)) for part in inner)
        return replace(head, space_after_mm=0.0, keep_with_next=False), replace(tail, space_before_mm=0.0)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        inner = self.blocks[0].first_baseline_mm(width_mm - 2 * self.padding_mm) if self.blocks else None
        return None if inner is None else inner + self.padding_mm

    @property
    def name(self) -> str:
        return self.blocks[0].name if self.blocks else "box"


class Cell(Struct, frozen=True):
    """Part of a row: width_mm when fixed, else a share of what the fixed ones leave."""

    block: Block
    width_mm: float | None = None
    share: float = 1.0


class _SetRow(Struct, frozen=True):
    """A row as it is set in some width: widths of its cells, and how far each hangs down."""

    widths: tuple[float, ...]
    drops: tuple[float, ...]
    height: float
    baseline: float | None


class Row(Block, frozen=True, kw_only=True, dict=True):
    """Cells side by side, their first baselines on one line; cells without text hang from the top."""

    cells: tuple[Cell, ...]
    gap: float = 2.0
    keep_together: bool = True

    def height_mm(self, width_mm: float) -> float:
        return self._set(width_mm).height

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        items: list[Item] = []
        row = self._set(width_mm)
        for cell, width, drop in zip(self.cells, row.widths, row.drops, strict=True):
            items += cell.block.draw(x, y + drop, width)
            x += width + self.gap
        return tuple(items)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self._set(width_mm).baseline

    def widths_mm(self, width_mm: float) -> tuple[float, ...]:
        """Of the cells; raises DoesNotFit when the fixed ones leave nothing for the others."""
        widths = tuple([cell.width_mm for cell in self.cells])
        return share_widths(widths, tuple([cell.share for cell in self.cells]), self.gap, width_mm)

    @property
    def name(self) -> str:
        return next((cell.block.name for cell in self.cells if cell.width_mm is None), "row")

    @cached_property
    def _known(self) -> dict[float, _SetRow]:
        """By width: both measuring and drawing ask, and a flow again and again."""
        return {}

    def _set(self, width_mm: float) -> _SetRow:
        known = self._known
        if width_mm not in known:
            known[width_mm] = self._measured(self.widths_mm(width_mm))
        return known[width_mm]

    def _measured(self, widths: tuple[float, ...]) -> _SetRow:
        blocks = [(cell.block, width) for cell, width in zip(self.cells, widths, strict=True)]
        baselines = [block.first_baseline_mm(width) for block, width in blocks]
        lowest = max([baseline for baseline in baselines if baseline is not None], default=None)
        drops = [0.0 if baseline is None or lowest is None else lowest - baseline for baseline in baselines]
        heights = [drop + block.height_mm(width) for (block, width), drop in zip(blocks, drops, strict=True)]
        return _SetRow(widths, tuple(drops), max(heights, default=0.0), lowest)


@lru_cache(maxsize=1024)  # the rows of a table ask for the same
def share_widths(
    fixed_mm: tuple[float | None, ...], shares: tuple[float, ...], gap_mm: float, width_mm: float
) -> tuple[float, ...]:
    """Widths of columns: the fixed ones as they are, the others by their share of what is left."""
    left = width_mm - gap_mm * (len(fixed_mm) - 1) - sum(width or 0.0 for width in fixed_mm)
    total = sum(share for width, share in zip(fixed_mm, shares, strict=True) if width is None)
    if left < -1e-6 or (total and left <= 0):
        raise DoesNotFit("row of columns", -left, place=f"{width_mm:.1f} mm of width")
    return tuple(
        left * share / total if width is None else width
        for width, share in zip(fixed_mm, shares, strict=True)
    )


class Columns(Block, frozen=True, kw_only=True, dict=True):
    """Blocks in columns of equal width that end as nearly alike as can be.

    fewest: blocks that stand before a break.
    """

    blocks: tuple[Block, ...]
    count: int = 2
    gap: float = 5.0
    fewest: int = 1

    def height_mm(self, width_mm: float) -> float:
        return max((one.y + one.height for page in self._placed(width_mm) for one in page), default=0.0)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return tuple(
            item
            for page in self._placed(width_mm)
            for one in page
            for item in one.block.draw(x + one.x, y + one.y, one.width)
        )

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        if self.keep_together:
            return None
        rest: tuple[Block, ...] = self.blocks
        taken: list[Block] = []
        for frame in self._frames(width_mm, height_mm):
            placed, rest = fill(rest, frame)
            taken += [original(one.block) for one in placed]
        if len(taken) < self.fewest or not rest:
            return None
        head = replace(self, blocks=tuple(taken), space_after_mm=0.0, keep_with_next=False)
        return head, replace(self, blocks=rest, space_before_mm=0.0)

    def closer(self, share: float) -> Self:
        return replace(super().closer(share), blocks=closer(self.blocks, share))

    @property
    def name(self) -> str:
        return self.blocks[0].name if self.blocks else "columns"

    @cached_property
    def _balanced(self) -> dict[float, tuple[tuple[Placed, ...], ...]]:
        """Placed from 0, 0, by width: balancing takes several tries, and height and drawing both ask."""
        return {}

    def _placed(self, width_mm: float) -> tuple[tuple[Placed, ...], ...]:
        if width_mm not in self._balanced:
            column = self._frames(width_mm, 0.0)[0].width
            tall = stack_height_mm(self.blocks, column) + 1.0
            self._balanced[width_mm] = flow_balanced(self.blocks, self._frames(width_mm, tall))
        return self._balanced[width_mm]

    def _frames(self, width_mm: float, height_mm: float) -> list[Frame]:
        width = (width_mm - self.gap * (self.count - 1)) / self.count
        return [Frame(n * (width + self.gap), 0.0, width, height_mm) for n in range(self.count)]
