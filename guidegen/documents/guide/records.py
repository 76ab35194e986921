"""Records: readings of the three checks, what is still to be located, what was handed over, signatures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from guidegen.documents.guide.columns import Laid, flowed
from guidegen.documents.guide.pages import (
    PARTED_MM,
    Chapter,
    Kit,
    headed,
    parting_rule,
    section_block,
    start_below,
    title_block,
)
from guidegen.documents.guide.whole import missing_blocks
from guidegen.documents.parts import INK, tick_box_block
from guidegen.drawing.primitives import Item, Line, Style, Text
from guidegen.paper.blocks import Block, Paragraph, Spacer
from guidegen.paper.containers import Cell, Columns, KeepTogether, Row, Stack
from guidegen.paper.flow import Placed, stack_height_mm
from guidegen.paper.table import Column, Table
from guidegen.paper.text import Span, TextStyle
from guidegen.trade.records import holds
from guidegen.vehicle.description import Check
from guidegen.vehicle.model import day_in_words
from guidegen.vehicle.readings import reading_named, readings_of, usual_words

_TITLE = "Records"
_CHECKS = (("First check", "first"), ("Before sale", "sale"), ("Handover", "handover"))
_COUNT_MM, _GAP_MM = 14.0, 2.0  # of a line for how many, and between it and its words
_SLACK_MM = 0.1  # in which words still keep to one line
_TICK_COLUMNS = 2  # in large print too
_RULE = Style(stroke="#595959", width_mm=0.18)
_LEAST_LINES = 3  # for remarks; as many more as there is room for
_PITCH_MM = 8.0


def records_chapter(kit: Kit, before: Chapter) -> Chapter:
    """Printed where known, blank lines to write on where not. It may run on."""
    blocks = (
        title_block(kit, "records", _TITLE),
        *_readings(kit),
        *_missing(kit),
        *_handed_over(kit),
        replace(_remarks(kit, _LEAST_LINES), keep_with_next=True),
        _signatures(kit),
    )
    # Its title never stands without the readings, which do not part.
    at = start_below(kit, before, stack_height_mm(blocks[:3], kit.look.width))
    laid = flowed(kit, blocks, at)
    laid = Laid((*laid.pages[:-1], _filled(kit, laid.pages[-1])))
    pages = tuple(laid.drawn(*parting_rule(kit, at, PARTED_MM if at else 0.0)))
    return Chapter("records", _TITLE, pages, runs_on=bool(at))


def _filled(kit: Kit, page: Sequence[Placed]) -> tuple[Placed, ...]:
    """The last page with as many lines more for remarks as it has room for, where they stand on it."""
    *above, signatures = page
    if not above:
        return tuple(page)
    room = kit.look.bottom - signatures.y - signatures.height
    more = int(room / _PITCH_MM)
    old = above[-1]
    block = _remarks(kit, _LEAST_LINES + more)
    remarks = replace(old, block=block, height=block.height_mm(old.width))
    moved_down = replace(signatures, y=signatures.y + remarks.height - old.height)
    return (*above[:-1], remarks, moved_down)


def notes_chapter(kit: Kit, count: int) -> Chapter:
    """So many pages of lines to write on."""
    look, pitch = kit.look, _PITCH_MM
    head, top = headed(kit, title_block(kit, "notes", "Notes"))
    tops = [top, *[look.top] * (count - 1)]
    pages = [Lines(count=int((look.bottom - y) / pitch), pitch=pitch).draw(0.0, y, look.width) for y in tops]
    return Chapter("notes", "Notes", ((*head, *pages[0]), *pages[1:]))


def _checks(kit: Kit) -> list[tuple[str, Check | None]]:
    checks = kit.context.vehicle.checks
    return [(title, getattr(checks, name) if checks else None) for title, name in _CHECKS]


def _readings(kit: Kit) -> Iterator[Block]:
    found = _checks(kit)
    rows: list[tuple[str, ...]] = [
        ("Date", "", *(day_in_words(c.on) if c else "" for _, c in found)),
        ("By", "", *(c.by if c else "" for _, c in found)),
    ]
    for name, usual in _names(kit, [check for _, check in found if check]):
        said = (str(c.readings.get(name, "")) if c else "" for _, c in found)
        rows.append((name[:1].upper() + name[1:], usual, *said))
    columns = (
        Column("Reading", share=1.5),
        Column("Usual", share=1.25),
        *(Column(title) for title, _ in found),
    )
    yield section_block(kit, "The three checks", "checks", 1)
    table = Table(columns=columns, rows=tuple(rows), style=kit.look.small, padding_mm=1.2, rule_below=True)
    yield replace(table, keep_together=True)
    for title, check in found:
        if check and check.remarks:
            yield Paragraph(
                text=(Span(f"{title}: ", "bold"), Span(check.remarks)),
                style=kit.look.body,
                space_before_mm=2.0,
            )


def _names(kit: Kit, checks: Sequence[Check]) -> Iterator[tuple[str, str]]:
    """The readings that were taken and all that are figures, with what is usual, in the trade's order."""
    readings = readings_of(kit.context.vehicle.facts, kit.context.trade)
    taken = dict.fromkeys(name for check in checks for name in check.readings)
    named = {name: reading_named(name, readings) for name in taken}
    for reading in readings:
        own = [name for name, known in named.items() if known == reading]
        if own or reading.unit:
            yield own[0] if own else reading.name, usual_words(reading) if reading.usual else ""
    yield from ((name, "") for name, known in named.items() if known is None)


