"""Numbers with empty lines to fill in, and the answers: pages in columns that end alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, repeat

from guidegen.documents.context import Context
from guidegen.documents.form_page import GUTTER_MM, SIDE_MM, FormPage
from guidegen.documents.parts import INK, KeyRow
from guidegen.documents.training_rows import BLANK_ROW_MM, BlankKeyRow, MeasuredRow
from guidegen.documents.writing import Blank, BlankRow
from guidegen.drawing.primitives import Group, Sheet
from guidegen.paper.blocks import Block
from guidegen.paper.flow import Frame, Placed, all_in, draw_all, fill, flow, flow_balanced
from guidegen.paper.text import DoesNotFit, TextStyle
from guidegen.plan.markers import colour_of
from guidegen.vehicle.model import ServicePoint

KEY = TextStyle(8.5, colour=INK, leading=1.2, language="en")
_NAMED_MM = 8.0
_MOST_PITCH_MM = 13.0
_COLUMN_MM = 58.0  # of a key, before it is enlarged
_FEW = 4  # rows a column: so few are counted at a glance
_STEP, _LARGEST = 0.05, 36  # of enlarging: by this, so many times at most


def numbered_row(
    context: Context, point: ServicePoint, style: TextStyle = KEY, *, place: bool = True
) -> Block:
    """Badge, symbol, name and place of a point."""
    row = KeyRow(
        number=point.number,
        name_text=point.name,
        place=point.place if place else "",
        symbol_name=context.trade.kinds[point.kind].symbol_on(context.vehicle.facts),
        colour=colour_of(point, context.trade),
        style=style,
    )
    return MeasuredRow(block=row)


def in_columns(
    page: FormPage, rows: Sequence[Block], columns: int, below: float = 0.0, first: int = 2
) -> list[list[Placed]]:
    """The rows on as many pages as they need; the columns of the last page end alike.

    below: more room under the heads. first: the number of the first page in its document.
    """
    return in_frames(rows, page.frames(first, columns, below))


def in_frames(rows: Sequence[Block], frames: Sequence[Frame]) -> list[list[Placed]]:
    """The rows on pages of such frames, as many as they need."""
    columns = len(frames)
    placed = list(flow(rows, chain.from_iterable(repeat(frames))))
    whole = (len(placed) - 1) // columns * columns
    last = [one.block for column in placed[whole:] for one in column]
    placed[whole:] = (len(last) <= _FEW * columns and _dealt(last, frames)) or flow_balanced(last, frames)
    pages = [list(placed[n : n + columns]) for n in range(0, len(placed), columns)]
    return [[one for column in page_columns for one in column] for page_columns in pages]


def _dealt(rows: Sequence[Block], frames: Sequence[Frame]) -> tuple[tuple[Placed, ...], ...]:
    """As many rows in each column, the first with one more where they do not share out; () without room."""
    share, more = divmod(len(rows), len(frames))
    found, at = [], 0
    for n, frame in enumerate(frames):
        count = share + (n < more)
        column, over = fill(rows[at : at + count], frame)
        if over:
            return ()
        found.append(column)
        at += count
    return tuple(column for column in found if column)


def line_sheets(
    context: Context, points: Sequence[ServicePoint], page: FormPage, columns: int, first: int
) -> Iterator[Sheet]:
    """A line for each number, as many on every page; first: the number of the first of these pages."""
    high = page.frames(first, columns, _NAMED_MM + 2.0)[0].height
    sheets = max(1, -(-len(points) // (columns * int(high / BLANK_ROW_MM))))
    beside = -(-len(points) // (sheets * columns))
    pitch = min(_MOST_PITCH_MM, high / max(1, beside) - 1e-6)
    rows = [BlankKeyRow(number=p.number, colour=colour_of(p, context.trade), pitch_mm=pitch) for p in points]
    share = max(1, -(-len(rows) // sheets))
    shares = [rows[at : at + share] for at in range(0, len(rows), share)]
    pages = [one for some in shares for one in in_columns(page, some, columns, _NAMED_MM + 2.0, first)]
    for number, placed in enumerate(pages, first):
        correct = (
            f"Right on this page, of {len(placed)}" if len(pages) > 1 else f"Right answers, of {len(placed)}"
        )
        named = BlankRow(blanks=(Blank("Name", share=1.8), Blank("Date"), Blank(correct, share=1.1)))
        head = named.draw(SIDE_MM, page.top(number), page.width)
        yield page.sheet((*head, *draw_all(placed)), number, len(pages) + first - 1)


def answer_sheets(
    context: Context, points: Sequence[ServicePoint], page: FormPage, columns: int, first: int
) -> Iterator[Sheet]:
    """The name and place of each number, enlarged as far as the pages hold it that it takes."""
    rows = [numbered_row(context, p) for p in points]
    frames = page.frames(first, columns)
    pages, times = in_frames(rows, frames), 1.0
    frame = Frame(frames[0].x, frames[0].y, page.width, frames[0].height)
    larger = enlarged(rows, frame, len(pages))
    if larger:
        pages, times = larger
    for number, placed in enumerate(pages, first):
        items = Group(draw_all(placed), transform=(times, 0.0, 0.0, times, 0.0, 0.0))
        yield page.sheet((items,), number, len(pages) + first - 1)


def enlarged(
    rows: Sequence[Block], frame: Frame, most: int, steps: int = _LARGEST
) -> tuple[list[list[Placed]], float] | None:
    """The rows in columns, ready to be enlarged as often as `most` pages of one frame still hold them.

    steps: how many steps larger at most. None where one step is too much.
    """
    too_large, fits = steps + 1, 0
    while too_large - fits > 1:
        middle = (too_large + fits) // 2
        if _hold(_columns(frame, 1.0 + middle * _STEP) * most, rows):
            fits = middle
        else:
            too_large = middle
    times = 1.0 + fits * _STEP
    return (in_frames(rows, _columns(frame, times)), times) if fits else None


def _hold(frames: Sequence[Frame], rows: Sequence[Block]) -> bool:
    """Whether the frames hold all the rows, of which there are some."""
    try:
        return bool(rows) and all_in(rows, frames) is not None
    except DoesNotFit:  # a word is too wide
        return False


def _columns(frame: Frame, times: float) -> tuple[Frame, ...]:
    """As many columns as the frame has room for when they are enlarged so many times, before that is done."""
    x, y, width, height = (one / times for one in (frame.x, frame.y, frame.width, frame.height))
    count = int((width + GUTTER_MM) // (_COLUMN_MM + GUTTER_MM))
    column = (width - (count - 1) * GUTTER_MM) / max(1, count)
    return tuple(Frame(x + n * (column + GUTTER_MM), y, column, height) for n in range(count))
