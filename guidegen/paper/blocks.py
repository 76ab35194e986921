"""Blocks that flow down a page: immutable, measured for a width, drawn at a place; lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any, Self

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Anchor, Colour, Destination, Item, Line, Style, moved
from guidegen.paper.text import (
    LEAD_PT,
    SHARE_BEFORE,
    DoesNotFit,
    TextLine,
    TextStyle,
    Words,
    balance,
    height_mm,
    line_count,
    plain,
    unwrap,
    wrap,
)

HAIRLINE_MM = 0.18
RULE_COLOUR: Colour = "#595959"
LEAST_LINES = 2
"""A paragraph leaves at least so many lines on either side of a break."""


class Block(Struct, frozen=True, kw_only=True):
    """Anything that flows.

    The spaces before and after stand between blocks only, the larger of the two neighbours' counts, and both
    vanish at the top and foot of a frame. keep_with_next forbids a break after the block, keep_together one
    within it. A between_only block is left out at the top of a frame and before a break. What a block carries
    stands over it where it begins a frame.
    """

    space_before_mm: float = 0.0
    space_after_mm: float = 0.0
    keep_with_next: bool = False
    keep_together: bool = False
    between_only: bool = False
    carried: Block | None = None

    def height_mm(self, width_mm: float) -> float:
        raise NotImplementedError

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        """The items with the block's top left corner at x, y."""
        raise NotImplementedError

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        """What fits in the height, and the rest; None when it cannot be split there."""
        return None

    def closer(self, share: float) -> Self:
        """The same with a share of the white before, after and within it."""
        return self.among_others(
            space_before_mm=share * self.space_before_mm,
            space_after_mm=share * self.space_after_mm,
            carried=self.carried and self.carried.closer(share),
        )

    def among_others(self, **wishes: Any) -> Self:
        """The same with other fields of Block's own: what was measured of it stays true, and known."""
        other = replace(self, **wishes)
        if measured := getattr(self, "__dict__", None):
            other.__dict__.update(measured)
        return other

    def first_baseline_mm(self, width_mm: float) -> float | None:
        """From the top down to the first line's baseline; None when there is no text to align on."""
        return None

    @property
    def name(self) -> str:
        """A few words that tell the person who wrote it which block is meant."""
        return type(self).__name__.lower()


def gap_mm(above: Block, below: Block) -> float:
    """The space between two blocks: the larger of what they ask for."""
    after, before = above.space_after_mm, below.space_before_mm
    return before if before > after else after


class Spacer(Block, frozen=True, kw_only=True):
    """White space; vanishes at the top of a frame."""

    height: float
    between_only: bool = True

    def height_mm(self, width_mm: float) -> float:
        return self.height

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return ()


class Rule(Block, frozen=True, kw_only=True):
    """A line across the frame."""

    style: Style = Style(stroke=RULE_COLOUR, width_mm=HAIRLINE_MM, round_ends=False)

    def height_mm(self, width_mm: float) -> float:
        return self.style.width_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        middle = y + self.style.width_mm / 2
        return (Line(((x, middle), (x + width_mm, middle)), self.style),)


class Drawing(Block, frozen=True, kw_only=True):
    """Given items in a box of width × height from their own origin; anchor sets it in a wider frame."""

    items: tuple[Item, ...]
    width: float
    height: float
    anchor: Anchor = "start"
    baseline: float | None = None
    title: str = "drawing"

    def height_mm(self, width_mm: float) -> float:
        if self.width > width_mm + 1e-6:
            raise DoesNotFit(self.title, self.width - width_mm, place=f"{width_mm:.1f} mm of width")
        return self.height

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        spare = SHARE_BEFORE[self.anchor] * (width_mm - self.width)
        return (moved(self.items, x + spare, y),)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.baseline

    @property
    def name(self) -> str:
        return self.title


class Paragraph(Block, frozen=True, kw_only=True, dict=True):
    """Text in one style; splits between lines, two of them at least on either side."""

    text: Words
    style: TextStyle = TextStyle()
    anchor: Anchor = "start"

    @cached_property
    def _heights(self) -> dict[float, float]:
        """By width: a flow asks for the height of a block again and again."""
        return {}

    def lines(self, width_mm: float) -> tuple[TextLine, ...]:
        return wrap(self.text, round(width_mm, 4), self.style)

    def height_mm(self, width_mm: float) -> float:
        known = self._heights
        if width_mm not in known:
            count = line_count(self.text, round(width_mm, 4), self.style)
            known[width_mm] = count * self.style.line_mm
        return known[width_mm]

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return draw_lines(self.lines(width_mm), x, y, width_mm, self.anchor)

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        lines = self.lines(width_mm)
        fitting = min(int((height_mm + 1e-6) / self.style.line_mm), len(lines) - LEAST_LINES)
        if self.keep_together or fitting < LEAST_LINES:
            return None
        head = SetLines(lines=lines[:fitting], anchor=self.anchor, space_before_mm=self.space_before_mm)
        tail = replace(self, text=unwrap(lines[fitting:]), space_before_mm=0.0)
        return head, tail

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.style.baseline_mm

    @property
    def name(self) -> str:
        return plain(self.text)


class SetLines(Block, frozen=True, kw_only=True):
    """Lines already broken for the width of their frame."""

    lines: tuple[TextLine, ...]
    anchor: Anchor = "start"

    def height_mm(self, width_mm: float) -> float:
        return height_mm(self.lines)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return draw_lines(self.lines, x, y, width_mm, self.anchor)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.lines[0].style.baseline_mm if self.lines else None


class Heading(Block, frozen=True, kw_only=True):
    """A heading, its lines balanced; stays with what follows; a destination when it has one."""

    text: Words
    style: TextStyle = TextStyle(LEAD_PT, "bold", leading=1.25)
    anchor: Anchor = "start"
    destination: str = ""
    level: int = -1
    space_before_mm: float = 6.0
    space_after_mm: float = 2.0
    keep_with_next: bool = True
    keep_together: bool = True

    def lines(self, width_mm: float) -> tuple[TextLine, ...]:
        return balance(self.text, round(width_mm, 4), self.style)

    def height_mm(self, width_mm: float) -> float:
        count = line_count(self.text, round(width_mm, 4), self.style)  # balanced they are no more
        return sum([self.style.line_mm] * count)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        items = draw_lines(self.lines(width_mm), x, y, width_mm, self.anchor)
        if not self.destination:
            return items
        return (Destination(self.destination, y, plain(self.text), self.level), *items)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.style.baseline_mm

    @property
    def name(self) -> str:
        return plain(self.text)


def draw_lines(
    lines: Sequence[TextLine], x: float, y: float, width_mm: float, anchor: Anchor = "start"
) -> tuple[Item, ...]:
    """Lines of one text from y downwards, set in a column of width_mm."""
    at = x + SHARE_BEFORE[anchor] * width_mm
    items: list[Item] = []
    for number, line in enumerate(lines):
        style = line.style
        items += line.draw(at, y + number * style.line_mm + style.baseline_mm, anchor)
    return tuple(items)
