"""What a vehicle's facts leave of the trade's paragraphs: numbered rows, and cautions in boxes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.references import referred
from guidegen.documents.guide.rows import badge_column_mm, dot, linked_badges
from guidegen.documents.parts import CautionBox, checked
from guidegen.documents.steps import StepLook, caution_block
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.text import plain
from guidegen.sequence import conditions
from guidegen.trade.records import counted, holds
from guidegen.trade.uses import Use
from guidegen.vehicle.model import ServicePoint, Vehicle

_SLACK_MM = 0.1  # in which a text still keeps to one line
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
    badge = linked_badges(kit, points, per_line) if points else dot(kit)
    said: Block = Paragraph(text=referred(kit, text), style=style)
    if check:
        said = Stack(blocks=(said, checked(check, style)))
    return Row(
        cells=(Cell(badge, max(column, badge.width)), Cell(said)),
        gap=2.0,
        space_before_mm=1.2,
        space_after_mm=1.2,
    )


def numbered_row(kit: Kit, number: int | None, text: str, points: Sequence[ServicePoint]) -> Row:
    """An instruction with its own number before it, or a dot, and the badges of its points behind.

    In a column as wide as the page they follow right on a short text; elsewhere they stand at its edge.
    """
    style, said = kit.look.body, referred(kit, text)
    figure_mm, gap = 0.5 * style.size_pt, 2.0
    mark = "\N{BULLET}" if number is None else f"{number}."
    before, words = Paragraph(text=mark, style=style.bold), Paragraph(text=said, style=style)
    cells = [Cell(words)]
    if points:
        badge = linked_badges(kit, points, 3)
        room, wide = (
            kit.look.column - figure_mm - 3 * gap - badge.width,
            style.width_mm(plain(said)) + _SLACK_MM,
        )
        follows = kit.look.columns == 1 and wide < room
        cells = [Cell(words, wide), Cell(badge)] if follows else [*cells, Cell(badge, badge.width)]
    return Row(cells=(Cell(before, figure_mm), *cells), gap=gap, space_before_mm=1.0, space_after_mm=1.0)


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
