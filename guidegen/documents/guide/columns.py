"""Text set in columns: over as many pages as it needs, or whole below something else, none of it wasted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import cached_property
from itertools import repeat
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.guide.pages import Kit
from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block, Heading
from guidegen.paper.containers import Stack, closer
from guidegen.paper.flow import Frame, Placed, best_cut, draw_all, evened, fill, flow, stack_height_mm
from guidegen.paper.text import DoesNotFit

CLOSER = (0.8, 0.6, 0.5)  # shares of the white between blocks that still part them
SHARES = (0.5, 0.45, 0.55, 0.4)  # of the width, for the first of two texts side by side
_HOPEFUL = 0.5  # of what is to be saved: columns that end in blocks too high for them give some more
_LONELY = 0.2  # of a page's height: less looks left over
ENOUGH = 0.45  # of a last page: less looks left over
_HALVES = (0.5, 0.55, 0.6, 0.7)  # of the last two pages' text, for the first of them: blocks do not part
_FREEST = 2.0  # times the white between blocks: more would part what belongs together


class Laid(Struct, frozen=True):
    """Blocks placed on pages, before they are drawn."""

    pages: tuple[tuple[Placed, ...], ...]

    @property
    def last_mm(self) -> float:
        """How much of a column the last page takes, all its columns one below the other."""
        return _taken_mm(self.pages[-1])

    @property
    def taken_mm(self) -> float:
        """As `last_mm`, of all pages."""
        return sum(map(_taken_mm, self.pages))

    @property
    def last_two_mm(self) -> tuple[float, float]:
        """As `last_mm`, of the page before the last and the last."""
        return _taken_mm(self.pages[-2]), self.last_mm

    @property
    def foot(self) -> float:
        """Where the text of the last page ends."""
        return max((one.y + one.height for one in self.pages[-1]), default=0.0)

    def drawn(self, *first: Item) -> list[tuple[Item, ...]]:
        """The pages' items, those of the first page behind what is given."""
        pages = [draw_all(page) for page in self.pages]
        return [(*first, *pages[0]), *pages[1:]]


def _taken_mm(page: Sequence[Placed]) -> float:
    columns: dict[float, list[Placed]] = {}
    for one in page:
        columns.setdefault(one.x, []).append(one)
    return sum(max(o.y + o.height for o in c) - min(o.y for o in c) for c in columns.values())


def in_columns(
    kit: Kit, blocks: Sequence[Block], first: Sequence[Frame] = (), count: int = 0, halved: bool = False
) -> Laid:
    """Blocks in the frames of a first page, then in `count` columns a page (the look's own when 0).

    Where that saves a last page with little on it, they stand closer; where it does not, and in one column,
    all below a heading comes to stand on it. halved: else half of what the last two pages hold; nothing then
    follows the text.
    """
    beside = count or kit.look.columns
    laid = _saved(kit, blocks, first, beside)
    return _parted(kit, blocks, first, laid, ENOUGH, halved) if beside == 1 else laid


def flowed(kit: Kit, blocks: Sequence[Block], at: float = 0.0, least: float = _LONELY) -> Laid:
    """Blocks in the whole width of as many pages as they need, from `at` down on the first.

    least: of a page's height that the last one is to take, where headings allow it.
    """
    first = kit.look.split(1, at) if at else ()
    return _parted(kit, blocks, first, _saved(kit, blocks, first, 1), least)


def freer(
    kit: Kit, blocks: Sequence[Block], first: Sequence[Frame], wanted_mm: float, count: int = 0
) -> Laid:
    """Blocks with more white, so that the last page takes about so much of a column; never a page more.

    count: columns of a page, the look's own when 0.
    """
    beside = count or kit.look.columns
    laid = _in_columns(kit, blocks, first, beside)
    missing = wanted_mm - laid.last_mm
    if missing <= 0:
        return laid
    width = kit.look.split(beside)[0].width
    white = (stack_height_mm(blocks, width) - stack_height_mm(closer(blocks, 0.5), width)) * 2
    share = 1 + missing / white if white else _FREEST
    for more in (share, share + 0.25):  # rows that do not split give now less, now more
        other = _in_columns(kit, closer(blocks, min(_FREEST, more)), first, beside)
        if len(other.pages) == len(laid.pages) and other.last_mm > laid.last_mm:
            laid = other
        if laid.last_mm >= wanted_mm or more >= _FREEST:
            break
    return laid


def _saved(kit: Kit, blocks: Sequence[Block], first: Sequence[Frame], beside: int) -> Laid:
    """The blocks as they are or, where that saves a page, closer."""
    laid = _in_columns(kit, blocks, first, beside)
    if len(laid.pages) == 1:
        return laid
    width = kit.look.split(beside)[0].width
    closest = closer(blocks, CLOSER[-1])
    white = (stack_height_mm(blocks, width) - stack_height_mm(closest, width)) / (1 - CLOSER[-1])
    if (1 - CLOSER[-1]) * white < _HOPEFUL * laid.last_mm:
        return laid
    saved = _in_columns(kit, closest, first, beside)
    if len(saved.pages) == len(laid.pages):
        return laid
    for share in CLOSER[:-1]:
        if (1 - share) * white >= _HOPEFUL * laid.last_mm:
            other = _in_columns(kit, closer(blocks, share), first, beside)
            if len(other.pages) < len(laid.pages):
                return other
    return saved


