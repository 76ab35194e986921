"""The plan with every number, its key by number, and the views from outside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.documents.guide.pages import Chapter, Kit, headed, in_columns, title_block
from guidegen.documents.guide.plans import in_groups
from guidegen.documents.guide.rows import anchored, place_of
from guidegen.documents.key import to_locate_blocks
from guidegen.documents.parts import INK, KeyRow
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Item, Text, moved
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.text import TextStyle
from guidegen.plan.markers import colour_of, system_mark
from guidegen.vehicle.model import ServicePoint

_WORDS = "Front up, seen from above. The same numbers stand on the stickers, in the key and in every step."


def plan_chapter(kit: Kit) -> Chapter:
    """One page, or more where the page is small or the print large."""
    look = kit.look
    points = kit.context.vehicle.points
    head, top = headed(
        kit, title_block(kit, "plan", "Where everything is"), Paragraph(text=_WORDS, style=look.body)
    )
    legend = _legend_height(kit)
    pages: list[tuple[Item, ...]] = []
    groups = in_groups(kit, points, look.width, look.bottom - legend - top)
    for number, (group, plan) in enumerate(groups):
        drawn: tuple[Item, ...] = head if number == 0 else ()
        x = (look.width - plan.width) / 2
        y = top + max(0.0, (look.bottom - legend - top - plan.height) / 2)
        drawn += (moved(plan.items, x, y), *_legend(kit, group))
        pages.append(drawn)
    return Chapter("plan", "Where everything is", tuple(pages))


def _legend_height(kit: Kit) -> float:
    rows = len(_legend_rows(kit, kit.context.vehicle.points))
    return rows * kit.look.small.line_mm + 3.0


def _legend_rows(kit: Kit, points: Sequence[ServicePoint]) -> list[list[tuple[str, float]]]:
    """Systems with the x of their marks, in as many rows as the width asks for."""
    used = {p.system for p in points}
    rows: list[list[tuple[str, float]]] = [[]]
    x, mark = 0.0, kit.look.small.size_pt * 0.3
    for system in kit.context.trade.systems.values():
        if system.letter not in used:
            continue
        wide = mark * 1.5 + kit.look.small.width_mm(_capital(system.name)) + 4.0
        if rows[-1] and x + wide - 4.0 > kit.look.width:
            rows.append([])
            x = 0.0
        rows[-1].append((system.letter, x))
        x += wide
    return rows


def _legend(kit: Kit, points: Sequence[ServicePoint]) -> Iterator[Item]:
    look, trade = kit.look, kit.context.trade
    style = look.small
    rows = _legend_rows(kit, points)
    mark = style.size_pt * 0.3
    for number, row in enumerate(reversed(rows)):
        y = look.bottom - number * style.line_mm
        for letter, x in row:
            system = trade.systems[letter]
            yield system_mark(
                system, system.colour, x + mark / 2, y - cap_height_mm(style.size_pt) / 2, mark * 0.45
            )
            yield Text(x + mark * 1.5, y, _capital(system.name), style.size_pt, "regular", INK)


def key_chapter(kit: Kit) -> Chapter:
    """Every number with its symbol, name and place, in the order of the numbers; then what is missing."""
    head, top = headed(kit, title_block(kit, "key", "Key to the numbers"))
    rows = tuple(key_rows(kit, kit.context.vehicle.points, anchors=True))
    missing = tuple(to_locate_blocks(kit.context, (), kit.look.body))
    laid = in_columns(kit, (*rows, *missing), kit.look.split(kit.look.columns, top))
    return Chapter("key", "Key to the numbers", tuple(laid.drawn(*head)))


def key_rows(kit: Kit, points: Sequence[ServicePoint], *, anchors: bool = False) -> Iterator[Block]:
    """A row for each point by number; with anchors, each can be reached by links."""
    trade = kit.context.trade
    style = TextStyle(kit.look.body.size_pt, colour=INK, leading=1.2)
    for point in sorted(points, key=lambda p: p.number):
        row = KeyRow(
            number=point.number,
            name_text=point.name,
            place=f"{point.place}. {point.note}" if point.note else point.place,
            symbol_name=trade.kinds[point.kind].symbol,
            colour=colour_of(point, trade),
            style=style,
            target="" if anchors else f"#{place_of(point)}",
            space_after_mm=0.5,
        )
        yield anchored(row, place_of(point)) if anchors else row


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
