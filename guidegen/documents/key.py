"""The key of the plan: every number with its symbol, name and place, grouped by system."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.parts import INK, NOT_LOCATED, KeyRow
from guidegen.paper.blocks import Block, Heading
from guidegen.paper.groups import grouped
from guidegen.paper.text import TextStyle
from guidegen.plan.markers import colour_of

_HEADING = TextStyle(10, "bold", INK)


def key_blocks(
    context: Context, systems: Collection[str] = (), *, size_pt: float = 8.5, places: bool = True
) -> tuple[Block, ...]:
    """Headings and rows for the points of the systems (all when none are named), and what is missing."""
    vehicle, trade = context.vehicle, context.trade
    style = TextStyle(size_pt, colour=INK, leading=1.2, language="en")
    blocks: list[Block] = []
    for system in trade.systems.values():
        points = [p for p in vehicle.points if p.system == system.letter]
        if not points or (systems and system.letter not in systems):
            continue
        title = system.name[:1].upper() + system.name[1:]
        rows: list[Block] = [
            KeyRow(
                number=point.number,
                name_text=point.name,
                place=_place(point.place, point.note) if places else "",
                symbol_name=trade.kinds[point.kind].symbol_on(vehicle.facts),
                colour=colour_of(point, trade),
                style=style,
            )
            for point in sorted(points, key=lambda p: p.number)
        ]
        head = Heading(text=title, style=_HEADING, space_before_mm=3.5, space_after_mm=1.0)
        again = replace(head, text=f"{title}, continued")
        blocks += grouped(head, rows, again)
    return (*blocks, *to_locate_blocks(context, systems, style))


def _place(place: str, note: str) -> str:
    return f"{place}. {note}" if note else place


def to_locate_blocks(context: Context, systems: Collection[str], style: TextStyle) -> Iterator[Block]:
    """What the equipment requires and nobody has placed: visibly marked, never left out in silence."""
    kinds = context.trade.kinds
    missing = [m for m in context.vehicle.to_locate if not systems or kinds[m.kind].system in systems]
    if not missing:
        return
    yield Heading(text="To be located", style=_HEADING, space_before_mm=3.0, space_after_mm=1.0)
    for item in missing:
        yield KeyRow(
            number="?",
            name_text=item.name,
            place=NOT_LOCATED,
            symbol_name=kinds[item.kind].symbol_on(context.vehicle.facts),
            colour=INK,
            style=style,
        )
