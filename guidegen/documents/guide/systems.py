"""One chapter a system: what it is, its points on a plan with the others faint, how to use it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from guidegen.documents.guide.pages import PARTED_MM, Chapter, Kit, label_block, title_block
from guidegen.documents.guide.photos import photo_block
from guidegen.documents.guide.rows import anchored, web_block
from guidegen.documents.guide.sharing import Group, share_pages
from guidegen.documents.guide.system_parts import HOW, Part
from guidegen.documents.guide.system_ways import Spread, Text, Way
from guidegen.documents.guide.using import about_blocks, caution_blocks, use_blocks
from guidegen.documents.guide.whole import key_rows, missing_blocks
from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block
from guidegen.trade.records import System
from guidegen.trade.uses import SystemUse, load_uses
from guidegen.vehicle.model import ServicePoint

_TITLES = {"S": "Safety equipment"}  # the first chapter is called Safety
_MOST_PARTED_MM = 18.0  # between systems on a page with room to spare


def row_of(point: ServicePoint) -> str:
    """The name of the destination of a point's row in its system's chapter."""
    return f"about-{point.id}"


def system_chapters(kit: Kit, page: int) -> Iterator[Chapter]:
    """The systems of which the vehicle has points, in the trade's order, the first on page number `page`."""
    parts = [
        _part(kit, system, points)
        for system in kit.context.trade.systems.values()
        if (points := tuple(p for p in kit.context.vehicle.points if p.system == system.letter))
    ]
    foot = kit.look.top
    for group in share_pages(parts, kit.look, page):
        if isinstance(group.how, Spread):
            foot = group.how.foot
            yield _chapter(group.parts[0], group.how.draw())
        else:
            yield from _together(kit, group, group.how, foot if group.after else 0.0)


def _together(kit: Kit, group: Group, way: Way, foot: float) -> Iterator[Chapter]:
    """The parts of a group on one page, one below the other and below what ends there at `foot`."""
    heights = [part.height_mm(way) or 0.0 for part in group.parts]
    gaps = len(heights) - (not foot)
    spare = kit.look.bottom - (foot or kit.look.top) - sum(heights) - gaps * PARTED_MM
    gap = min(_MOST_PARTED_MM, PARTED_MM + spare / (gaps + 1))
    y = foot + gap if foot else kit.look.top
    for number, (part, height) in enumerate(zip(group.parts, heights, strict=True)):
        below = bool(number or foot)
        yield _chapter(part, [part.set_whole(way, y, gap if below else 0.0)], runs_on=below)
        y += height + gap


def _chapter(part: Part, pages: Sequence[tuple[Item, ...]], runs_on: bool = False) -> Chapter:
    return Chapter(f"system-{part.letter}", part.title, tuple(pages), runs_on=runs_on)


def _part(kit: Kit, system: System, points: tuple[ServicePoint, ...]) -> Part:
    title = _TITLES.get(system.letter, system.name[:1].upper() + system.name[1:])
    use = load_uses().get(system.letter, SystemUse((), (), ()))
    head = (title_block(kit, f"system-{system.letter}", title), *about_blocks(kit, use.about))
    text = Text(
        tuple(_how(kit, use)),
        tuple(_points(kit, system, points)),
        (*_photos(kit, points), *_webs(kit, points)),
    )
    return Part(kit, system.letter, title, points, head, text)


def _how(kit: Kit, use: SystemUse) -> Iterator[Block]:
    yield label_block(kit, HOW)
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
