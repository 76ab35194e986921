"""Arrive, leave, lay up, first use: each with a map of the walk, its minutes, and rows to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from guidegen.documents.guide.pages import Chapter, Kit, title_block
from guidegen.documents.guide.rows import linked_badges, point_lines
from guidegen.documents.guide.walk_map import WalkMap, stop_tag
from guidegen.documents.parts import BADGE_MM, TICK_BOX_MM, checked, tick_box_block
from guidegen.documents.steps import StepLook, caution_block
from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.flow import Frame, Placed, draw_all, fill, flow
from guidegen.paper.text import Span
from guidegen.sequence.model import PlannedSequence, PlannedStep
from guidegen.trade.records import SequenceName
from guidegen.vehicle.model import ServicePoint

TITLES: dict[SequenceName, str] = {
    "arrive": "Arrive",
    "leave": "Leave",
    "lay-up": "Lay up for winter",
    "recommission": "First use after lay-up",
}
_MAP_MM = 52.0  # width of the map beside the steps
_GAP_MM = 8.0
_BEFORE_DRIVING = {"leave"}


@dataclass(frozen=True, kw_only=True)
class StopRow(Block):
    """What stands at one stop of the walk: knows which stop it is, so that the map of its page can too."""

    stop: int
    row: Block

    def height_mm(self, width_mm: float) -> float:
        return self.row.height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self.row.draw(x, y, width_mm)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.row.first_baseline_mm(width_mm)

    @property
    def name(self) -> str:
        return self.row.name


def walk_chapter(kit: Kit, sequence: PlannedSequence) -> Chapter:
    """The pages of one sequence."""
    title = TITLES[sequence.name]
    head: tuple[Block, ...] = (
        title_block(kit, sequence.name, title),
        Paragraph(text=_figures(sequence), style=kit.look.body),
    )
    placed, _ = fill(head, kit.look.whole)
    top = max(one.y + one.height for one in placed) + 5.0
    stops = stops_of(sequence)
    rows = tuple(_rows(kit, stops))
    drawn = _beside(kit, sequence, rows, top) if kit.look.beside else _above(kit, sequence, rows, top)
    pages = [(*draw_all(placed), *drawn[0]), *drawn[1:]]
    return Chapter(sequence.name, title, tuple(pages))


def stops_of(sequence: PlannedSequence) -> list[tuple[PlannedStep, ...]]:
    """The steps by where one stands, in walking order."""
    return [tuple(steps) for _, steps in groupby(sequence.steps, key=lambda s: s.stop)]


def _figures(sequence: PlannedSequence) -> tuple[Span, ...]:
    minutes = max(1, round(sequence.minutes))
    stops = len(stops_of(sequence))
    hook_up = {"hook-up": " On a pitch with hook-up.", "no-hook-up": " Without hook-up."}
    return (
        Span(f"Allow about {minutes} minutes", "bold"),
        Span(f" with {sequence.walk_m:.0f} m of walking, {stops} stops."),
        Span(hook_up.get(sequence.variant, "")),
        Span(
            " Tick each step. The dark numbers are the stops on the map; the round ones are those of the plan."
        ),
    )


def _beside(kit: Kit, sequence: PlannedSequence, rows: Sequence[Block], top: float) -> list[tuple[Item, ...]]:
    """The map at the left of every page, its part of the way in black; the steps at its right."""
    look = kit.look
    x, width = _MAP_MM + _GAP_MM, look.width - _MAP_MM - _GAP_MM

    def frames() -> Iterator[Frame]:
        yield Frame(x, top, width, look.bottom - top)
        while True:
            yield Frame(x, look.top, width, look.height)

    pages: list[tuple[Item, ...]] = []
    for number, page in enumerate(flow(rows, frames())):
        y = top if number == 0 else look.top
        walk = WalkMap(kit, sequence, "portrait", _MAP_MM, look.bottom - y)
        pages.append((*draw_all(page), *walk.drawn(0.0, y, _stops_on(page))))
    return pages


def _above(kit: Kit, sequence: PlannedSequence, rows: Sequence[Block], top: float) -> list[tuple[Item, ...]]:
    """The map across the first page, above the steps."""
    look = kit.look
    walk = WalkMap(kit, sequence, "landscape", look.width, 0.45 * look.height)
    below = top + walk.height + 5.0

    def frames() -> Iterator[Frame]:
        yield Frame(0.0, below, look.width, look.bottom - below)
        while True:
            yield look.whole

    pages = [draw_all(page) for page in flow(rows, frames())]
    return [(*pages[0], *walk.drawn(0.0, top, frozenset())), *pages[1:]]


def _stops_on(page: Sequence[Placed]) -> frozenset[int]:
    return frozenset(one.block.stop for one in page if isinstance(one.block, StopRow))


def _rows(kit: Kit, stops: Sequence[tuple[PlannedStep, ...]]) -> Iterator[Block]:
    told: set[str] = set()
    points = {p.id: p for p in kit.context.vehicle.points}
    look = StepLook(
        style=kit.look.body, caution_pt=kit.look.body.size_pt, sign_mm=0.8 * kit.look.body.size_pt
    )
    for number, steps in enumerate(stops, 1):
        places = {s.place for s in steps if len(_placed(s, points)) < 2}
        shared = steps[0].place if len(places) == 1 and len(_placed(steps[0], points)) < 2 else ""
        yield StopRow(
            stop=number,
            row=_stop_row(kit, number, shared or _where(steps)),
            keep_with_next=True,
            keep_together=True,
            space_before_mm=5.0,
            space_after_mm=1.6,
        )
        for step in steps:
            for id in step.cautions:
                if id not in told:
                    told.add(id)
                    yield caution_block(kit.context, id, look)
            place = "" if step.place == shared else step.place
            yield StopRow(
                stop=number,
                row=_step_row(kit, step, _placed(step, points), place),
                keep_together=True,
                space_before_mm=1.6,
                space_after_mm=1.6,
            )


def _placed(step: PlannedStep, points: dict[str, ServicePoint]) -> tuple[ServicePoint, ...]:
    return tuple(points[id] for id in step.points if id in points)


def _where(steps: Sequence[PlannedStep]) -> str:
    return "Outside" if steps[0].outside else "Inside"


def _stop_row(kit: Kit, number: int, place: str) -> Row:
    """The dark number of a stop and where it is."""
    size = kit.look.body.size_pt
    tag = stop_tag(str(number), size)
    return Row(
        cells=(Cell(tag, max(TICK_BOX_MM, tag.width)), Cell(Paragraph(text=place, style=kit.look.body.bold))),
        gap=1.8,
    )


def _step_row(kit: Kit, step: PlannedStep, points: tuple[ServicePoint, ...], place: str) -> Row:
    """Tick box, badges, action with place and check, and at the right the minutes that it takes."""
    style = kit.look.body
    tick = max(TICK_BOX_MM, style.size_pt * 0.36)
    several = len({p.place for p in points}) > 1
    badge = linked_badges(points[:1] if several else points, (), style, 1)
    texts: list[Block] = [Paragraph(text=step.text, style=style.bold)]
    if several:
        texts += point_lines(points, kit)
        badge = replace(badge, items=(), width=0.0, height=0.0, baseline=None)
    elif place and place not in ("Inside", "Outside"):
        texts.append(Paragraph(text=place, style=style))
    if step.unlocated:
        texts.append(Paragraph(text="Not located yet: ask whoever hands the vehicle over.", style=style))
    if step.check:
        texts.append(checked(step.check, style))
    cells = [
        Cell(tick_box_block(style.size_pt, tick), tick),
        Cell(badge, max(BADGE_MM, badge.width)),
        Cell(Stack(blocks=tuple(texts), keep_together=True)),
        Cell(Paragraph(text=_minutes(step), style=style, anchor="end"), 1.6 * style.size_pt),
    ]
    return Row(cells=tuple(cells), gap=1.8)


def _minutes(step: PlannedStep) -> str:
    return f"{step.minutes:.0f}\N{NO-BREAK SPACE}min" if step.minutes >= 1 else ""
