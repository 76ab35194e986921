"""What goes out with the vehicle, to tick and to count."""

from __future__ import annotations

import re

from guidegen.documents.context import Context
from guidegen.documents.writing import LINE_MM, TickRow, side_by_side
from guidegen.paper.blocks import Block, Spacer
from guidegen.trade.records import HandedOver, holds

_ROW_MM = LINE_MM + 0.6  # every row alike, and room to write how many


def thing_rows(context: Context, columns: int = 2, field: str | None = None) -> tuple[Block, ...]:
    """Rows of so many columns, read downwards; field: what the names of the fields begin with, if any."""
    things = [t for t in context.trade.handed_over if holds(t.when, context.vehicle.facts)]
    rows = [
        TickRow(
            text=thing.title(context.vehicle.facts),
            field="" if field is None else _field(field, thing),
            count_field=_count_field(field, thing) if thing.count else None,
            least_mm=_ROW_MM,
        )
        for thing in things
    ]
    height = -(-len(rows) // columns)
    padded = [*rows, *[Spacer(height=0.0)] * (height * columns - len(rows))]
    return tuple(
        side_by_side([padded[column * height + row] for column in range(columns)], 4.0)
        for row in range(height)
    )


def _field(before: str, thing: HandedOver) -> str:
    """The same on the sheets of every vehicle: "out-gas-cylinders"."""
    return "-".join((before, *re.findall(r"\w+", thing.name.lower())))


def _count_field(before: str | None, thing: HandedOver) -> str:
    return "" if before is None else f"{_field(before, thing)}-count"
