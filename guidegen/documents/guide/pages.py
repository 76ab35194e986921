"""What every chapter is made from: the kit, headings, and where a chapter begins on its page."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.guide.look import Look
from guidegen.documents.parts import SOFT_INK
from guidegen.drawing.primitives import Group, Item, Line, Style, moved
from guidegen.paper.blocks import Block, Heading
from guidegen.paper.flow import Frame as TextFrame
from guidegen.paper.flow import draw_all, fill
from guidegen.paper.groups import FEW, grouped
from guidegen.plan.body import body_polygon, draw_vehicle, standing_out
from guidegen.plan.frame import Frame

PARTED_MM = 11.0  # between a chapter and the next on the same page
_FULL_ENOUGH = 0.5  # of a page's height: a chapter that takes more of its last page is followed by a new page


class Kit(Struct, frozen=True, dict=True):
    """What every chapter is made from."""

    context: Context
    look: Look

    def vehicle(self, frame: Frame, faded: bool) -> tuple[Item, ...]:
        """The vehicle in plan; drawn once for each scale and way up, however many pages show it."""
        key = (round(frame.scale, 9), frame.orientation, faded)
        if key not in self._drawn:
            at_origin = replace(frame, x=0.0, y=0.0)
            self._drawn[key] = draw_vehicle(self.context.vehicle.layout, at_origin, faded)
        return (moved(self._drawn[key], frame.x, frame.y),)

    def outer(self, frame: Frame) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of all that is drawn of the vehicle; measured once for each scale."""
        key = (round(frame.scale, 9), frame.orientation)
        if key not in self._outer:
            layout, at_origin = self.context.vehicle.layout, replace(frame, x=0.0, y=0.0)
            corners = [*body_polygon(layout, at_origin)]
            for x, y, w, h in standing_out(layout, at_origin):
                corners += ((x, y), (x + w, y + h))
            xs, ys = zip(*corners, strict=True)
            self._outer[key] = (min(xs), min(ys), max(xs), max(ys))
        left, top, right, bottom = self._outer[key]
        return left + frame.x, top + frame.y, right + frame.x, bottom + frame.y

    @cached_property
    def _outer(self) -> dict[tuple[float, str], tuple[float, float, float, float]]:
        return {}

    @cached_property
    def _drawn(self) -> dict[tuple[float, str, bool], tuple[Item, ...]]:
        return {}


class Chapter(Struct, frozen=True):
    """Pages with x from the frame's left edge and y from the sheet's top; `id` names its destination.

    foot: where the last page ends, 0 when nothing may follow on it. runs_on: the first page is the last of
    the chapter before it. turned: what is on its pages, see look.turned_page.
    """

    id: str
    title: str
    pages: tuple[tuple[Item, ...], ...]
    foot: float = 0.0
    runs_on: bool = False
    turned: bool = False

    @property
    def destination(self) -> str:
        return f"chapter-{self.id}"


class Bound(Struct, frozen=True):
    """A chapter with the number of its first page."""

    chapter: Chapter
    first: int

    @property
    def last(self) -> int:
        return self.first + len(self.chapter.pages) - 1


def title_block(kit: Kit, id: str, title: str) -> Heading:
    """The heading that opens a chapter, its destination and outline entry with it."""
    return Heading(
        text=title,
        style=kit.look.title,
        destination=f"chapter-{id}",
        level=0,
        space_before_mm=0.0,
        space_after_mm=4.0,
    )


def section_block(kit: Kit, title: str, destination: str = "", level: int = -1) -> Heading:
    """A heading within a chapter."""
    return Heading(
        text=title,
        style=kit.look.heading,
        destination=destination,
        level=level,
        space_before_mm=7.0,
        space_after_mm=2.5,
    )


def label_block(kit: Kit, title: str) -> Heading:
    """A small heading over a few lines."""
    return Heading(text=title, style=kit.look.label, space_before_mm=5.0, space_after_mm=1.5)


def labelled(kit: Kit, title: str, rows: Sequence[Block], whole: int = FEW) -> tuple[Block, ...]:
    """Rows under a small heading, which comes again where a column begins amid them; so many never part."""
    return grouped(label_block(kit, title), rows, label_block(kit, continued(title)), whole)


def continued(title: str) -> str:
    """What stands over the rest of something that began on another column or page."""
    return f"{title}, continued"


def headed(kit: Kit, *head: Block, at: float = 0.0) -> tuple[tuple[Item, ...], float]:
    """What opens a chapter, drawn, and where its text may begin.

    at: where on the page it begins, below a rule that parts it from what stands above; 0 for its top.
    """
    look = kit.look
    y = at or look.top
    placed, _ = fill(head, TextFrame(0.0, y, look.width, look.bottom - y))
    foot = max(one.y + one.height for one in placed)
    return (*parting_rule(kit, at, PARTED_MM if at else 0.0), *draw_all(placed)), foot + 4.0


def parting_rule(kit: Kit, at: float, parted_mm: float) -> tuple[Item, ...]:
    """The line above what begins at `at`, so far below something else; none at the top of a page."""
    if not parted_mm:
        return ()
    y = at - parted_mm / 2
    return (Line(((0.0, y), (kit.look.width, y)), Style(stroke=SOFT_INK, width_mm=0.35)),)


def start_below(
    kit: Kit, before: Chapter | None, least_mm: float = 0.0, full_enough: float = _FULL_ENOUGH
) -> float:
    """Where a chapter may begin below the end of the one before it, at least so much above the foot.

    0 where it may not: that chapter ends a page that is full enough, or must not be followed.
    """
    look = kit.look
    if not before or not before.foot:
        return 0.0
    at = before.foot + PARTED_MM
    full = before.foot >= look.top + full_enough * look.height
    return at if not full and at + least_mm <= look.bottom else 0.0


def enlarged(kit: Kit, items: Sequence[Item], x: float, y: float) -> Group:
    """A drawing at the look's scale, its origin at x, y."""
    s = kit.look.drawing_scale
    return Group(tuple(items), transform=(s, 0.0, 0.0, s, x, y))
