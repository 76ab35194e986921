"""One chapter a system: what it is, its points on a plan with the others faint, how to use it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct

from guidegen.documents.guide.pages import (
    Chapter,
    Kit,
    Laid,
    headed,
    in_columns,
    label_block,
    paired,
    title_block,
)
from guidegen.documents.guide.photos import photo_block
from guidegen.documents.guide.plans import FloorPlan, floor_plan, in_groups
from guidegen.documents.guide.rows import anchored, web_block
from guidegen.documents.guide.using import about_blocks, caution_blocks, use_blocks
from guidegen.documents.guide.whole import key_rows, listed, missing_blocks
from guidegen.drawing.primitives import Item, moved
from guidegen.paper.blocks import Block
from guidegen.plan.errors import SheetTooSmallError
from guidegen.trade.records import System
from guidegen.trade.uses import SystemUse, load_uses
from guidegen.vehicle.model import ServicePoint

_LEAST_PLAN_MM = 60.0
_SHARES = (0.42, 0.31, 0.27)  # of the page's height
_WHERE = "Where it is"
_TITLES = {"S": "Safety equipment"}  # the first chapter is called Safety


def row_of(point: ServicePoint) -> str:
    """The name of the destination of a point's row in its system's chapter."""
    return f"about-{point.id}"


def system_chapters(kit: Kit) -> Iterator[Chapter]:
    """The systems of which the vehicle has points, in the trade's order."""
    for system in kit.context.trade.systems.values():
        points = tuple(p for p in kit.context.vehicle.points if p.system == system.letter)
        if points:
            yield _chapter(kit, system, points)


def _chapter(kit: Kit, system: System, points: tuple[ServicePoint, ...]) -> Chapter:
    title = _TITLES.get(system.letter, system.name[:1].upper() + system.name[1:])
    use = load_uses().get(system.letter, SystemUse((), (), ()))
    head, top = headed(kit, title_block(kit, f"system-{system.letter}", title), *about_blocks(kit, use.about))
    text = _Text(
        tuple(_how(kit, use)),
        tuple(_points(kit, system, points)),
        (*_photos(kit, points), *_webs(kit, points)),
    )
    plans = _plans(kit, points) if kit.look.lying else iter(())
    if found := _together(kit, plans, text, top):
        plan, laid = found
        pages = laid.drawn(*head, moved(plan.items, (kit.look.width - plan.width) / 2, top))
    else:
        pages = [*_upright(kit, points, head, top), *in_columns(kit, _in_order(kit, text)).drawn()]
    return Chapter(f"system-{system.letter}", title, tuple(pages), system.colour)


class _Text(Struct, frozen=True):
    """What stands below a plan or beside it: how to use the system, where its points are, pictures."""

    how: tuple[Block, ...]
    where: tuple[Block, ...]
    pictures: tuple[Block, ...]


def _in_order(kit: Kit, text: _Text) -> tuple[Block, ...]:
    label = label_block(kit, _WHERE)
    return (*text.how, label, *listed(kit, text.where), *text.pictures)


def _together(kit: Kit, plans: Iterator[FloorPlan], text: _Text, top: float) -> tuple[FloorPlan, Laid] | None:
    """The plan across the page and the text below it: the largest of the plans that saves a page."""
    right = (label_block(kit, _WHERE), *text.where, *text.pictures)
    found: list[tuple[FloorPlan, Laid]] = []
    for plan in plans:
        below = top + plan.height + 5.0
        laid = paired(kit, text.how, right, below) or in_columns(
            kit, _in_order(kit, text), kit.look.split(kit.look.columns, below)
        )
        found.append((plan, laid))
        saved = (plan.height - _LEAST_PLAN_MM) * kit.look.columns
        if len(laid.pages) == 1 or laid.last_mm > saved or plan.insets:
            break
    return min(found, key=lambda one: len(one[1].pages), default=None)


def _upright(
    kit: Kit, points: Sequence[ServicePoint], head: Sequence[Item], top: float
) -> list[tuple[Item, ...]]:
    """The plan on a page of its own, upright, where pages are narrow or the print is large."""
    look = kit.look

    def draw(group: tuple[ServicePoint, ...]) -> FloorPlan:
        others = [p for p in kit.context.vehicle.points if p not in group]
        return floor_plan(kit, group, look.width, look.bottom - top, ghosts=others)

    pages: list[tuple[Item, ...]] = []
    for _, plan in in_groups(kit, points, draw):
        drawn = moved(plan.items, (look.width - plan.width) / 2, look.top if pages else top)
        pages.append((drawn,) if pages else (*head, drawn))
    return pages


def _plans(kit: Kit, points: Sequence[ServicePoint]) -> Iterator[FloorPlan]:
    """The system's plan across the page, from the largest down: a smaller one saves a page now and then.

    None where a page is too narrow. Raises SheetTooSmallError when the points fit on no page of A4.
    """
    others = [p for p in kit.context.vehicle.points if p not in points]
    last: FloorPlan | None = None
    for share in _SHARES:
        height = max(_LEAST_PLAN_MM, share * kit.look.height)
        if last and last.height <= height:  # the same plan once more
            continue
        try:
            plan = floor_plan(kit, points, kit.look.width, height, "landscape", ghosts=others)
        except SheetTooSmallError:
            break
        if not last or plan.ratio != last.ratio:
            yield plan
        last = plan
    if not last and kit.look.beside:
        yield floor_plan(kit, points, kit.look.width, 0.8 * kit.look.height, "landscape", ghosts=others)


def _how(kit: Kit, use: SystemUse) -> Iterator[Block]:
    yield label_block(kit, "How to use it")
    yield from caution_blocks(kit, use.cautions)
    yield from use_blocks(kit, use.use)


def _points(kit: Kit, system: System, points: Sequence[ServicePoint]) -> Iterator[Block]:
    by_number = sorted(points, key=lambda p: p.number)
    for point, row in zip(by_number, key_rows(kit, by_number), strict=True):
        yield anchored(row, row_of(point))
    yield from missing_blocks(kit, (system.letter,))


def _photos(kit: Kit, points: Sequence[ServicePoint]) -> Iterator[Block]:
    """Each photo once, with the numbers of all the points that it shows."""
    by_file: dict[Path, list[ServicePoint]] = {}
    for point in sorted(points, key=lambda p: p.number):
        if point.photo:
            by_file.setdefault(point.photo, []).append(point)
    for file, shown in by_file.items():
        yield photo_block(kit, file, shown)


def _webs(kit: Kit, points: Sequence[ServicePoint]) -> Iterator[Block]:
    for point in points:
        if point.web:
            yield web_block(kit, point.web, f"More on {point.number}, {point.name}:")
