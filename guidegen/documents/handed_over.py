"""What goes out with the vehicle, to tick and to count."""

from __future__ import annotations

from guidegen.documents.context import Context
from guidegen.documents.writing import LINE_MM, TickRow, side_by_side
from guidegen.paper.blocks import Block, Spacer
from guidegen.trade.records import holds

_ROW_MM = LINE_MM + 0.6  # every row alike, and room to write how many


def thing_rows(context: Context, columns: int = 2, field: str | None = None) -> tuple[Block, ...]:
    """Rows of so many columns, read downwards; field: what the names of the fields begin with, if any."""
    things = [t for t in context.trade.handed_over if holds(t.when, context.vehicle.facts)]
    rows = [
        TickRow(
            text=thing.name,
            field="" if field is None else f"{field}-{number}",
            count_field=_count_field(field, number) if thing.count else None,
            least_mm=_ROW_MM,
        )
        for number, thing in enumerate(things, 1)
    ]
    height = -(-len(rows) // columns)
    padded = [*rows, *[Spacer(height=0.0)] * (height * columns - len(rows))]
    return tuple(
        side_by_side([padded[column * height + row] for column in range(columns)], 4.0)
        for row in range(height)
    )


def _count_field(field: str | None, number: int) -> str:
    return "" if field is None else f"{field}-{number}-count"
