"""The floor diagram: the plan on one sheet, its key on the next."""

from __future__ import annotations

from guidegen.documents.context import Context
from guidegen.documents.key import key_blocks
from guidegen.documents.parts import INK, footer
from guidegen.drawing.primitives import Document, Item, Sheet, Text
from guidegen.paper.blocks import Block
from guidegen.paper.flow import Frame, draw_all, flow, flow_balanced
from guidegen.paper.text import DoesNotFit
from guidegen.plan.sheet import MARGIN_MM, PlanOptions, plan_sheet
from guidegen.vehicle.model import day_in_words

_WIDTH, _HEIGHT = 297.0, 210.0
_TOP, _FOOT = 27.0, 198.0
_GUTTER = 7.0


def compose(context: Context) -> Document:
    """The plan on the paper of the options, and its key on A4 landscape."""
    vehicle = context.vehicle
    options = context.options.plan or PlanOptions()
    drawn = plan_sheet(vehicle, context.trade, options)
    return Document(
        (drawn.sheet, *_key_sheets(context, options.systems)),
        title=f"Floor diagram: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="Floor diagram with numbered service points",
    )


def _key_sheets(context: Context, systems: tuple[str, ...]) -> tuple[Sheet, ...]:
    blocks = key_blocks(context, systems)
    for columns in (3, 4):
        width = (_WIDTH - 2 * MARGIN_MM - (columns - 1) * _GUTTER) / columns
        frames = [Frame(MARGIN_MM + n * (width + _GUTTER), _TOP, width, _FOOT - _TOP) for n in range(columns)]
        try:
            return (_sheet(context, draw_all(p for page in flow_balanced(blocks, frames) for p in page), 1),)
        except DoesNotFit:
            continue
    return _many(context, blocks)


def _many(context: Context, blocks: tuple[Block, ...]) -> tuple[Sheet, ...]:
    """The key on as many sheets as it needs."""
    width = (_WIDTH - 2 * MARGIN_MM - 2 * _GUTTER) / 3
    frames = (Frame(MARGIN_MM + n % 3 * (width + _GUTTER), _TOP, width, _FOOT - _TOP) for n in range(300))
    columns = flow(blocks, frames)
    pages = [columns[n : n + 3] for n in range(0, len(columns), 3)]
    return tuple(
        _sheet(context, draw_all(p for column in page for p in column), number)
        for number, page in enumerate(pages, 1)
    )


def _sheet(context: Context, items: tuple[Item, ...], number: int) -> Sheet:
    vehicle = context.vehicle
    head = (
        Text(MARGIN_MM, 16.5, f"Key to the floor diagram: {vehicle.name}", 16, "bold", INK),
        Text(MARGIN_MM, 21.8, "The same numbers stand on the stickers and in every step.", 9, "regular", INK),
    )
    dated = day_in_words(vehicle.printed_on)
    left = "   ".join(word for word in (vehicle.dealer.name if vehicle.dealer else "", dated) if word)
    foot = footer(left, f"Key {number}", MARGIN_MM, 202.5, _WIDTH - 2 * MARGIN_MM)
    return Sheet(_WIDTH, _HEIGHT, (*head, *items, *foot), f"Key: {vehicle.name}")
