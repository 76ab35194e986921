"""Chapters of finished pages, and how they are bound: running heads, page numbers, inner margins, outline."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.guide.look import Look
from guidegen.documents.parts import SOFT_INK
from guidegen.drawing.primitives import Destination, Group, Item, Line, Sheet, Style, Text, moved
from guidegen.paper.blocks import Block, Heading
from guidegen.paper.containers import closer
from guidegen.paper.flow import Frame as TextFrame
from guidegen.paper.flow import Placed, draw_all, evened, fill, flow, stack_height_mm
from guidegen.paper.text import DoesNotFit, TextStyle
from guidegen.plan.body import draw_vehicle
from guidegen.plan.frame import Frame

_CLOSER = (0.8, 0.6, 0.5)  # shares of the white between blocks that still part them
_HOPEFUL = 0.75  # of what is to be saved: columns that end in blocks too high for them give some more
_LONELY = 0.2  # of a page's height: less looks left over
_SHARES = (0.5, 0.45, 0.55, 0.4)  # of the width, for the first of two texts side by side


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

    @cached_property
    def _drawn(self) -> dict[tuple[float, str, bool], tuple[Item, ...]]:
        return {}


class Chapter(Struct, frozen=True):
    """Pages with x from the frame's left edge and y from the sheet's top; `id` names its destination."""

    id: str
    title: str
    pages: tuple[tuple[Item, ...], ...]
    colour: str = ""
    listed: bool = True  # in the contents

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


def flowed(kit: Kit, blocks: Sequence[Block]) -> list[tuple[Item, ...]]:
    """Blocks in the whole width of as many pages as they need."""
    return in_columns(kit, blocks, (), 1).drawn()


class Laid(Struct, frozen=True):
    """Blocks placed on pages, before they are drawn."""

    pages: tuple[tuple[Placed, ...], ...]

    @property
    def last_mm(self) -> float:
        """How much of a column the last page takes, all its columns one below the other."""
        columns: dict[float, list[Placed]] = {}
        for one in self.pages[-1]:
            columns.setdefault(one.x, []).append(one)
        return sum(max(o.y + o.height for o in c) - min(o.y for o in c) for c in columns.values())

    def drawn(self, *first: Item) -> list[tuple[Item, ...]]:
        """The pages' items, those of the first page behind what is given."""
        pages = [draw_all(page) for page in self.pages]
        return [(*first, *pages[0]), *pages[1:]]


def in_columns(kit: Kit, blocks: Sequence[Block], first: Sequence[TextFrame] = (), count: int = 0) -> Laid:
    """Blocks in the frames of a first page, then in `count` columns a page (the look's own when 0).

    Where that saves a last page with little on it, they stand closer; where it does not, and in one column,
    all below the last heading comes to stand on it.
    """
    beside = count or kit.look.columns
    laid = _in_columns(kit, blocks, first, beside)
    if len(laid.pages) == 1:
        return laid
    width = kit.look.split(beside)[0].width
    for share in _CLOSER:
        tighter = closer(blocks, share)
        saved = stack_height_mm(blocks, width) - stack_height_mm(tighter, width)
        if saved < _HOPEFUL * laid.last_mm:
            continue
        other = _in_columns(kit, tighter, first, beside)
        if len(other.pages) < len(laid.pages):
            return other
    if beside == 1 and laid.last_mm < _LONELY * kit.look.height:
        return _parted(kit, blocks, first, laid)
    return laid


def _parted(kit: Kit, blocks: Sequence[Block], first: Sequence[TextFrame], laid: Laid) -> Laid:
    """The text with the last heading and all below it on the last page, instead of a few rows of it."""
    starts = [n for n in range(1, len(blocks)) if isinstance(blocks[n], Heading)]
    starts = [n for n in starts if not blocks[n - 1].keep_with_next]
    if not starts:
        return laid
    before = _in_columns(kit, blocks[: starts[-1]], first, 1)
    if before.last_mm < laid.last_mm:  # or that page would look more left over than this
        return laid
    after = _in_columns(kit, blocks[starts[-1] :], (), 1)
    pages = (*before.pages, *after.pages)
    return Laid(pages) if len(pages) == len(laid.pages) else laid


def _in_columns(kit: Kit, blocks: Sequence[Block], first: Sequence[TextFrame], beside: int) -> Laid:
    def frames() -> Iterator[TextFrame]:
        yield from first
        while True:
            yield from kit.look.split(beside)

    try:
        placed = flow(blocks, frames())
    except DoesNotFit:
        if not first:
            raise
        return Laid(
            ((), *_in_columns(kit, blocks, (), beside).pages)
        )  # the rest of the first page is too low
    rest = placed[len(first) :]
    pages = [placed[: len(first)]] if first else []
    pages += [rest[n : n + beside] for n in range(0, len(rest), beside)]
    if beside == 2:
        frames_there = list(first) if len(pages) == 1 and first else kit.look.split(beside)
        pages[-1] = evened(pages[-1], frames_there)
    return Laid(tuple(tuple(one for column in page for one in column) for page in pages))


