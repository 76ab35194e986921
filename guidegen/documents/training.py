"""Training sheets: the diagram to fill in, its answers, one system at a time, and large for a wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain, repeat

from guidegen.documents.context import Context
from guidegen.documents.form_page import SIDE_MM, FormPage, page_of
from guidegen.documents.parts import INK, KeyRow
from guidegen.documents.training_rows import BlankKeyRow, MeasuredRow
from guidegen.documents.writing import Blank, BlankRow
from guidegen.drawing.primitives import Document, Group, Item, Sheet, moved
from guidegen.paper.blocks import Block
from guidegen.paper.containers import Columns
from guidegen.paper.flow import Frame, Placed, draw_all, flow, flow_balanced
from guidegen.paper.sheets import A3, A4
from guidegen.paper.text import TextStyle
from guidegen.plan.arrange import Arrangement, Subject, arrange
from guidegen.plan.body import draw_vehicle
from guidegen.plan.floor import draw_floor
from guidegen.plan.frame import Frame as PlanFrame
from guidegen.plan.markers import colour_of
from guidegen.plan.numbering import NUMBERING_BOX, subject_of
from guidegen.trade.records import System
from guidegen.vehicle.model import ServicePoint

_SHEET = A4.landscape
_WALL = A3.landscape
_COLUMNS, _SYSTEM_COLUMNS = 3, 4
_KEY = TextStyle(8.5, colour=INK, leading=1.2, language="en")
_WALL_KEY = TextStyle(12.0, colour=INK, leading=1.2, language="en")
_ENLARGED = 2**0.5  # from A4 to A3
_LEAST_PLAN_MM = 98.0  # of a system's plan over its key
_NAMED_MM = 8.0


@dataclass(frozen=True)
class _Kit:
    """The vehicle, drawn once for each scale however many sheets show it."""

    context: Context

    @cached_property
    def points(self) -> tuple[ServicePoint, ...]:
        return tuple(sorted(self.context.vehicle.points, key=lambda p: p.number))

    @cached_property
    def _drawn(self) -> dict[tuple[float, bool], tuple[Item, ...]]:
        return {}

    def plan(self, found: Arrangement, ghosts: Sequence[ServicePoint] = ()) -> tuple[Item, ...]:
        vehicle, trade = self.context.vehicle, self.context.trade
        under = self._vehicle(found.frame, bool(ghosts))
        return draw_floor(vehicle, trade, found, ghosts=ghosts, under=under)

    def _vehicle(self, frame: PlanFrame, faded: bool) -> tuple[Item, ...]:
        key = (frame.scale, faded)
        if key not in self._drawn:
            at_origin = replace(frame, x=0.0, y=0.0)
            self._drawn[key] = draw_vehicle(self.context.vehicle.layout, at_origin, faded)
        return (moved(self._drawn[key], frame.x, frame.y),)

    def row(self, point: ServicePoint, style: TextStyle, *, place: bool = True) -> MeasuredRow:
        kind = self.context.trade.kinds[point.kind]
        large = style.size_pt > _KEY.size_pt
        row = KeyRow(
            number=point.number,
            name_text=point.name,
            place=point.place if place else "",
            symbol_name=kind.symbol,
            colour=colour_of(point, self.context.trade),
            style=style,
            symbol_mm=7.0 if large else 5.2,
        )
        return MeasuredRow(block=row)


def compose(context: Context) -> Document:
    """Blank, answers, each system, and two sheets of A3 for the wall.

    Raises SheetTooSmallError when the callouts fit on no plan.
    """
    vehicle, kit = context.vehicle, _Kit(context)
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    sheets = (
        *_exercise(kit, found),
        *_answers(kit, found),
        *_systems(kit),
        *_wall(kit, found),
    )
    return Document(
        sheets,
        title=f"Training sheets: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="The floor diagram to fill in, its answers, each system, and for the wall",
    )


# To fill in


def _exercise(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    note = "Write the name of each number on the lines of the next pages."
    page = page_of(kit.context, "Exercise", _SHEET, note)
    named = BlankRow(blanks=(Blank("Name", share=2.0), Blank("Date"), Blank("Right, of all", share=0.8)))
    rows = [BlankKeyRow(number=p.number, colour=colour_of(p, kit.context.trade)) for p in kit.points]
    pages = _in_columns(page, tuple(rows), _NAMED_MM + 2.0)
    total = len(pages) + 1
    yield page.sheet(kit.plan(found), 1, total)
    for number, placed in enumerate(pages, 2):
        head = named.draw(SIDE_MM, page.top(number), page.width)
        yield page.sheet((*head, *draw_all(placed)), number, total)


def _in_columns(
    page: FormPage, rows: Sequence[Block], below: float = 0.0, columns: int = _COLUMNS, first: int = 2
) -> list[list[Placed]]:
    """The rows on as many pages as they need; the columns of the last page end alike."""
    frames = page.frames(first, columns, below)
    placed = list(flow(rows, chain.from_iterable(repeat(frames))))
    whole = (len(placed) - 1) // columns * columns
    placed[whole:] = flow_balanced([one.block for column in placed[whole:] for one in column], frames)
    pages = [list(placed[n : n + columns]) for n in range(0, len(placed), columns)]
    return [[one for column in page_columns for one in column] for page_columns in pages]


# Answers


def _answers(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    page = page_of(kit.context, "Answers", _SHEET)
    pages = _in_columns(page, tuple(kit.row(p, _KEY) for p in kit.points))
    total = len(pages) + 1
    yield page.sheet(kit.plan(found), 1, total)
    for number, placed in enumerate(pages, 2):
        yield page.sheet(draw_all(placed), number, total)


# One system at a time


def _systems(kit: _Kit) -> Iterator[Sheet]:
    used = {p.system for p in kit.points}
    for system in kit.context.trade.systems.values():
        if system.letter in used:
            yield from _system(kit, system)


def _system(kit: _Kit, system: System) -> Iterator[Sheet]:
    """The plan with this system alone, the others as faint dots, and its key below or on the next page."""
    own = tuple(p for p in kit.points if p.system == system.letter)
    title = system.name[:1].upper() + system.name[1:]
    page = replace(page_of(kit.context, title, _SHEET), two_sided=False)
    frame = page.frames()[0]
    for place in (True, False):
        key = Columns(blocks=tuple(kit.row(p, _KEY, place=place) for p in own), count=_SYSTEM_COLUMNS)
        high = key.height_mm(frame.width)
        if frame.height - high - 3.0 >= _LEAST_PLAN_MM:
            plan = kit.plan(*_alone(kit, own, frame, frame.height - high - 3.0))
            drawn = key.draw(frame.x, frame.y + frame.height - high, frame.width)
            yield page.sheet((*plan, *drawn), 1, 1)
            return
    pages = _in_columns(page, tuple(kit.row(p, _KEY) for p in own))
    yield page.sheet(kit.plan(*_alone(kit, own, frame, frame.height)), 1, len(pages) + 1)
    for number, placed in enumerate(pages, 2):
        yield page.sheet(draw_all(placed), number, len(pages) + 1)


def _alone(
    kit: _Kit, own: tuple[ServicePoint, ...], frame: Frame, height: float
) -> tuple[Arrangement, tuple[ServicePoint, ...]]:
    """The arrangement of one system, and the points of the others."""
    vehicle = kit.context.vehicle
    box = (frame.x, frame.y, frame.width, round(height, 1))
    found = arrange(Subject(vehicle.layout, own, vehicle.nearside), box)
    return found, tuple(p for p in kit.points if p not in own)


# For the wall


def _wall(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    """The diagram of A4 enlarged to A3, and beside it the key in letters to be read from two metres."""
    page = replace(page_of(kit.context, "Wall", _WALL), two_sided=False)
    for columns in (4, 5, 6):
        style = _WALL_KEY.at({4: 12.0, 5: 11.0, 6: 10.0}[columns])
        rows = tuple(kit.row(p, style, place=False) for p in kit.points)
        pages = _in_columns(page, rows, columns=columns)
        if len(pages) == 1:
            break
    total = len(pages) + 1
    x, y, width, height = NUMBERING_BOX
    frame = page.frames()[0]
    left = frame.x + (frame.width - width * _ENLARGED) / 2 - x * _ENLARGED
    top = frame.y + (frame.height - height * _ENLARGED) / 2 - y * _ENLARGED
    large = Group(kit.plan(found), transform=(_ENLARGED, 0.0, 0.0, _ENLARGED, left, top))
    yield page.sheet((large,), 1, total)
    for number, placed in enumerate(pages, 2):
        yield page.sheet(draw_all(placed), number, total)
