"""What stands round the diagram on a plan sheet: head, legend of the systems and scale bar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import Item, Rect, Style, Text
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Stack
from guidegen.paper.text import TextStyle
from guidegen.plan.markers import INK, system_mark
from guidegen.trade.records import System, Trade
from guidegen.vehicle.model import ServicePoint, Vehicle, day_in_words

MARGIN_MM = 10.0
LEGEND_LINE_MM = 4.6
_LEGEND_PT = 7.5
_BAR_MM = 1.6
_TITLE_PT, _LEAST_TITLE_PT, _SMALL_PT = 16.0, 9.0, 9.0


class Heading(Struct, frozen=True):
    """What the head of a sheet says; what is unknown is left out."""

    title: str
    subtitle: str
    facts: tuple[str, ...]
    dealer: str
    contact: tuple[str, ...]


def heading_of(vehicle: Vehicle, trade: Trade, systems: Iterable[str] = ()) -> Heading:
    dealer = vehicle.dealer
    stock = f"Stock no. {vehicle.stock_number}" if vehicle.stock_number else ""
    contact = (dealer.phone if dealer else "", day_in_words(vehicle.printed_on))
    return Heading(
        vehicle.name,
        ", ".join(name_of(trade.systems[letter]) for letter in systems),
        tuple(word for word in (stock, vehicle.owner, vehicle.layout.name) if word),
        dealer.name if dealer else "",
        tuple(word for word in contact if word),
    )


def name_of(system: System) -> str:
    """Its name as it begins a line."""
    return system.name[:1].upper() + system.name[1:]


def head_row(heading: Heading, width: float) -> Iterator[Item]:
    """Two lines across a sheet of a width: title and dealer, facts and contact."""
    right = width - MARGIN_MM
    title = ": ".join(word for word in (heading.title, heading.subtitle) if word)
    room = right - MARGIN_MM - (text_width_mm(heading.dealer, 10, "bold") + 6 if heading.dealer else 0)
    size = _TITLE_PT
    while size > _LEAST_TITLE_PT and text_width_mm(title, size, "bold") > room:
        size -= 0.5
    yield Text(MARGIN_MM, 16.5, title, size, "bold", INK)
    if heading.dealer:
        yield Text(right, 16.5, heading.dealer, 10, "bold", INK, "end")
    contact = "   ".join(heading.contact)
    yield Text(right, 21.8, contact, _SMALL_PT, "regular", INK, "end")
    room = right - MARGIN_MM - text_width_mm(contact, _SMALL_PT) - 6
    lines = list(heading.facts)
    while len(lines) > 1 and text_width_mm("   ".join(lines), _SMALL_PT) > room:
        lines.pop()
    yield Text(MARGIN_MM, 21.8, "   ".join(lines), _SMALL_PT, "regular", INK)


def head_columns(heading: Heading) -> tuple[Block, Block]:
    """The same as two blocks for the heads of narrow columns, left and right."""
    small = TextStyle(_SMALL_PT, colour=INK, leading=1.3)
    size = _TITLE_PT if len(heading.title) <= 34 else 12.0
    left: list[Block] = [Paragraph(text=heading.title, style=TextStyle(size, "bold", INK, 1.15))]
    if heading.subtitle:
        left.append(Paragraph(text=heading.subtitle, style=TextStyle(11.0, "bold", INK, 1.2)))
    left += [Paragraph(text=fact, style=small, space_before_mm=0.6) for fact in heading.facts]
    right: list[Block] = []
    if heading.dealer:
        right.append(Paragraph(text=heading.dealer, style=TextStyle(10.0, "bold", INK, 1.2), anchor="end"))
    right += [Paragraph(text=one, style=small, anchor="end", space_before_mm=0.6) for one in heading.contact]
    return Stack(blocks=tuple(left)), Stack(blocks=tuple(right))


def used_systems(points: Iterable[ServicePoint], trade: Trade) -> tuple[System, ...]:
    used = {p.system for p in points}
    return tuple(s for s in trade.systems.values() if s.letter in used)


def legend_rows(systems: Iterable[System], width: float) -> list[list[tuple[float, System]]]:
    """The systems as rows of (x, system) across a sheet of a width."""
    rows: list[list[tuple[float, System]]] = [[]]
    x = MARGIN_MM + 1.2
    for system in systems:
        wide = text_width_mm(name_of(system), _LEGEND_PT) + 5.6
        if rows[-1] and x + wide - 3 > width - MARGIN_MM:
            rows.append([])
            x = MARGIN_MM + 1.2
        rows[-1].append((x, system))
        x += wide
    return rows


def legend(systems: Iterable[System], width: float, foot: float) -> Iterator[Item]:
    """Rows across the sheet, the last on the baseline foot."""
    rows = legend_rows(systems, width)
    for n, row in enumerate(rows):
        for x, system in row:
            yield from _legend_entry(system, x, foot - (len(rows) - 1 - n) * LEGEND_LINE_MM)


def legend_list(systems: Iterable[System], x: float, foot: float) -> Iterator[Item]:
    """One below the other, the last on the baseline foot."""
    for n, system in enumerate(reversed(tuple(systems))):
        yield from _legend_entry(system, x + 1.2, foot - n * LEGEND_LINE_MM)


def _legend_entry(system: System, x: float, y: float) -> Iterator[Item]:
    yield system_mark(system, system.colour, x, y - cap_height_mm(_LEGEND_PT) / 2, 1.15)
    yield Text(x + 2.2, y, name_of(system), _LEGEND_PT, "regular", INK)


def scale_bar(metre: float, x: float, y: float, room: float = 1e3) -> Iterator[Item]:
    """A bar as long as one metre is on the sheet, or half a metre where the room (mm) is less.

    x, y: its lower left corner, and its label's before it.
    """
    length, label = (metre, "1 m") if metre <= room else (metre / 2, "0.5 m")
    start = x + text_width_mm(label, _LEGEND_PT) + 1.5
    yield Text(x, y, label, _LEGEND_PT, "regular", INK)
    for n in range(4):
        fill = INK if n % 2 == 0 else "#ffffff"
        style = Style(fill=fill, stroke=INK, width_mm=0.18)
        yield Rect(start + n * length / 4, y - _BAR_MM, length / 4, _BAR_MM, style)


def scale_bar_width(metre: float) -> float:
    """Of a bar of one metre with its label."""
    return metre + text_width_mm("1 m", _LEGEND_PT) + 1.5
