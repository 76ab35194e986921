"""What is told of one system, and the ways to set it: plan large or small, text wide or close."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct, field
from msgspec.structs import replace

from guidegen.documents.guide.columns import (
    CLOSER,
    ENOUGH,
    Laid,
    Whole,
    freer,
    in_columns,
    ordered,
    pair,
)
from guidegen.documents.guide.pages import Kit, continued, label_block, parting_rule
from guidegen.documents.guide.plans import FloorPlan, floor_plan, in_groups
from guidegen.documents.guide.system_ways import Body, Pages, Spread, Text, Way
from guidegen.documents.guide.whole import listed
from guidegen.drawing.primitives import Item, moved
from guidegen.paper.blocks import Block
from guidegen.paper.containers import closer
from guidegen.paper.flow import Frame, Placed, draw_all, fill, stack_height_mm
from guidegen.paper.groups import grouped
from guidegen.paper.text import DoesNotFit
from guidegen.plan.arrange import MOST
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.frame import Orientation
from guidegen.vehicle.model import ServicePoint

BELOW_HEAD_MM, BELOW_PLAN_MM = 4.0, 5.0
_LARGEST_PLAN, _USUAL_PLAN = 0.42, 0.37  # of the page's height
_LOWER = (1.0, 0.75, 0.6)  # heights of plans by their size, roughly and at least
_SMALLER = (1.0, 1.2, 1.45)  # ratios of plans by their size, in times that of the largest
_SMALLEST, _SMALLEST_A5 = 75, 100  # ratios of the smallest plans on which one still finds one's way
_AROUND_PLAN_MM = 18.0  # at least, for the words at both sides and the badges at one
_LEAST_LIST = 5.4  # mm of width of a list beside a plan, for each pt of its size
_WIDE = 0.55  # of the width, for an upright plan beside text that half of it would hold too
_FREEST = 1.5  # times the white in that text, so that it ends where the plan does
_SHORTEST = 0.6  # of that plan's height: a text that is lower still looks lost beside it
_FULL = 0.55  # of a page's height: a last page with less looks left over
HOW, _WHERE = "How to use it", "Where it is"


class Part(Struct, frozen=True, dict=True):
    """One system: heading and what it is, its points, the text."""

    kit: Kit
    letter: str
    title: str
    points: tuple[ServicePoint, ...]
    head: tuple[Block, ...]
    text: Text
    _plans: dict[int, FloorPlan | None] = field(default_factory=dict)
    _texts: dict[Way, Whole] = field(default_factory=dict)
    _hows: dict[float, Whole] = field(default_factory=dict)
    _bodies: dict[Way, Body | None] = field(default_factory=dict)

    @cached_property
    def head_mm(self) -> float:
        """Of the heading with what it is."""
        placed = self._head_at(0.0)
        return placed[-1].y + placed[-1].height + BELOW_HEAD_MM

    def head_items(self, at: float, parted_mm: float = 0.0) -> tuple[Item, ...]:
        """Drawn from `at` down, below a rule in the middle of what parts it from something above it."""
        return (*parting_rule(self.kit, at, parted_mm), *draw_all(self._head_at(at)))

    def plan(self, size: int) -> FloorPlan | None:
        """The plan across the page, 0 for the largest; a smaller one only where it is lower.

        None where a page is too narrow, or one would not find one's way on a plan that lies. Raises
        SheetTooSmallError when the points fit on no page of A4.
        """
        if not self.kit.look.lying:
            return None
        if size not in self._plans:
            self._plans[size] = self._arranged(size)
        return self._plans[size]

    def height_mm(self, way: Way, room: float = math.inf) -> float | None:
        """Of all of it set in that way; None where it cannot be.

        Where it is clearly more than the room there is, only what it is at least.
        """
        if way not in self._bodies and not way.tall and (least := self._least_mm(way)) > room:
            return least
        body = self._set(way)
        return self.head_mm + body.height if body else None

    def _least_mm(self, way: Way) -> float:
        """What the height is at least, told without arranging a plan for it."""
        look, layout = self.kit.look, self.kit.context.vehicle.layout
        known, scale = self._plans.get(0), look.drawing_scale / self._smallest_ratio
        plan = known.height * _LOWER[way.plan] if known else layout.width * scale + _AROUND_PLAN_MM
        if way.shares:
            return self.head_mm + plan + BELOW_PLAN_MM + self._text(way).height
        column = look.width - layout.length * scale - look.gutter
        if column < _LEAST_LIST * look.body.size_pt:
            return math.inf
        beside = max(plan, stack_height_mm(closer(self._where, way.white), column))
        return self.head_mm + beside + BELOW_PLAN_MM + self._how(way.white).height

    @property
    def _smallest_ratio(self) -> int:
        return _SMALLEST if self.kit.look.beside else _SMALLEST_A5

    def set_whole(self, way: Way, at: float, parted_mm: float = 0.0) -> tuple[Item, ...]:
        """All of it, from `at` down, parted so much from what stands above it."""
        body = self._set(way)
        assert body
        return (*self.head_items(at, parted_mm), *body.draw(at + self.head_mm))

    def _set(self, way: Way) -> Body | None:
        if way not in self._bodies:
            self._bodies[way] = (
                self._beside_tall()
                if way.tall
                else self._below_plan(way)
                if way.shares
                else self._beside_plan(way)
            )
        return self._bodies[way]

    def _beside_tall(self) -> Body | None:
        """All text beside an upright plan, with more white where it is shorter; None where it is not as high.

        The widest plan beside which the text fits; it is told first whether it does.
        """
        look, room = self.kit.look, self.kit.look.height - self.head_mm
        if not (look.lying and look.beside):
            return None
        text, half = (*self.text.how, *self.right), look.split(2)[0].width
        try:
            low = stack_height_mm(text, half)
        except DoesNotFit:
            return None
        if low > room:
            return None
        wide = _WIDE * look.width
        fits = low * half <= room * (look.width - wide - look.gutter)
        return self._beside_upright(text, wide if fits else half, room)

    def _beside_upright(self, text: Sequence[Block], width: float, room: float) -> Body | None:
        """Text beside an upright plan that is at most so wide, both no higher than the room."""
        look = self.kit.look
        try:
            plan = self._floor_plan(room, width, "portrait")
            frame = Frame(plan.width + look.gutter, 0.0, look.width - plan.width - look.gutter, room)
            freest = closer(text, _FREEST)
            low, high = (stack_height_mm(blocks, frame.width) for blocks in (text, freest))
        except (DoesNotFit, SheetTooSmallError):
            return None
        if low > room or high < _SHORTEST * plan.height:
            return None
        more = max(0.0, (plan.height - low) / (high - low))
        placed, over = fill(closer(text, 1.0 + more * (_FREEST - 1.0)) if more < 1.0 else freest, frame)
        return None if over else Body(plan, 0.0, placed)

    def _below_plan(self, way: Way) -> Body | None:
        plan = self.plan(way.plan)
        if not plan:
            return None
        x = (self.kit.look.width - plan.width) / 2
        return Body(plan, x, self._text(way).at(plan.height + BELOW_PLAN_MM))

    def _text(self, way: Way) -> Whole:
        """The text across the page, as low as can be."""
        key = way._replace(plan=0, cost=0.0)
        if key not in self._texts:
            how, right = (closer(text, way.white) for text in (self.text.how, self.right))
            text = pair(self.kit, how, right, shares=way.shares)
            if not text or way.in_order:
                after = ordered(self.kit, closer(self.in_order, way.white))
                text = min((text or after, after), key=lambda one: one.height)
            self._texts[key] = text
        return self._texts[key]

    def _beside_plan(self, way: Way) -> Body | None:
        """Where it is beside a small plan, how to use it below; None where the list is too narrow."""
        look, wide = self.kit.look, self.plan(way.plan)
        if not wide:
            return None
        plan = wide.narrow
        frame = Frame(plan.width + look.gutter, 0.0, look.width - plan.width - look.gutter, look.height)
        if frame.width < _LEAST_LIST * look.body.size_pt:
            return None
        placed, over = fill(closer(self._where, way.white), frame)
        if over:
            return None
        foot = max(plan.height, placed[-1].y + placed[-1].height)
        return Body(plan, 0.0, (*placed, *self._how(way.white).at(foot + BELOW_PLAN_MM)))

    def _how(self, white: float) -> Whole:
        """How to use it across the page, its heading over all columns."""
        if white not in self._hows:
            label, *how = closer((*self.text.how, *self.text.pictures), white)
            over_all, rest = replace(self.kit.look.whole, y=0.0), ordered(self.kit, how)
            below = label.height_mm(over_all.width) + label.space_after_mm
            columns = ((text, replace(frame, y=below)) for text, frame in rest.columns)
            self._hows[white] = Whole((((label,), over_all), *columns), below + rest.height)
        return self._hows[white]

    def spread(self, odd: bool) -> Spread:
        """The way to set it over several pages, the first of them of an odd number or not."""
        if odd or not self._facing:
            return self._flowing(odd)
        text, upright = self._facing
        top, placed = self.kit.look.top, text.at(self.kit.look.top)
        return Spread(2, top + text.height, lambda: [*self._plan_pages([upright]), draw_all(placed)])

    def _flowing(self, odd: bool) -> Spread:
        """How to use it with the plan, where it is on the next page; where that cannot be, the text flows on.

        Where no plan can lie across a page, it stands upright on one of its own; and where the text is in one
        column and a lying plan saves no page: if it left one with little on it, or the text is more than one.
        On a page of an odd number it lies where that is no page more: nobody sees what is overleaf with it.
        """
        look, top = self.kit.look, self.kit.look.top + self.head_mm
        after = None if look.beside else in_columns(self.kit, self.in_order, halved=True)
        plan = None if after and not odd and self._no_page_saved(after) else self.plan(0)
        laid = self._below_lying(plan, top) if plan else None
        full = laid and self._on_one_page and laid.last_mm >= _FULL * look.height
        if not plan or not laid or after and not full and len(laid.pages) > len(after.pages) + odd:
            text, upright = after or in_columns(self.kit, self.in_order), self._upright()
            pages = len(upright) + len(text.pages)
            return Spread(pages, text.foot, lambda: [*self._plan_pages(upright), *text.drawn()])
        lying, whole = plan, laid

        def draw() -> Pages:
            centred = moved(lying.items, (look.width - lying.width) / 2, top)
            return whole.drawn(*self.head_items(look.top), centred)

        return Spread(len(whole.pages), whole.foot, draw)

    def _no_page_saved(self, after: Laid) -> bool:
        """Whether a lying plan hardly saves one of the pages of a long text, told without arranging it."""
        look = self.kit.look
        room = (len(after.pages) - _USUAL_PLAN) * look.height - self.head_mm - BELOW_PLAN_MM
        return not self._on_one_page and after.taken_mm > room

    def _below_lying(self, plan: FloorPlan, top: float) -> Laid:
        """The text from below a plan that lies across its first page on."""
        below = self.kit.look.split(self.kit.look.columns, top + plan.height + BELOW_PLAN_MM)
        return self._where_next(below) or in_columns(self.kit, self.in_order, below, halved=True)

    @cached_property
    def _facing(self) -> tuple[Whole, FloorPlan] | None:
        """All text on one page and a large upright plan on the one that faces it; None where that is more."""
        text = self._on_one_page
        upright = self._upright() if text else []
        return (text, upright[0]) if text and len(upright) == 1 else None

    @cached_property
    def _on_one_page(self) -> Whole | None:
        """The text alone, as generously as one page allows."""
        look = self.kit.look
        for white in (1.0, *CLOSER[:2]):
            how, right = (closer(text, white) for text in (self.text.how, self.right))
            after = ordered(self.kit, closer(self.in_order, white))
            beside = pair(self.kit, how, right, look.height)
            for text in (beside, after) if look.columns > 1 else (after, beside):
                if text and text.height <= look.height:
                    return text
        return None

    def _upright(self) -> list[FloorPlan]:
        """Plans of all points, upright, each for a page of its own."""
        look = self.kit.look
        height = look.height - self.head_mm

        def draw(group: tuple[ServicePoint, ...]) -> FloorPlan:
            others = [p for p in self.kit.context.vehicle.points if p not in group]
            return floor_plan(self.kit, group, look.width, height, ghosts=others)

        return [plan for _, plan in in_groups(self.kit, self.points, draw)]

    def _plan_pages(self, plans: Sequence[FloorPlan]) -> Pages:
        look = self.kit.look
        pages: Pages = []
        for plan in plans:
            top = look.top + (0.0 if pages else self.head_mm)
            drawn = moved(plan.items, (look.width - plan.width) / 2, top)
            pages.append((drawn,) if pages else (*self.head_items(look.top), drawn))
        return pages

    @property
    def in_order(self) -> tuple[Block, ...]:
        """The text, one thing after the other."""
        label, *rows = self._where
        again = label_block(self.kit, continued(_WHERE))
        where = grouped(label, listed(self.kit, rows), again)
        if self.kit.look.list_columns > 1:  # one block, over pages of its own accord
            where = (label, *(one.among_others(carried=again) for one in where[1:]))
        label, *rows = self.text.how
        how = grouped(label, rows, label_block(self.kit, continued(HOW)))
        return (*how, *where, *(one.among_others(carried=again) for one in self.text.pictures))

    @property
    def right(self) -> tuple[Block, ...]:
        """What stands beside how to use it."""
        return (*self._where, *self.text.pictures)

    @cached_property
    def _where(self) -> tuple[Block, ...]:
        return (label_block(self.kit, _WHERE), *self.text.where)

    def _where_next(self, below: Sequence[Frame]) -> Laid | None:
        in_order = self.in_order
        where = in_order[len(self.text.how) : len(in_order) - len(self.text.pictures)]  # these stand above
        for white in (1.0, *CLOSER[:2]):
            how = self._how(white)
            if how.height > below[0].height:
                continue
            wanted = ENOUGH * self.kit.look.height * self.kit.look.columns
            laid = freer(self.kit, where, (), wanted)
            return Laid((how.at(below[0].y), *laid.pages))
        return None

    def _head_at(self, at: float) -> tuple[Placed, ...]:
        look = self.kit.look
        return fill(self.head, Frame(0.0, at, look.width, look.height))[0]

    def _arranged(self, size: int) -> FloorPlan | None:
        look = self.kit.look
        if not size:
            most = MOST if look.beside else self._smallest_ratio
            try:
                return self._floor_plan(_LARGEST_PLAN * look.height, most=most)
            except SheetTooSmallError:
                return self._floor_plan(0.8 * look.height) if look.beside else None
        largest = self.plan(0)
        if not largest:
            return None
        ratio = min(_SMALLER[size] * largest.ratio, self._smallest_ratio)
        if ratio <= largest.ratio:
            return largest
        body = self.kit.context.vehicle.layout.width * look.drawing_scale
        try:
            return self._floor_plan(largest.room_mm - body / largest.ratio + body / ratio)
        except SheetTooSmallError:
            return largest

    def _floor_plan(
        self, height: float, width: float = 0.0, orientation: Orientation = "landscape", most: int = MOST
    ) -> FloorPlan:
        """A plan of so high a room, as wide as the page or at most so wide, not smaller than 1 : most."""
        others = [p for p in self.kit.context.vehicle.points if p not in self.points]
        wide = width or self.kit.look.width
        return floor_plan(self.kit, self.points, wide, height, orientation, ghosts=others, most=most)