def _missing(kit: Kit) -> Iterator[Block]:
    blocks = tuple(missing_blocks(kit))
    if blocks:
        yield section_block(kit, "To be located", "to-be-located", 1)
        yield Paragraph(
            text="Write the place here when it is found, and tell the dealer, who prints the guide anew.",
            style=kit.look.body,
            space_after_mm=2.0,
            keep_with_next=True,
        )
        rows = [
            row for block in blocks for row in (block.blocks[1:] if isinstance(block, Stack) else (block,))
        ]
        written = tuple(
            KeepTogether(blocks=(row, Lines(count=1, pitch=_PITCH_MM)), space_after_mm=2.0) for row in rows
        )
        yield Columns(blocks=written, count=kit.look.columns, gap=kit.look.gutter)


def _handed_over(kit: Kit) -> Iterator[Block]:
    facts = kit.context.vehicle.facts
    rows = [
        _tick(kit, thing.title(facts), thing.count)
        for thing in kit.context.trade.handed_over
        if holds(thing.when, facts)
    ]
    yield section_block(kit, "Handed over with the vehicle", "handed-over", 1)
    yield Columns(blocks=tuple(rows), count=_TICK_COLUMNS, gap=kit.look.gutter, keep_together=True)


def _tick(kit: Kit, text: str, count: bool) -> Row:
    """A box to tick; right behind the words a line for how many where that matters."""
    style = kit.look.body
    box = tick_box_block(style.size_pt, 0.36 * style.size_pt)
    words = Paragraph(text=text, style=style)
    cells = [Cell(box, box.width), Cell(words)]
    if count:
        wide = style.width_mm(text) + _SLACK_MM
        room = kit.look.split(_TICK_COLUMNS)[0].width - box.width - _COUNT_MM - 2 * _GAP_MM
        cells[1:] = [Cell(words, wide if wide < room else None)]
        cells.append(Cell(Lines(count=1, pitch=0.42 * style.size_pt), _COUNT_MM))
    return Row(cells=tuple(cells), gap=_GAP_MM, space_before_mm=1.0, space_after_mm=1.0)


def _remarks(kit: Kit, lines: int) -> Block:
    return KeepTogether(
        blocks=(section_block(kit, "Remarks", "remarks", 1), Lines(count=lines, pitch=_PITCH_MM)),
        space_before_mm=7.0,
    )


def _signatures(kit: Kit) -> Block:
    """Two lines to sign on, each with its date."""
    row = Row(
        cells=tuple(
            Cell(SignatureLine(text=text, style=kit.look.small))
            for text in ("Handed over by, date", "Taken over by, date")
        ),
        gap=kit.look.gutter,
    )
    to_locate = kit.context.vehicle.to_locate
    but = f", but not what is still to be located: {'; '.join(item.name for item in to_locate)}"
    said = f"Everything in this guide was shown to me on the vehicle{but if to_locate else ''}."
    return KeepTogether(
        blocks=(
            section_block(kit, "Signatures", "signatures", 1),
            Paragraph(text=said, style=kit.look.body),
            Spacer(height=14.0),
            row,
        ),
        space_before_mm=7.0,
    )


class Lines(Block, frozen=True, kw_only=True):
    """Lines to write on."""

    count: int
    pitch: float

    def height_mm(self, width_mm: float) -> float:
        return self.count * self.pitch

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        below = (y + (n + 1) * self.pitch for n in range(self.count))
        return tuple(Line(((x, at), (x + width_mm, at)), _RULE) for at in below)


class SignatureLine(Block, frozen=True, kw_only=True):
    """A line with what is to stand on it below."""

    text: str
    style: TextStyle

    def height_mm(self, width_mm: float) -> float:
        return self.style.line_mm + 1.0

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        baseline = y + 1.0 + self.style.baseline_mm
        return (
            Line(((x, y), (x + width_mm, y)), Style(stroke=INK, width_mm=0.25)),
            Text(x, baseline, self.text, self.style.size_pt, "regular", INK),
        )
