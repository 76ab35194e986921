"""The ways to set what is told of one system, and what they are made of."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.guide.columns import CLOSER, SHARES
from guidegen.documents.guide.plans import FloorPlan
from guidegen.drawing.primitives import Item, moved
from guidegen.paper.blocks import Block
from guidegen.paper.flow import Placed, draw_all


class Way(NamedTuple):
    """One way to set a system: the size of its plan, the white in its text, and how that is spread."""

    plan: int  # 0 for the largest
    white: float
    shares: tuple[float, ...]  # of the width, for how to use it beside where it is; none: where it is stands
    # beside the plan
    in_order: bool  # or one after the other, in columns that end alike
    cost: float  # against the others
    tall: bool = False  # the plan stands upright, as high as the page, and all text beside it


WAYS = (
    Way(0, 1.0, (), False, 3.0, tall=True),
    Way(0, 1.0, SHARES[:1], False, 0.0),
    Way(0, 1.0, SHARES, False, 0.3),
    Way(0, CLOSER[0], SHARES, True, 1.5),
    Way(1, CLOSER[0], SHARES, True, 3.0),
    Way(2, CLOSER[1], SHARES, True, 6.0),
    Way(2, 1.0, (), False, 8.0),
    Way(2, CLOSER[0], (), False, 9.0),
)
"""From the most generous to the tightest."""


Pages = list[tuple[Item, ...]]


class Spread(Struct, frozen=True):
    """A way to set a system over several pages; foot: where the last ends."""

    pages: int
    foot: float
    draw: Callable[[], Pages]


class Text(Struct, frozen=True):
    """What stands below a plan or beside it: how to use the system, where its points are, pictures."""

    how: tuple[Block, ...]
    where: tuple[Block, ...]
    pictures: tuple[Block, ...]


class Body(Struct, frozen=True):
    """A plan and all text of a system, from y = 0 down."""

    plan: FloorPlan
    plan_x: float
    text: tuple[Placed, ...]

    @property
    def height(self) -> float:
        return max((self.plan.height, *(one.y + one.height for one in self.text)))

    def draw(self, y: float) -> tuple[Item, ...]:
        placed = (replace(one, y=one.y + y) for one in self.text)
        return (moved(self.plan.items, self.plan_x, y), *draw_all(placed))
