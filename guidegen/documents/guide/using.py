"""What a vehicle's facts leave of the trade's paragraphs: numbered rows, and cautions in boxes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import TypeAlias

from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.references import referred
from guidegen.documents.guide.rows import badge_column_mm, badges_within, dot, linked_badges
from guidegen.documents.parts import CautionBox, checked
from guidegen.documents.steps import StepLook, caution_block
from guidegen.drawing.fonts import text_width_mm
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.text import plain
from guidegen.sequence import conditions
from guidegen.trade.records import counted, holds
from guidegen.trade.uses import Use
from guidegen.vehicle.model import ServicePoint, Vehicle

NumberedRow: TypeAlias = tuple[int | None, str, Sequence[ServicePoint]]  # its number, its text, its points

_FAR_MM = 130.0  # of the width of a column: an eye that crosses more loses the line
_MOST_BEFORE = 3  # badges side by side before a text
_MOST_ROWS = 2  # of badges beside a single line; more stand side by side below it
_GAP_MM = 2.0  # between badges and text
_SIZES = "{sizes}"  # in a text: where the vehicle's own sizes and mass stand


def about_blocks(kit: Kit, paragraphs: Sequence[Use]) -> Iterator[Block]:
    """One paragraph of all that is true of the vehicle."""
    vehicle = kit.context.vehicle
    said = " ".join(p.text for p in paragraphs if holds(p.when, vehicle.facts))
    said = said.replace(_SIZES, size_words(vehicle)).strip()
    if said:
        yield Paragraph(text=referred(kit, said), style=kit.look.body, space_after_mm=2.0)


def size_words(vehicle: Vehicle) -> str:
    """The sizes and the greatest mass that a driver must know, as far as the file gives them."""
    sizes, mass = vehicle.figures.sizes, vehicle.figures.masses.mtplm
    given = ((sizes.height, "high"), (sizes.width, "wide"), (sizes.length, "long"))
    whose = "The caravan" if vehicle.kind == "caravan" else "The vehicle"
    words = [f"{size / 1000:.2f}\N{NO-BREAK SPACE}m\N{NO-BREAK SPACE}{word}" for size, word in given if size]
    words += [f"at most {mass:.0f}\N{NO-BREAK SPACE}kg"] if mass else []
    return f"{whose}: {', '.join(words)}." if words else ""


def use_blocks(kit: Kit, uses: Sequence[Use], per_line: int = 2) -> Iterator[Block]:
    """A row for each use: the badges of its points, then the text."""
    for use, points in applying(kit, uses):
        yield use_row(kit, counted(use.text, len(points)), points, per_line)


def use_row(kit: Kit, text: str, points: Sequence[ServicePoint], per_line: int = 2, check: str = "") -> Row:
    """Badges, or a dot, and text, and what shows that it worked; the texts of all rows start alike."""
    column, style = badge_column_mm(kit, per_line), kit.look.body
    said: Block = Paragraph(text=referred(kit, text), style=style)
    if (
        len(points) > _MOST_ROWS * per_line
        and style.width_mm(plain(referred(kit, text))) < kit.look.column - column
    ):
        below = badges_within(kit, kit.look.column - column - _GAP_MM)
        said, points = Stack(blocks=(said, linked_badges(kit, points, below))), ()
    badge = linked_badges(kit, points, per_line) if points else dot(kit)
    if check:
        said = Stack(blocks=(said, checked(check, style)))
    return Row(
        cells=(Cell(badge, max(column, badge.width)), Cell(said)),
        gap=_GAP_MM,
        space_before_mm=1.2,
        space_after_mm=1.2,
    )


def numbered_rows(kit: Kit, rows: Iterable[NumberedRow]) -> Iterator[Row]:
    """Instructions, each with its own number before it, or a bullet, and the badges of its points.

    Those stand one below the other at the right edge; before the texts where that is too far from them.
    """
    rows = tuple(rows)
    style, before = kit.look.body, kit.look.column > _FAR_MM
    most = max((min(len(points), _MOST_BEFORE) for _, _, points in rows), default=0)
    marks = ["\N{BULLET}" if number is None else f"{number}." for number, _, _ in rows]
    # Two figures are wider than the column that one is in.
    column = max([0.5 * style.size_pt, *(text_width_mm(m, style.size_pt, "bold") + 0.1 for m in marks)])
    for mark, (_, text, points) in zip(marks, rows, strict=True):
        cells = [Cell(Paragraph(text=referred(kit, text), style=style))]
        if points or before and most:
            badge = linked_badges(kit, points, most if before else 3)
            wide = max(badge.width, badge_column_mm(kit, most)) if before else badge.width
            cells.insert(0 if before else 1, Cell(badge, wide))
        figure = Cell(Paragraph(text=mark, style=style.bold), column)
        yield Row(cells=(figure, *cells), gap=2.0, space_before_mm=1.0, space_after_mm=1.0)


def applying(kit: Kit, uses: Sequence[Use]) -> Iterator[tuple[Use, tuple[ServicePoint, ...]]]:
    """The uses that hold for the vehicle with the points that they name."""
    vehicle = kit.context.vehicle
    for use in uses:
        points = vehicle.of_kind(*use.kinds) if use.kinds else ()
        if holds(use.when, vehicle.facts) and (points or use.always or not use.kinds):
            yield use, points


def caution_blocks(kit: Kit, ids: Collection[str]) -> Iterator[CautionBox]:
    """The cautions that hold for the vehicle; ids as in "co?cooking.gas"."""
    size = kit.look.body.size_pt
    look = StepLook(style=kit.look.body, caution_pt=size, sign_mm=0.9 * size)
    for id in conditions.applying(ids, kit.context.vehicle.facts):
        if holds(kit.context.trade.cautions[id].when, kit.context.vehicle.facts):
            yield caution_block(kit.context, id, look)