def _parted(
    kit: Kit,
    blocks: Sequence[Block],
    first: Sequence[Frame],
    laid: Laid,
    least: float,
    halved: bool = False,
) -> Laid:
    """One column of text with all below a heading on the last page, instead of the little that it has.

    From the headings the one that parts the last two pages most evenly; where none fills the last as far as
    that, they part amid what stands below one.
    """
    if len(laid.pages) == 1 or laid.last_mm >= least * kit.look.height:
        return laid
    found = [(laid.last_mm, laid)]
    for start in reversed([n for n in range(1, len(blocks)) if _begins(blocks[n - 1], blocks[n])]):
        after = _in_columns(kit, blocks[start:], (), 1)
        if len(after.pages) > 1:
            break
        before = _in_columns(kit, blocks[:start], first, 1)
        if len(before.pages) == len(laid.pages) - 1:
            other = Laid((*before.pages, *after.pages))
            found.append((min(before.last_mm, after.last_mm), other))
    most, best = max(found, key=lambda one: one[0])
    return _halved(kit, blocks, first, best) if halved and most < least * kit.look.height else best


def _halved(kit: Kit, blocks: Sequence[Block], first: Sequence[Frame], laid: Laid) -> Laid:
    """One column of text with its last two pages filled alike, as far as blocks that stay whole allow."""
    whole, count = kit.look.whole, len(laid.pages)
    frames = [*first, *repeat(whole, count - len(first))]
    one = frames[count - 2]
    both = sum(laid.last_two_mm)
    found = [laid]
    for share in _HALVES:
        frames[count - 2] = replace(one, height=min(one.height, share * both))
        with suppress(DoesNotFit):
            placed = flow(blocks, frames)
            if len(placed) == count and all(placed):
                found.append(Laid(placed))
    return max(found, key=lambda one: min(one.last_two_mm))


def _begins(above: Block, block: Block) -> bool:
    """Whether a section begins with the block, and may begin a page."""
    while isinstance(block, Stack) and block.blocks:
        block = block.blocks[0]
    return isinstance(block, Heading) and not above.keep_with_next


def _in_columns(kit: Kit, blocks: Sequence[Block], first: Sequence[Frame], beside: int) -> Laid:
    def frames() -> Iterator[Frame]:
        yield from first
        while True:
            yield from kit.look.split(beside)

    try:
        placed = flow(blocks, frames())
    except DoesNotFit:
        if not first:
            raise
        # The rest of the first page is too low.
        return Laid(((), *_in_columns(kit, blocks, (), beside).pages))
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
    room = kit.look.bottom - top
    for white in (1.0, CLOSER[0]):
        found = pair(kit, closer(left, white), closer(right, white), room)
        if found and found.height <= room:
            return Laid((found.at(top),))
    return None


class Whole(Struct, frozen=True, dict=True):
    """A text in columns from y = 0 down, nothing of it left over, and how high it is."""

    columns: tuple[tuple[tuple[Block, ...], Frame], ...]
    height: float

    @cached_property
    def placed(self) -> tuple[Placed, ...]:
        """Its blocks; most texts are only measured, to see which way is best."""
        frames = [(text, replace(frame, height=self.height)) for text, frame in self.columns]
        return tuple(one for text, frame in frames for one in fill(text, frame)[0])

    def at(self, y: float) -> tuple[Placed, ...]:
        """The same from y down."""
        return tuple(replace(one, y=one.y + y) for one in self.placed)


def pair(
    kit: Kit,
    left: Sequence[Block],
    right: Sequence[Block],
    room: float = 0.0,
    shares: Sequence[float] = SHARES,
) -> Whole | None:
    """One text in each of two columns: of the widths the first with which both fit the room, else the lowest.

    None where the look has no two columns, or a picture or a word is wider than its own.
    """
    if max(kit.look.columns, kit.look.list_columns) < 2:
        return None
    frames = kit.look.split(2, 0.0)
    height, best = inf, 0.0
    for share in shares:
        both = [*zip((left, right), _shared(frames, share), strict=True)]
        with suppress(DoesNotFit):
            higher = 0.0
            for text, frame in both if share < 0.5 else reversed(both):  # the narrower first
                higher = max(higher, stack_height_mm(text, frame.width))
                if higher >= height:
                    break
            else:
                height, best = higher, share
        if height <= room:
            break
    if not best:
        return None
    one, other = _shared(frames, best)
    return Whole(((tuple(left), one), (tuple(right), other)), height)


def ordered(kit: Kit, blocks: Sequence[Block]) -> Whole:
    """The blocks in the look's columns, which end as nearly alike as can be."""
    blocks, frames = tuple(blocks), kit.look.split(kit.look.columns, 0.0)
    if len(frames) == 1:
        return Whole(((blocks, frames[0]),), stack_height_mm(blocks, frames[0].width))
    cut, height = best_cut(blocks, frames[0].width)
    return Whole(((blocks[:cut], frames[0]), (blocks[cut:], frames[1])), height)


def _shared(frames: Sequence[Frame], share: float) -> tuple[Frame, Frame]:
    """Two columns side by side, the first with that share of their width."""
    one, other = frames
    moved_mm = (1 - 2 * share) * one.width
    return (
        replace(one, width=one.width - moved_mm),
        replace(other, x=other.x - moved_mm, width=other.width + moved_mm),
    )
