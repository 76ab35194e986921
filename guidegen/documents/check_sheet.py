"""The check sheet: every point with three boxes and a reading, the readings, what goes out, remarks.

Two A4 sides where the points allow it. Printed empty it is filled in with a pen; on screen it is a form.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.check_rows import (
    CHECKS,
    CLOSE_PAD_MM,
    COLUMN_HEADS_MM,
    INLINE_PAD_MM,
    PAD_MM,
    REMARKS_AGAIN,
    CheckRow,
    ReadingRow,
    ReadingsHead,
    column_heads,
)
from guidegen.documents.context import Context
from guidegen.documents.form_page import SIDE_MM, FormPage, page_of
from guidegen.documents.handed_over import thing_rows
from guidegen.documents.parts import INK
from guidegen.documents.writing import LINE_MM, Blank, BlankRow, Lines, side_by_side
from guidegen.drawing.primitives import Document, Item
from guidegen.paper.blocks import Block, Heading, Paragraph, Spacer
from guidegen.paper.containers import KeepTogether, Stack
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.sheets import A4
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.markers import colour_of
from guidegen.trade.records import Reading
from guidegen.vehicle.description import Check
from guidegen.vehicle.model import day_in_words, sought_mark
from guidegen.vehicle.readings import plain_name, readings_of, usual_words

_HEADING = TextStyle(11.0, "bold", INK)
_COLUMNS = 2
_LEAST_REMARKS = 4
_FEW = 6
_NOTE = (
    "Tick box 1, 2 or 3 when the point is where the sheet says and is in order. "
    "What fails goes under Remarks."
)
_OVER = {
    "Gas": "Gas: copy what a competent gas engineer measured.",
    "Tyres": "Tyres: bar at each check; the week and year made, such as 2223, once.",
}


class _Rows(Struct, frozen=True):
    """How the rows of the points are set."""

    inline: bool = False
    pad_mm: float = PAD_MM


_CLOSE, _INLINE = _Rows(pad_mm=CLOSE_PAD_MM), _Rows(inline=True, pad_mm=INLINE_PAD_MM)


class _Page(Struct, frozen=True):
    frames: tuple[Frame, ...]
    placed: tuple[tuple[Placed, ...], ...]


def compose(context: Context) -> Document:
    """The sheet for one vehicle; what its file says of the three checks is filled in."""
    vehicle = context.vehicle
    page = page_of(context, "Check sheet", A4, _NOTE)
    signing = _signing(context)
    first = signing.height_mm(page.width) + 3.0
    pages = _shortest(context, page, first)
    sheets = []
    for number, one in enumerate(pages, 1):
        items: list[Item] = list(signing.draw(SIDE_MM, page.top(), page.width)) if number == 1 else []
        items += _columns(one, last=number == len(pages))
        sheets.append(page.sheet(items, number, len(pages)))
    return Document(
        tuple(sheets),
        title=f"Check sheet: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="Every service point with three checks, and the readings",
    )


def _shortest(context: Context, page: FormPage, first: float) -> list[_Page]:
    """On two sides where they hold it; else on as few, none of which begins with the last few points.

    The rows move closer for that only, and a place runs on behind its name only where it saves a side.
    """
    best = roomy = _laid_out(page, first, tuple(_blocks(context, _Rows())))
    if len(roomy) > 2:
        close = _laid_out(page, first, tuple(_blocks(context, _CLOSE)))
        inline = _laid_out(page, first, tuple(_blocks(context, _INLINE)))
        best = min((roomy, close, inline), key=lambda pages: (len(pages), _few_points_over(pages)))
        if best is inline and len(inline) == len(close):
            best = close
    return best


def _few_points_over(pages: Sequence[_Page]) -> bool:
    """Whether a page after the first begins with a handful of points at most."""
    many = (sum(isinstance(one.block, CheckRow) for column in p.placed for one in column) for p in pages[1:])
    return any(0 < points <= _FEW for points in many)


def _check(context: Context, name: str) -> Check | None:
    return getattr(context.vehicle.checks, name, None)


def _signing(context: Context) -> Block:
    """Who checked, and when, three times side by side."""
    stacks = []
    for number, (name, words) in enumerate(CHECKS.items(), 1):
        check = _check(context, name)
        by, on = (check.by, day_in_words(check.on)) if check else ("", "")
        title = Paragraph(text=f"{number}  {words}", style=TextStyle(10.0, "bold", INK, 1.2))
        who = BlankRow(blanks=(Blank("By", f"{name}-by", by, tooltip=f"{words}: by"),))
        initials = Blank("Initials", f"{name}-initials", share=0.63, tooltip=f"{words}: initials")
        day = Blank("Date", f"{name}-date", on, tooltip=f"{words}: date")
        when = BlankRow(blanks=(initials, day), gap=3.0)
        stacks.append(Stack(blocks=(title, who, when), keep_together=True))
    return side_by_side(stacks)


def _laid_out(page: FormPage, first: float, blocks: Sequence[Block]) -> list[_Page]:
    """The blocks in columns, page after page; `first` is kept free at the top of the first page."""
    made: list[tuple[Frame, ...]] = []

    def supply() -> Iterator[Frame]:
        for number in count():
            below = COLUMN_HEADS_MM + (first if number == 0 else 0.0)
            made.append(page.frames(number + 1, _COLUMNS, below))
            yield from made[-1]

    columns = list(flow(blocks, supply()))
    columns += [()] * (-len(columns) % _COLUMNS)
    return [
        _Page(frames, tuple(columns[n * _COLUMNS : (n + 1) * _COLUMNS]))
        for n, frames in enumerate(made)
        if n * _COLUMNS < len(columns)
    ]


def _columns(page: _Page, last: bool) -> Iterator[Item]:
    """The columns of a page; on the last one, lines for remarks go on to the foot."""
    for number, (frame, placed) in enumerate(zip(page.frames, page.placed, strict=True), 1):
        if placed and isinstance(placed[0].block, CheckRow | ReadingRow):
            yield from column_heads(placed[0].block, frame)
        elif last and not placed:
            lines: Block = Lines(count=1, field=f"remarks-{number}", tooltip=REMARKS_AGAIN)
            beside = page.placed[0][0].block
            if isinstance(beside, CheckRow | ReadingRow):
                yield from column_heads(lines, frame)
            else:
                lines = KeepTogether(blocks=(Paragraph(text=REMARKS_AGAIN, style=_HEADING), lines))
            placed = (Placed(lines, frame.x, frame.y, frame.width, 0.0),)
        if last and isinstance(placed[-1].block, Lines | KeepTogether):
            placed, remarks = placed[:-1], placed[-1]
            yield from _to_foot(remarks, frame).draw(remarks.x, remarks.y, remarks.width)
        yield from draw_all(placed)


def _to_foot(remarks: Placed, frame: Frame) -> Block:
    """The remarks, their lines going on to the foot of the column: one run, under one field.

    They are as far apart in every column, and level with those of the next.
    """
    block = remarks.block
    *above, lines = block.blocks if isinstance(block, KeepTogether) else (block,)
    assert isinstance(lines, Lines)
    head = Stack(blocks=tuple(above))
    room = frame.y + frame.height - remarks.y - head.height_mm(frame.width)
    count = int(room / LINE_MM)
    return Stack(blocks=(head, Spacer(height=room - count * LINE_MM), replace(lines, count=count)))


def _blocks(context: Context, rows: _Rows) -> Iterator[Block]:
    yield from _points(context, rows)
    yield from _readings(context)
    head = Heading(text="Goes out with the vehicle", style=_HEADING, space_after_mm=1.5)
    things = tuple(thing_rows(context, field="out"))
    yield Stack(blocks=(head, *things), keep_together=True, space_before_mm=5.0)
    yield from _remarks(context)


def _points(context: Context, rows: _Rows) -> Iterator[Block]:
    vehicle, trade = context.vehicle, context.trade
    for point in sorted(vehicle.points, key=lambda p: p.number):
        yield CheckRow(
            number=point.number,
            title=point.name,
            place=point.place,
            field=point.id,
            colour=colour_of(point, trade),
            inline=rows.inline,
            pad_mm=rows.pad_mm,
        )
    for number, item in enumerate(vehicle.to_locate, 1):
        mark = sought_mark(number, bool(vehicle.points))
        yield CheckRow(number=mark, title=item.name, place="", field=f"to-locate-{number}", colour=INK)


def _readings(context: Context) -> Iterator[Block]:
    yield ReadingsHead(text="Readings", style=_HEADING)
    yield from _reading_rows(context)


def _reading_rows(context: Context) -> Iterator[ReadingRow]:
    """The readings the vehicle asks for, then others that its file has; with what is known of them."""
    asked = readings_of(context.vehicle.facts, context.trade)
    known = [_by_plain_name(_check(context, name)) for name in CHECKS]
    first = {name: next((r for r in asked if r.group == name), None) for name in _OVER}
    for number, reading in enumerate(asked):
        values = []
        for readings in known:
            _, value = readings.pop(plain_name(reading.name), ("", ""))
            values.append(value if reading.usual else value.removesuffix(f" {reading.unit}"))
        made = ""
        if _is_tyre(reading):
            parts = [value.partition(f" {reading.also} ") for value in values]
            values = [at_check for at_check, _, _ in parts]
            made = next((code for _, _, code in reversed(parts) if code), "")
        elif reading.until:
            values = [next((value for value in reversed(values) if value), "")]
        tick = reading.answer and not reading.unit
        both = f"; note {reading.unit} and {reading.also_unit}"
        also = both if reading.also and not _is_tyre(reading) else ""
        yield ReadingRow(
            title=_capital(reading.name),
            usual="" if tick else usual_words(reading) + also,
            values=tuple(values),
            tick=tick,
            once=reading.also if _is_tyre(reading) else "",
            once_unit=reading.also_unit,
            once_value=made,
            over=_OVER[reading.group] if reading is first.get(reading.group) else "",
            keep_with_next=_stays(asked, number),
        )
    for name in dict.fromkeys(key for readings in known for key in readings):
        found = [readings.get(name, ("", "")) for readings in known]
        title = next(title for title, _ in found if title)
        yield ReadingRow(
            title=_capital(title), usual="", values=tuple(value for _, value in found), tick=False
        )


def _by_plain_name(check: Check | None) -> dict[str, tuple[str, str]]:
    """The readings of a check with their names as written; what one name has twice stands together."""
    found: dict[str, tuple[str, str]] = {}
    for title, value in check.readings.items() if check else ():
        key = plain_name(title)
        written = f"{found[key][1]}; {value}" if key in found else str(value)
        found[key] = (title, written)
    return found


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _is_tyre(reading: Reading) -> bool:
    """Whether it is of one of the tyres, which stand together: they are compared."""
    return reading.group == "Tyres"


def _stays(asked: Sequence[Reading], number: int) -> bool:
    """Whether a reading stays with the next: all of the tyres do, and none of a group stands alone."""

    def group(n: int) -> str:
        return asked[n].group if 0 <= n < len(asked) else ""

    own = group(number)
    ends = group(number - 1) != own or group(number + 2) != own
    return group(number + 1) == own and (ends or _is_tyre(asked[number]))


def _remarks(context: Context) -> Iterator[Block]:
    head = Heading(text="Remarks", style=_HEADING, space_before_mm=5.0, space_after_mm=1.0)
    written = []
    for name in CHECKS:
        check = _check(context, name)
        if check and check.remarks:
            text = (Span(f"{CHECKS[name]}: ", "bold"), Span(check.remarks))
            written.append(Paragraph(text=text, style=TextStyle(8.5, colour=INK, leading=1.25)))
    lines = Lines(count=_LEAST_REMARKS, field="remarks", tooltip="Remarks")
    yield KeepTogether(blocks=(head, *written, lines), space_before_mm=5.0)
