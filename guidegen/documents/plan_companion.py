"""The sheets that follow a floor diagram: their heading, a line below it, and their foot."""

from __future__ import annotations

from guidegen.documents.context import Context
from guidegen.documents.parts import INK, footer
from guidegen.drawing.primitives import Item, Sheet, Text
from guidegen.paper.sheets import Paper
from guidegen.plan.margins import MARGIN_MM
from guidegen.vehicle.model import day_in_words


def has_names(context: Context) -> bool:
    """Whether the plan that the sheets follow has names in place of numbers."""
    return bool(context.options.plan and context.options.plan.names)


def companion_sheet(
    context: Context, paper: Paper, items: tuple[Item, ...], words: tuple[str, str], title: str, page: str
) -> Sheet:
    """A sheet about the vehicle; words: the heading before its name, and the line below the heading."""
    vehicle = context.vehicle
    heading, below = words
    head = (
        Text(MARGIN_MM, 16.5, f"{heading}: {vehicle.name}", 16, "bold", INK),
        Text(MARGIN_MM, 21.8, below, 9, "regular", INK),
    )
    dated = day_in_words(vehicle.printed_on)
    left = "   ".join(word for word in (vehicle.dealer.name if vehicle.dealer else "", dated) if word)
    foot = footer(left, page, MARGIN_MM, paper.height_mm - 7.5, paper.width_mm - 2 * MARGIN_MM)
    return Sheet(paper.width_mm, paper.height_mm, (*head, *items, *foot), f"{title}: {vehicle.name}")
