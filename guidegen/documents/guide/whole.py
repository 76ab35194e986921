"""The plan with every number, its key by number, and the views from outside."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import suppress

from msgspec.structs import replace

from guidegen.documents.guide.columns import in_columns
from guidegen.documents.guide.look import TURNED_IN_MM, lying, turned_page
from guidegen.documents.guide.pages import Chapter, Kit, continued, headed, label_block, title_block
from guidegen.documents.guide.plans import (
    FloorPlan,
    floor_plan,
    in_groups,
    middle_seam,
    numbered_plan,
    packed,
)
from guidegen.documents.guide.rows import anchored, key_line, linked_badges, marked_badge, place_of
from guidegen.documents.parts import INK, NOT_LOCATED
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Destination, Item, Text, moved
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Columns, KeepTogether
from guidegen.paper.marks import turned
from guidegen.paper.text import Span
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.markers import colour_of, system_mark
from guidegen.vehicle.model import ServicePoint

_DENSE, _DENSE_SHARE = 80, 0.85
_UNEVEN, _WORTH_PARTING = 1.2, 16  # a plan so much smaller than another of the chapter, with so many points
_TITLE = "Where everything is"
_SAME = "The same numbers stand on the stickers, in the key and in every step."
_MORE = "Systems that are not here stand on the next pages."
_WORDS = f"Front up, seen from above. {_SAME}"
_PARTED_MM = 3.5  # the systems of the legend


def plan_chapter(kit: Kit) -> Chapter:
    """One page with the plan as it is on its own sheet, turned; else one or more with upright plans."""
    page = turned_page(kit.look)
    with suppress(SheetTooSmallError):
        if page:
            drawn = tuple(_lying(Kit(kit.context, lying(page))))
            place = Destination("chapter-plan", page.top, _TITLE, 0)
            items = (place, turned(drawn, 0.0, page.bottom - TURNED_IN_MM, 270))
            return Chapter("plan", _TITLE, (items,), turned=True)
    return _upright(kit)


def _lying(kit: Kit) -> Iterator[Item]:
    """Numbers in order round the vehicle, and insets with the letters that they have on plan and card."""
    look, points = kit.look, kit.context.vehicle.points
    plan = numbered_plan(kit)
    title = replace(title_block(kit, "plan", _TITLE), destination="")
    yield from title.draw(0.0, 0.0, look.width)
    top, foot = title.height_mm(look.width), look.bottom - _legend_height(kit, points)
    baseline = title.first_baseline_mm(look.width) or 0.0
    yield Text(look.width, baseline, _SAME, look.body.size_pt, "regular", INK, "end")
    yield moved(plan.items, (look.width - plan.width) / 2, top + (foot - top - plan.height) / 2)
    yield from _legend(kit, points)


def _upright(kit: Kit) -> Chapter:
    """One page, or more where the page is small or the print large."""
    look = kit.look
    points = kit.context.vehicle.points
    words = f"{_WORDS} {_MORE}" if len(points) > look.points_on_a_plan else _WORDS
    head, top = headed(kit, title_block(kit, "plan", _TITLE), Paragraph(text=words, style=look.body))
    again, below = headed(kit, label_block(kit, continued(_TITLE)))
    pages: list[tuple[Item, ...]] = []
    first = packed(kit, points)[0][0]  # whose plan stands below the head of the chapter

    def span(group: tuple[ServicePoint, ...]) -> tuple[float, float]:
        """Where the plan of a group may begin and end."""
        return top if group[0] is first else below, look.bottom - _legend_height(kit, group)

    def draw(group: tuple[ServicePoint, ...]) -> FloorPlan:
        others = [p for p in points if p not in group]
        start, end = span(group)
        # A dense plan needs insets beside it: the largest scale leaves no room, and is slow to fail.
        height = min(end - start, _DENSE_SHARE * look.height) if len(group) > _DENSE else end - start
        return floor_plan(kit, group, look.width, height, ghosts=others)

    for group, plan in _alike(in_groups(kit, points, draw), draw):
        start, end = span(group)
        x = (look.width - plan.width) / 2
        y = start + max(0.0, (end - start - plan.height) / 2)
        opening = again if pages else head
        pages.append((*opening, moved(plan.items, x, y), *_legend(kit, group)))
    return Chapter("plan", _TITLE, tuple(pages))


def _alike(
    drawn: Sequence[tuple[tuple[ServicePoint, ...], FloorPlan]],
    draw: Callable[[tuple[ServicePoint, ...]], FloorPlan],
) -> Iterator[tuple[tuple[ServicePoint, ...], FloorPlan]]:
    """The plans of a chapter; one that its points make much smaller than another is parted in two."""
    largest = min(plan.ratio for _, plan in drawn)
    for group, plan in drawn:
        parts = [(group, plan)]
        if plan.ratio > _UNEVEN * largest and len(group) >= _WORTH_PARTING:
            at = middle_seam(group)
            with suppress(SheetTooSmallError):
                parts = [(part, draw(part)) for part in (group[:at], group[at:])]
        yield from parts if max(one.ratio for _, one in parts) < plan.ratio else [(group, plan)]


def _legend_height(kit: Kit, points: Sequence[ServicePoint]) -> float:
    rows = len(_legend_rows(kit, points))
    return rows * kit.look.small.line_mm + 3.0


def _legend_rows(kit: Kit, points: Sequence[ServicePoint]) -> list[list[tuple[str, float]]]:
    """Systems with the x of their marks, in as many rows as the width asks for."""
    used = {p.system for p in points}
    rows: list[list[tuple[str, float]]] = [[]]
    x, mark = 0.0, kit.look.small.size_pt * 0.3
    for system in kit.context.trade.systems.values():
        if system.letter not in used:
            continue
        wide = mark * 1.5 + kit.look.small.width_mm(_capital(system.name)) + _PARTED_MM
        if rows[-1] and x + wide - _PARTED_MM > kit.look.width:
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
    by_number = sorted(kit.context.vehicle.points, key=lambda p: p.number)
    rows = tuple(key_rows(kit, by_number, anchors=True))
    count = kit.look.key_columns
    laid = in_columns(kit, (*rows, *missing_blocks(kit)), kit.look.split(count, top), count)
    return Chapter("key", "Key to the numbers", tuple(laid.drawn(*head)), laid.foot)


def key_rows(kit: Kit, points: Sequence[ServicePoint], *, anchors: bool = False) -> Iterator[Block]:
    """A row for each point in the order given; with anchors, each can be reached by links."""
    trade, style = kit.context.trade, kit.look.body
    for point in points:
        colour = colour_of(point, trade)
        target = "" if anchors else f"#{place_of(point.id)}"
        place = f"{point.place}. {point.note}" if point.note else point.place
        row = key_line(
            kit,
            linked_badges(kit, (point,), 1, {point.id: colour}),
            trade.kinds[point.kind].symbol_on(kit.context.vehicle.facts),
            colour,
            Paragraph(text=(Span(point.name, "bold", target=target),), style=style),
            Paragraph(text=place, style=style),
        )
        yield anchored(row, place_of(point.id)) if anchors else row


def listed(kit: Kit, rows: Sequence[Block]) -> tuple[Block, ...]:
    """Rows of the key, or short boxes, in columns of their own where the look says so."""
    count = kit.look.list_columns
    if count == 1 or not rows:
        return tuple(rows)
    return (Columns(blocks=tuple(rows), count=count, gap=kit.look.gutter, fewest=count + 1),)


def missing_blocks(kit: Kit, systems: Collection[str] = ()) -> Iterator[Block]:
    """What the equipment requires and nobody has placed: marked, never left out in silence."""
    kinds, style = kit.context.trade.kinds, kit.look.body
    rows = [
        key_line(
            kit,
            marked_badge(kit, "?"),
            kinds[item.kind].symbol_on(kit.context.vehicle.facts),
            INK,
            Paragraph(text=item.name, style=style.bold),
            Paragraph(text=NOT_LOCATED, style=style),
        )
        for item in kit.context.vehicle.to_locate
        if not systems or kinds[item.kind].system in systems
    ]
    if rows:
        yield KeepTogether(blocks=(label_block(kit, "To be located"), rows[0]), space_before_mm=5.0)
        yield from rows[1:]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
