"""The index: every point by name, with its number, its place and the page that tells of it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from msgspec import Struct

from guidegen.documents.guide.columns import in_columns
from guidegen.documents.guide.pages import Bound, Chapter, Kit, headed, labelled, start_below, title_block
from guidegen.documents.guide.references import page_number, pages_of
from guidegen.documents.guide.rows import badge_column_mm, held, linked_badges, marked_badge
from guidegen.documents.guide.systems import row_of
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.text import Span, Words
from guidegen.plan.markers import colour_of
from guidegen.vehicle.model import ServicePoint, ToLocate, Vehicle

_LEAST_MM = 80.0  # of the chapter on a page that it shares
_FULL_ENOUGH = 0.65  # of the page before: a list to look things up in may begin far down
_FIGURES = "0–9"
_VOLTS = re.compile(r"(\d+\sV) ([^,]+)(.*)")


class Entry(Struct, frozen=True):
    """A line of the index: the word that it stands under, and what it is of."""

    name: str
    of: ServicePoint | ToLocate


def index_chapter(kit: Kit, bound: Sequence[Bound]) -> Chapter:
    """Built last but one, when the pages of everything before it are known; it may run on."""
    at = start_below(kit, bound[-1].chapter, _LEAST_MM, _FULL_ENOUGH)
    head, top = headed(kit, title_block(kit, "index", "Index"), at=at)
    count = kit.look.index_columns
    laid = in_columns(kit, tuple(_rows(kit, pages_of(bound))), kit.look.split(count, top), count)
    return Chapter("index", "Index", tuple(laid.drawn(*head)), laid.foot, runs_on=bool(at))


def sort_key(name: str) -> tuple[str, str]:
    """Letters without their marks first, as a reader looks them up; then the name itself."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    return plain.casefold().replace("ł", "l"), name


def entries_of(vehicle: Vehicle) -> tuple[Entry, ...]:
    """Every point and what is still to be located, by name and by the word one looks under."""
    named: list[tuple[str, ServicePoint | ToLocate]] = [
        *((p.name, p) for p in vehicle.points),
        *((t.name, t) for t in vehicle.to_locate),
    ]
    found = [Entry(name, of) for name, of in named]
    found += [Entry(turned, of) for name, of in named if (turned := _turned(name)) != name]
    return tuple(sorted(found, key=lambda e: (sort_key(e.name), getattr(e.of, "number", 0))))


def _turned(name: str) -> str:
    """ "Fuse box, 12 V" for "12 V fuse box"."""
    found = _VOLTS.fullmatch(name)
    return f"{found[2][:1].upper()}{found[2][1:]}, {found[1]}{found[3]}" if found else name


def _rows(kit: Kit, pages: Mapping[str, int]) -> Iterator[Block]:
    for initial, entries in groupby(entries_of(kit.context.vehicle), key=lambda entry: _initial(entry.name)):
        yield from labelled(kit, initial, [_row(kit, entry, pages) for entry in entries])


def _initial(name: str) -> str:
    first = sort_key(name)[0][:1].upper()
    return _FIGURES if first.isdigit() else first


def _row(kit: Kit, entry: Entry, pages: Mapping[str, int]) -> Row:
    style, of = kit.look.body, entry.of
    number: Words
    if isinstance(of, ServicePoint):
        badge = linked_badges(kit, (of,), 1, {of.id: colour_of(of, kit.context.trade)})
        place, page = of.place, pages.get(row_of(of))
        number = (Span(str(page), "bold", target=f"#{row_of(of)}"),) if page else ""
    else:
        badge, place = marked_badge(kit, "?"), "Not located yet"
        number = (page_number("to-be-located", "bold"),)
    name = Paragraph(text=held(entry.name), style=style.bold)
    texts = Stack(blocks=(name, Paragraph(text=place, style=style))) if kit.look.index_places else name
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
