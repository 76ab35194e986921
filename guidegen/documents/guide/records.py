"""Records: readings of the three checks, what is still to be located, what was handed over, signatures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from guidegen.documents.guide.pages import Chapter, Kit, flowed, section_block, title_block
from guidegen.documents.guide.using import applying
from guidegen.documents.guide.whole import missing_blocks
from guidegen.documents.parts import INK, tick_box_block
from guidegen.drawing.primitives import Item, Line, Style, Text
from guidegen.paper.blocks import Block, Paragraph, Spacer
from guidegen.paper.containers import Cell, Columns, KeepTogether, Row
from guidegen.paper.table import Column, Table
from guidegen.paper.text import Span, TextStyle
from guidegen.trade.uses import load_uses
from guidegen.vehicle.description import Check

_TITLE = "Records"
_CHECKS = (("First check", "first"), ("Before sale", "sale"), ("Handover", "handover"))
_READINGS = (
    ("leisure battery at rest", "battery"),
    ("battery charging", "battery"),
    ("gas pressure", "gas"),
    ("fridge at start", "fridge"),
    ("tyre pressures", ""),
)
_RULE = Style(stroke="#595959", width_mm=0.18)
_REMARK_LINES = 3


def records_chapter(kit: Kit) -> Chapter:
    """Printed where known, blank lines to write on where not."""
    blocks = (
        title_block(kit, "records", _TITLE),
        *_readings(kit),
        *_missing(kit),
        *_handed_over(kit),
        *_remarks(kit),
        *_signatures(kit),
    )
    return Chapter("records", _TITLE, tuple(flowed(kit, blocks)))


def _checks(kit: Kit) -> list[tuple[str, Check | None]]:
    checks = kit.context.vehicle.checks
    return [(title, getattr(checks, name) if checks else None) for title, name in _CHECKS]


def _readings(kit: Kit) -> Iterator[Block]:
    found = _checks(kit)
    facts = kit.context.vehicle.facts
    names = dict.fromkeys(
        [
            *(name for _, check in found if check for name in check.readings),
            *(name for name, fact in _READINGS if not fact or fact in facts),
        ]
    )
    rows: list[tuple[str, ...]] = [
        ("Date", *(f"{c.on:%d %B %Y}".lstrip("0") if c else "" for _, c in found)),
        ("By", *(c.by if c else "" for _, c in found)),
    ]
    for name in names:
        said = (str(c.readings.get(name, "")) if c else "" for _, c in found)
        rows.append((name[:1].upper() + name[1:], *said))
    columns = (Column("Reading", share=1.3), *(Column(title) for title, _ in found))
    yield section_block(kit, "The three checks", "checks", 1)
    yield Table(columns=columns, rows=tuple(rows), style=kit.look.body, padding_mm=1.2)
    for title, check in found:
        if check and check.remarks:
            yield Paragraph(
                text=(Span(f"{title}: ", "bold"), Span(check.remarks)),
                style=kit.look.body,
                space_before_mm=2.0,
            )


def _missing(kit: Kit) -> Iterator[Block]:
    blocks = tuple(missing_blocks(kit))
    if blocks:
        yield section_block(kit, "To be located", "to-be-located", 1)
        yield Paragraph(
            text="Write the place here when it is found, and tell the dealer, who prints the guide anew.",
            style=kit.look.body,
            space_after_mm=2.0,
        )
        for block in blocks:
            rows = block.blocks[1:] if isinstance(block, KeepTogether) else (block,)
            for row in rows:
                yield KeepTogether(blocks=(row, Lines(count=1, pitch=8.0)), space_after_mm=2.0)


def _handed_over(kit: Kit) -> Iterator[Block]:
    rows = [_tick(kit, use.text) for use, _ in applying(kit, load_uses()["handover"].use)]
    yield section_block(kit, "Handed over with the vehicle", "handed-over", 1)
    yield Columns(blocks=tuple(rows), count=kit.look.columns, gap=kit.look.gutter)


def _tick(kit: Kit, text: str) -> Row:
    size = kit.look.body.size_pt
    box = tick_box_block(size, 0.36 * size)
    return Row(
        cells=(Cell(box, box.width), Cell(Paragraph(text=text, style=kit.look.body))),
        gap=2.0,
        space_before_mm=1.0,
        space_after_mm=1.0,
    )


def _remarks(kit: Kit) -> Iterator[Block]:
    yield KeepTogether(
        blocks=(section_block(kit, "Remarks", "remarks", 1), Lines(count=_REMARK_LINES, pitch=8.0)),
        space_before_mm=7.0,
    )


def _signatures(kit: Kit) -> Iterator[Block]:
    """Two lines to sign on, each with its date."""
    row = Row(
        cells=tuple(
            Cell(SignatureLine(text=text, style=kit.look.small))
            for text in ("Handed over by, date", "Taken over by, date")
        ),
        gap=kit.look.gutter,
    )
    said = "Everything in this guide was shown to me on the vehicle."
    yield KeepTogether(
        blocks=(
            section_block(kit, "Signatures", "signatures", 1),
            Paragraph(text=said, style=kit.look.body),
            Spacer(height=14.0),
            row,
        ),
        space_before_mm=7.0,
    )


@dataclass(frozen=True, kw_only=True)
class Lines(Block):
    """Lines to write on."""

    count: int
    pitch: float

    def height_mm(self, width_mm: float) -> float:
        return self.count * self.pitch

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        below = (y + (n + 1) * self.pitch for n in range(self.count))
        return tuple(Line(((x, at), (x + width_mm, at)), _RULE) for at in below)


@dataclass(frozen=True, kw_only=True)
class SignatureLine(Block):
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