def paired(kit: Kit, left: Sequence[Block], right: Sequence[Block], top: float) -> Laid | None:
    """One text in each of two columns from `top` down; None where they do not fit on the page.

    The columns are alike where that will do, else one is wider, else all stands closer.
    """
    if max(kit.look.columns, kit.look.list_columns) < 2:
        return None
    frames = kit.look.split(2, top)
    if not (_may_fit(left, frames[0], max(_SHARES)) and _may_fit(right, frames[1], 1 - min(_SHARES))):
        return None
    for white in (1.0, _CLOSER[0]):
        for share in _SHARES:
            one, other = _shared(frames, share)
            try:
                placed, over = fill(closer(left, white), one)
                beside, more = fill(closer(right, white), other)
            except DoesNotFit:  # a picture or a word wider than its column
                continue
            if not over and not more:
                return Laid(((*placed, *beside),))
    return None


def _may_fit(text: Sequence[Block], frame: TextFrame, share: float) -> bool:
    """Whether a text is low enough for its column when that is widest and all stands closer."""
    try:
        return stack_height_mm(closer(text, _CLOSER[0]), 2 * share * frame.width) <= frame.height
    except DoesNotFit:
        return False


def _shared(frames: Sequence[TextFrame], share: float) -> tuple[TextFrame, TextFrame]:
    """Two columns side by side, the first with that share of their width."""
    one, other = frames
    moved_mm = (1 - 2 * share) * one.width
    return (
        replace(one, width=one.width - moved_mm),
        replace(other, x=other.x - moved_mm, width=other.width + moved_mm),
    )


def headed(kit: Kit, *head: Block) -> tuple[tuple[Item, ...], float]:
    """What opens a chapter, drawn, and where its text may begin."""
    placed, _ = fill(head, kit.look.whole)
    return draw_all(placed), max(one.y + one.height for one in placed) + 4.0


def bind(kit: Kit, bound: Sequence[Bound], cover: Sequence[tuple[Item, ...]]) -> tuple[Sheet, ...]:
    """The sheets of the book: the cover's pages without heads, then every chapter's with them."""
    sheets = [
        _sheet(kit, number, items, "Contents" if number > 1 else "") for number, items in enumerate(cover, 1)
    ]
    for one in bound:
        sheets += [
            _sheet(kit, number, items, one.chapter.title)
            for number, items in enumerate(one.chapter.pages, one.first)
        ]
    return tuple(sheets)


def _sheet(kit: Kit, number: int, items: tuple[Item, ...], title: str) -> Sheet:
    look = kit.look
    x = look.inner if number % 2 else look.outer
    furniture = tuple(_furniture(kit, number, title)) if number > 1 else ()
    name = f"{number} {title or kit.context.vehicle.name}"
    page = Destination(f"page-{number}", look.top)
    content: tuple[Item, ...] = (page, moved((*furniture, *items), x, 0.0))
    return Sheet(look.paper.width_mm, look.paper.height_mm, content, name)


def _furniture(kit: Kit, number: int, title: str) -> Iterator[Item]:
    """The running head, vehicle inside and chapter outside, and the page number at the outer foot."""
    look, width = kit.look, kit.look.width
    odd = number % 2 == 1
    room = (width - 6.0) / 2
    names = (kit.context.vehicle.name, title)
    for text, side, weight in zip(names, (odd, not odd), ("regular", "bold"), strict=True):
        style = TextStyle(look.running.size_pt, "bold" if weight == "bold" else "regular", SOFT_INK)
        shown = _shortened(text, room, style)
        x, anchor = (0.0, "start") if side else (width, "end")
        yield Text(
            x,
            look.head,
            shown,
            style.size_pt,
            style.weight,
            SOFT_INK,
            "start" if anchor == "start" else "end",
        )
    y = look.head + 2.2
    yield Line(((0.0, y), (width, y)), Style(stroke=SOFT_INK, width_mm=0.18))
    figure = look.body.size_pt
    yield Text(
        width if odd else 0.0, look.foot, str(number), figure, "bold", SOFT_INK, "end" if odd else "start"
    )
    dealer = kit.context.vehicle.dealer
    if dealer:
        said = "   ".join(word for word in (dealer.name, dealer.phone) if word)
        shown = _shortened(said, width - 14.0, look.running)
        yield Text(
            0.0 if odd else width,
            look.foot,
            shown,
            look.running.size_pt,
            "regular",
            SOFT_INK,
            "start" if odd else "end",
        )


def _shortened(text: str, room_mm: float, style: TextStyle) -> str:
    """A running head as long as there is room: it repeats what stands in full elsewhere."""
    if style.width_mm(text) <= room_mm:
        return text
    while text and style.width_mm(text.rstrip() + "…") > room_mm:
        text = text[:-1]
    return text.rstrip() + "…"


def enlarged(kit: Kit, items: Sequence[Item], x: float, y: float) -> Group:
    """A drawing at the look's scale, its origin at x, y."""
    s = kit.look.drawing_scale
    return Group(tuple(items), transform=(s, 0.0, 0.0, s, x, y))
