"""Arrive, leave, lay up, first use: each with a map of the walk, its minutes, and rows to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from guidegen.documents.guide.pages import Chapter, Kit, in_columns, title_block
from guidegen.documents.guide.rows import linked_badges, point_lines
from guidegen.documents.guide.walk_map import WalkMap, stop_tag
from guidegen.documents.parts import BADGE_MM, TICK_BOX_MM, checked, tick_box_block
from guidegen.documents.steps import StepLook, caution_block
from guidegen.drawing.primitives import Item
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.flow import draw_all, fill
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
    drawn = _laid_out(kit, sequence, rows, top)
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


def _laid_out(
    kit: Kit, sequence: PlannedSequence, rows: Sequence[Block], top: float
) -> list[tuple[Item, ...]]:
    """The map across the first page, the steps below it and on, in the columns of the look."""
    look = kit.look
    walk = WalkMap(kit, sequence, look.width, 0.32 * look.height)
    pages = in_columns(kit, rows, look.split(look.columns, top + walk.height + 5.0))
    return [(*walk.drawn(0.0, top), *pages[0]), *pages[1:]]


def _rows(kit: Kit, stops: Sequence[tuple[PlannedStep, ...]]) -> Iterator[Block]:
    told: set[str] = set()
    points = {p.id: p for p in kit.context.vehicle.points}
    look = StepLook(
        style=kit.look.body, caution_pt=kit.look.body.size_pt, sign_mm=0.8 * kit.look.body.size_pt
    )
    for number, steps in enumerate(stops, 1):
        places = {s.place for s in steps if len(_placed(s, points)) < 2}
        shared = steps[0].place if len(places) == 1 and len(_placed(steps[0], points)) < 2 else ""
        yield replace(
            _stop_row(kit, number, shared or _where(steps)),
            keep_with_next=True,
            space_before_mm=5.0,
            space_after_mm=1.6,
        )
        for step in steps:
            for id in step.cautions:
                if id not in told:
                    told.add(id)
                    yield caution_block(kit.context, id, look)
            place = "" if step.place == shared else step.place
            row = _step_row(kit, step, _placed(step, points), place)
            yield replace(row, space_before_mm=1.6, space_after_mm=1.6)


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
    badge = linked_badges(points, (), style, 1)
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
    if step.minutes >= 1:
        said = f"Allow about {step.minutes:.0f}\N{NO-BREAK SPACE}minutes."
        texts.append(Paragraph(text=said, style=style))
    cells = [
        Cell(tick_box_block(style.size_pt, tick), tick),
        Cell(badge, max(BADGE_MM, badge.width)),
        Cell(Stack(blocks=tuple(texts), keep_together=True)),
    ]
    return Row(cells=tuple(cells), gap=1.8)
