"""The check sheet: every point with three boxes and a reading, the readings, what goes out, remarks.

Two A4 sides where the points allow it. Printed empty it is filled in with a pen; on screen it is a form.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count, zip_longest

from msgspec import Struct

from guidegen.documents.check_rows import (
    CLOSE_PAD_MM,
    COLUMN_HEADS_MM,
    INLINE_PAD_MM,
    PAD_MM,
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
from guidegen.paper.blocks import Block, Heading, Paragraph
from guidegen.paper.containers import KeepTogether, Stack
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.sheets import A4
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.markers import colour_of
from guidegen.trade.records import Reading
from guidegen.vehicle.description import Check
from guidegen.vehicle.model import day_in_words
from guidegen.vehicle.readings import reading_named, readings_of, usual_words

CHECKS = ("first", "sale", "handover")
_TITLES = {"first": "First check", "sale": "Check before sale", "handover": "Check at handover"}
_HEADING = TextStyle(11.0, "bold", INK)
_COLUMNS = 2
_CONTINUED = Paragraph(text="Remarks, continued", style=_HEADING)
_LEAST_REMARKS = 4
_FEW = 6
_NOTE = (
    "Tick box 1, 2 or 3 when the point is where the sheet says and is in order. "
    "What fails goes under Remarks."
)
_GAS = "Gas: copy what a competent gas engineer measured."


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
        for frame, placed in zip(one.frames, one.placed, strict=True):
            items += _column(frame, placed, last=number == len(pages))
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
    for number, name in enumerate(CHECKS, 1):
        check = _check(context, name)
        by, on = (check.by, day_in_words(check.on)) if check else ("", "")
        title = Paragraph(text=f"{number}  {_TITLES[name]}", style=TextStyle(10.0, "bold", INK, 1.2))
        who = BlankRow(blanks=(Blank("By", f"{name}-by", by),))
        when = BlankRow(
            blanks=(
                Blank("Initials", f"{name}-initials", share=0.63),
                Blank("Date", f"{name}-date", on),
            ),
            gap=3.0,
        )
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


def _column(frame: Frame, placed: Sequence[Placed], last: bool) -> Iterator[Item]:
    """The blocks of a column, the heads of its boxes above them, and lines for remarks to its foot."""
    if placed and isinstance(placed[0].block, CheckRow | ReadingRow):
        yield from column_heads(placed[0].block, frame)
    yield from draw_all(placed)
    if last:
        foot = placed[-1].y + placed[-1].height if placed else frame.y
        if not placed:
            yield from _CONTINUED.draw(frame.x, foot, frame.width)
            foot += _CONTINUED.height_mm(frame.width)
        spare = int((frame.y + frame.height - foot) / LINE_MM)
        ends_in_remarks = not placed or isinstance(placed[-1].block, Lines | KeepTogether)
        if spare > 0 and ends_in_remarks:
            name = f"remarks-{frame.x:.0f}"
            pitch = (frame.y + frame.height - foot) / spare  # both columns end alike
            yield from Lines(count=spare, field=name, line_mm=pitch).draw(frame.x, foot, frame.width)


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
        yield CheckRow(number="?", title=item.name, place="", field=f"to-locate-{number}", colour=INK)


def _readings(context: Context) -> Iterator[Block]:
    yield ReadingsHead(text="Readings", style=_HEADING)
    yield from _reading_rows(context)


def _reading_rows(context: Context) -> Iterator[ReadingRow]:
    """The readings the vehicle asks for, then others that its file has; with what is known of them."""
    asked = readings_of(context.vehicle.facts, context.trade)
    known = [dict(check.readings) if (check := _check(context, name)) else {} for name in CHECKS]
    gas = next((reading for reading in asked if reading.group == "Gas"), None)
    for reading, below in zip_longest(asked, asked[1:]):
        values = []
        for readings in known:
            key = next((k for k in readings if reading_named(k, (reading,))), None)
            value = "" if key is None else str(readings.pop(key))
            values.append(value if reading.usual else value.removesuffix(f" {reading.unit}"))
        also = f"; {reading.also} … {reading.also_unit}" if reading.also else ""
        tick = reading.answer and not reading.unit
        usual = "" if tick else usual_words(reading) + also
        yield ReadingRow(
            title=reading.name,
            usual=usual,
            values=tuple(values),
            tick=tick,
            over=_GAS if reading is gas else "",
            keep_with_next=below is not None and _is_tyre(reading) and _is_tyre(below),
        )
    for name in dict.fromkeys(key for readings in known for key in readings):
        values = [str(readings.get(name, "")) for readings in known]
        yield ReadingRow(title=name, usual="", values=tuple(values), tick=False)


def _is_tyre(reading: Reading) -> bool:
    """Whether it is of one of the tyres, which stand together: they are compared."""
    return reading.name.lower().startswith("tyre")


def _remarks(context: Context) -> Iterator[Block]:
    head = Heading(text="Remarks", style=_HEADING, space_before_mm=5.0, space_after_mm=1.0)
    written = []
    for name in CHECKS:
        check = _check(context, name)
        if check and check.remarks:
            text = (Span(f"{_TITLES[name]}: ", "bold"), Span(check.remarks))
            written.append(Paragraph(text=text, style=TextStyle(8.5, colour=INK, leading=1.25)))
    lines = Lines(count=_LEAST_REMARKS, field="remarks")
    yield KeepTogether(blocks=(head, *written, lines), space_before_mm=5.0)
