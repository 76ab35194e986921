"""Flow: blocks fill frames in order; nothing is lost, cut or laid over something else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import accumulate, chain, pairwise

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block, Heading, gap_mm
from guidegen.paper.groups import original, resumed
from guidegen.paper.sheets import on_grid
from guidegen.paper.text import DoesNotFit

_SLACK_MM = 1e-6
_ROUNDED_MM = 0.01  # more than all sums of a page are rounded by, the slack of its frames with it
_FEWEST = 3  # blocks at the head of a column before the next heading: fewer look left over


class Frame(Struct, frozen=True):
    """A box on a page that blocks fill; tops of blocks stand on the grid when it has one."""

    x: float
    y: float
    width: float
    height: float
    grid_mm: float = 0.0


class Placed(Struct, frozen=True):
    """A block in its place."""

    block: Block
    x: float
    y: float
    width: float
    height: float

    def draw(self) -> tuple[Item, ...]:
        return self.block.draw(self.x, self.y, self.width)


def draw_all(placed: Iterable[Placed]) -> tuple[Item, ...]:
    """The items of all blocks placed."""
    return tuple(chain.from_iterable([one.draw() for one in placed]))


def flow(blocks: Sequence[Block], frames: Iterable[Frame]) -> tuple[tuple[Placed, ...], ...]:
    """The blocks placed in the frames, one tuple for each frame used.

    A generator of frames may go on for ever: only as many are taken as are filled. Blocks that would stand
    together are parted where they are higher than a whole frame. Raises DoesNotFit when the frames run out,
    or when a block that must not split is higher than its frame and the next.
    """
    return _flow(blocks, frames, _loosened)


def _flow(
    blocks: Sequence[Block],
    frames: Iterable[Frame],
    loosen: Callable[[tuple[Block, ...], Frame], tuple[Block, ...]],
) -> tuple[tuple[Placed, ...], ...]:
    pages: list[tuple[Placed, ...]] = []
    rest = tuple(blocks)
    supply = iter(frames)
    frame, last = next(supply, None), None
    while rest:
        if frame is None:
            raise _overflow(rest, last, 0.0)
        placed, left = fill(rest, frame)
        if not placed and left:  # the next frame may be larger
            last, frame = frame, next(supply, None)
            if frame and not _no_larger(frame, last):
                pages.append(())
                continue
            while not placed and left:
                rest = loosen(rest, last)
                placed, left = fill(rest, last)
        else:
            last, frame = frame, next(supply, None) if left else None
        pages.append(placed)
        rest = left
    return tuple(pages)


def _no_larger(frame: Frame, last: Frame) -> bool:
    return frame.height <= last.height and frame.width <= last.width


def _refused(blocks: tuple[Block, ...], frame: Frame) -> tuple[Block, ...]:
    raise _overflow(blocks[: _chunk_end(blocks, 0)], frame, frame.height)


def _loosened(blocks: tuple[Block, ...], frame: Frame) -> tuple[Block, ...]:
    """The blocks with one wish less of the first run, which is higher than a whole frame.

    A run is parted after its first block that is no heading; one that is whole is allowed to split.
    """
    end = _chunk_end(blocks, 0)
    for n in range(end - 1):
        if not isinstance(blocks[n], Heading):
            return (*blocks[:n], replace(blocks[n], keep_with_next=False), *blocks[n + 1 :])
    if blocks[end - 1].keep_together:
        loose = replace(blocks[end - 1], keep_together=False)
        if loose.split(frame.width, frame.height) is not None:
            return (*blocks[: end - 1], loose, *blocks[end:])
    return _refused(blocks, frame)


def flow_balanced(blocks: Sequence[Block], frames: Sequence[Frame]) -> tuple[tuple[Placed, ...], ...]:
    """As flow, into frames side by side made as short as still hold everything, so that all end alike."""
    tallest = max(frame.height for frame in frames)
    best = _flow(blocks, frames, _refused)
    least = _least_mm(blocks, frames)
    low, high = 0.0, max((_foot(page) for page in best), default=0.0)
    while high - low > 0.25:
        middle = (low + high) / 2
        lower = [_shortened(frame, min(middle, tallest)) for frame in frames]
        found = all_in(blocks, lower) if least <= sum([frame.height for frame in lower]) else None
        if found is None:
            low = middle
        else:
            best, high = found, min(middle, max((_foot(page) for page in found), default=0.0))
    return best


def _least_mm(blocks: Sequence[Block], frames: Sequence[Frame]) -> float:
    """Of the heights of frames of one width together: what the blocks take at least, however they part."""
    width = frames[0].width
    if any(frame.width != width for frame in frames):
        return 0.0
    kept = [block for block in blocks if not block.between_only]
    heights = sum([block.height_mm(width) for block in kept if block.keep_together])
    gaps = [gap_mm(above, below) for above, below in pairwise(kept)]
    return heights + sum(gaps) - (len(frames) - 1) * max(gaps, default=0.0) - _ROUNDED_MM


def all_in(blocks: Sequence[Block], frames: Sequence[Frame]) -> tuple[tuple[Placed, ...], ...] | None:
    """The blocks in the frames, one tuple for each frame used; None when some are left over.

    As flow, but no wish of theirs is passed over.
    """
    pages: list[tuple[Placed, ...]] = []
    rest = tuple(blocks)
    for frame in frames:
        if not rest:
            break
        placed, rest = fill(rest, frame)
        pages.append(placed)
    return None if rest else tuple(pages)


def evened(
    columns: Sequence[tuple[Placed, ...]],
    frames: Sequence[Frame],
    amid: Callable[[Block], bool] = lambda block: block.carried is not None,
    whole_mm: float = 12.0,
) -> tuple[tuple[Placed, ...], ...]:
    """Two columns of a last page cut anew so that they end alike, where that can be done.

    amid: whether a block belongs to a group that is begun before it. whole_mm: by how much higher the columns
    may be so that such a group stays whole.
    """
    blocks = [original(one.block) for column in columns for one in column]
    wishes: tuple[Callable[[Block], float], ...] = (lambda block: whole_mm * amid(block), lambda _: 0.0)
    for worse_mm in wishes:
        cut, _ = best_cut(blocks, frames[0].width, worse_mm)
        (left, over), (right, more) = fill(blocks[:cut], frames[0]), fill(blocks[cut:], frames[1])
        if not (over or more):
            return (left, right)
    return tuple(columns)


def best_cut(
    blocks: Sequence[Block], width_mm: float, worse_mm: Callable[[Block], float] = lambda _: 0.0
) -> tuple[int, float]:
    """How many blocks belong in the first of two columns that end alike, and the height of the higher.

    No column begins with one or two blocks and then a heading, where it can begin otherwise. worse_mm: by how
    much higher the columns may be for the second not to begin with a block.
    """
    heights = [block.height_mm(width_mm) for block in blocks]
    gaps = [gap_mm(above, below) for above, below in pairwise(blocks)]
    foot = list(accumulate((h + g for h, g in zip(heights, (0.0, *gaps), strict=False)), initial=0.0))
    cuts = [n for n in range(1, len(blocks)) if not blocks[n - 1].keep_with_next]

    def again(block: Block) -> float:
        return resumed(block).height_mm(width_mm) - block.height_mm(width_mm)

    first = again(blocks[0]) if blocks else 0.0

    def height(cut: int) -> float:
        return max(first + foot[cut], again(blocks[cut]) + foot[-1] - foot[cut] - gaps[cut - 1])

    def leaves_few(cut: int) -> bool:
        if isinstance(blocks[cut], Heading):
            return False
        return any(isinstance(block, Heading) for block in blocks[cut + 1 : cut + _FEWEST])

    found = ((leaves_few(n), height(n) + worse_mm(blocks[n]), n) for n in cuts)
    *_, cut = min(found, default=(len(blocks),))
    return cut, height(cut) if cut < len(blocks) else first + foot[-1]


def fill(blocks: Sequence[Block], frame: Frame) -> tuple[tuple[Placed, ...], tuple[Block, ...]]:
    """What of the blocks fits in one frame, and the rest."""
    placed: list[Placed] = []
    at = 0
    foot = frame.y
    blocks = tuple(blocks)
    while at < len(blocks):
        if not placed and blocks[at].between_only:
            at += 1
            continue
        end = _chunk_end(blocks, at)
        last = placed[-1] if placed else None
        chunk, fits, rest = _place_chunk(_begun(blocks[at:end], last), last, foot, frame)
        if not (fits or chunk or placed):  # better without its heading again than not at all
            chunk, fits, rest = _place_chunk(blocks[at:end], last, foot, frame)
        placed += chunk
        if not fits:
            while not chunk and _ends_idly(placed):
                placed.pop()
            return tuple(placed), (*(rest if chunk else blocks[at:end]), *blocks[end:])
        foot = placed[-1].y + placed[-1].height
        at = end
    return tuple(placed), ()


def _begun(chunk: tuple[Block, ...], above: Placed | None) -> tuple[Block, ...]:
    """The chunk as it stands below that, with what it carries at the head of a frame."""
    return chunk if above or not chunk[0].carried else (resumed(chunk[0]), *chunk[1:])


def stack_height_mm(blocks: Sequence[Block], width_mm: float) -> float:
    """Of blocks one below the other, with the spaces between them."""
    heights = sum([block.height_mm(width_mm) for block in blocks])
    return heights + sum([gap_mm(above, below) for above, below in pairwise(blocks)])


def draw_stack(blocks: Sequence[Block], x: float, y: float, width_mm: float) -> tuple[Item, ...]:
    """The blocks one below the other from y downwards."""
    items: list[Item] = []
    above: Block | None = None
    for block in blocks:
        y += gap_mm(above, block) if above else 0.0
        items += block.draw(x, y, width_mm)
        y += block.height_mm(width_mm)
        above = block
    return tuple(items)


def _chunk_end(blocks: Sequence[Block], start: int) -> int:
    """One past the run of blocks that must stand together with the one they lead to."""
    end = start
    while end < len(blocks) - 1 and blocks[end].keep_with_next:
        end += 1
    return end + 1


def _place_chunk(
    chunk: Sequence[Block], above: Placed | None, foot: float, frame: Frame
) -> tuple[list[Placed], bool, tuple[Block, ...]]:
    """The chunk placed below what stands above, whether whole, and what is left over.

    Nothing is placed when not even a part may stand here.
    """
    placed: list[Placed] = []
    width, bottom = frame.width, frame.y + frame.height
    last = above.block if above else None
    for number, block in enumerate(chunk):
        y = foot + gap_mm(last, block) if last else foot
        y = frame.y + on_grid(y - frame.y, frame.grid_mm) if frame.grid_mm else y
        height = block.height_mm(width)
        if y + height > bottom + _SLACK_MM:
            cut = None if block.keep_together else block.split(width, bottom - y)
            if cut is None:
                return [], False, ()
            head, tail = cut
            placed.append(Placed(head, frame.x, y, width, head.height_mm(width)))
            return placed, False, (tail, *chunk[number + 1 :])
        placed.append(Placed(block, frame.x, y, width, height))
        foot, last = y + height, block
    return placed, True, ()


def _ends_idly(placed: Sequence[Placed]) -> bool:
    """Whether the last block stands between nothing, and no heading would end the page without it."""
    if not placed or not placed[-1].block.between_only:
        return False
    return len(placed) < 2 or not placed[-2].block.keep_with_next


def _foot(page: Sequence[Placed]) -> float:
    return max((one.y + one.height for one in page), default=0.0) - min((one.y for one in page), default=0.0)


def _shortened(frame: Frame, height: float) -> Frame:
    return Frame(frame.x, frame.y, frame.width, min(height, frame.height), frame.grid_mm)


def _overflow(rest: Sequence[Block], frame: Frame | None, room_mm: float) -> DoesNotFit:
    over = stack_height_mm(rest, frame.width) - room_mm if frame else 0.0
    return DoesNotFit(rest[0].name, over, place="the space there is")
