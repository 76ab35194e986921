"""The index: every point by name, with its number, its place and the page that tells of it."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence

from guidegen.documents.guide.columns import in_columns
from guidegen.documents.guide.pages import Bound, Chapter, Kit, headed, label_block, start_below, title_block
from guidegen.documents.guide.rows import badge_column_mm, linked_badges
from guidegen.documents.guide.systems import row_of
from guidegen.drawing.primitives import Destination
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, KeepTogether, Row, Stack
from guidegen.paper.text import Span
from guidegen.plan.markers import colour_of
from guidegen.vehicle.model import ServicePoint

_LEAST_MM = 80.0  # of the chapter on a page that it shares


def index_chapter(kit: Kit, bound: Sequence[Bound]) -> Chapter:
    """Built last but one, when the pages of everything before it are known; it may run on."""
    at = start_below(kit, bound[-1].chapter, _LEAST_MM)
    head, top = headed(kit, title_block(kit, "index", "Index"), at=at)
    count = kit.look.index_columns
    laid = in_columns(kit, tuple(_rows(kit, pages_of(bound))), kit.look.split(count, top), count)
    return Chapter("index", "Index", tuple(laid.drawn(*head)), laid.foot, runs_on=bool(at))


def pages_of(bound: Sequence[Bound]) -> Mapping[str, int]:
    """The page of every named place."""
    return {
        item.name: one.first + offset
        for one in bound
        for offset, page in enumerate(one.chapter.pages)
        for item in page
        if isinstance(item, Destination)
    }


def sort_key(name: str) -> tuple[str, str]:
    """Letters without their marks first, as a reader looks them up; then the name itself."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    return plain.casefold().replace("ł", "l"), name


def _rows(kit: Kit, pages: Mapping[str, int]) -> Iterator[Block]:
    initial = ""
    for point in sorted(kit.context.vehicle.points, key=lambda p: (sort_key(p.name), p.number)):
        row = _row(kit, point, pages)
        first = sort_key(point.name)[0][:1].upper()
        if first != initial:
            initial = first
            yield KeepTogether(blocks=(label_block(kit, first), row), space_before_mm=4.0)
        else:
            yield row


def _row(kit: Kit, point: ServicePoint, pages: Mapping[str, int]) -> Row:
    style = kit.look.body
    badge = linked_badges(kit, (point,), 1, {point.id: colour_of(point, kit.context.trade)})
    page = pages.get(row_of(point))
    number = (Span(str(page), "bold", target=f"#{row_of(point)}"),) if page else ""
    name = Paragraph(text=point.name, style=style.bold)
    texts = Stack(blocks=(name, Paragraph(text=point.place, style=style))) if kit.look.index_places else name
    return Row(
        cells=(
            Cell(badge, max(badge_column_mm(kit), badge.width)),
            Cell(texts),
            Cell(Paragraph(text=number, style=style, anchor="end"), 0.75 * style.size_pt),
        ),
        gap=2.0,
        space_before_mm=1.2,
        space_after_mm=1.2,
    )
