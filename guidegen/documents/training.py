"""Training sheets: the diagram to fill in, its answers, one system at a time, and large for a wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.exercise import answer_sheets, enlarged, in_columns, line_sheets, numbered_row
from guidegen.documents.form_page import SIDE_MM, FormPage, page_of
from guidegen.drawing.primitives import Document, Group, Item, Sheet, moved
from guidegen.paper.blocks import Block
from guidegen.paper.containers import Columns
from guidegen.paper.flow import Frame, draw_all, flow_balanced
from guidegen.paper.sheets import A3, A4, Paper
from guidegen.paper.text import DoesNotFit
from guidegen.plan.afar import for_afar
from guidegen.plan.arrange import Arrangement, arrange
from guidegen.plan.body import draw_vehicle
from guidegen.plan.derived import only, untitled
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.floor import draw_floor
from guidegen.plan.frame import Frame as PlanFrame
from guidegen.plan.margins import LEGEND_LINE_MM, MARGIN_MM, legend, legend_rows, used_systems
from guidegen.plan.numbering import NUMBERING_BOX, subject_of
from guidegen.trade.records import System
from guidegen.vehicle.model import ServicePoint, Vehicle

_TO_DO = "Write the name of each number on its line on the {}."
_SHEET = A4.landscape
_WALL = A3.landscape
_COLUMNS, _KEY_COLUMN_MM = 3, 62.0
_WALL_COLUMNS = 6
# On a wall chart of so few numbers there is room to enlarge them by pushing each so far, on A4.
_WALL_FEW, _WALL_ASIDE_MM = 40, 9.0
_ENLARGED = 2**0.5  # from A4 to A3
_OVER_KEY_MM = 3.0
_LOWER_MM = 2.0  # than on the plan alone: the head is higher, and the legend stands under it
_LEAST_TIMES = 1.2  # of a key that is read from a screen
_KEY_STEPS = 16  # of enlarging, at most, a key on the sheet of its plan


class _Kit(Struct, frozen=True, dict=True):
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


def compose(context: Context) -> Document:
    """Blank, answers, each system, and two sheets of A3 for the wall.

    Raises SheetTooSmallError when the callouts fit on no plan.
    """
    vehicle, kit = context.vehicle, _Kit(context)
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    sheets = (
        *_exercise(kit, found),
        *_answers(kit, found),
        *_systems(kit, found),
        *_wall(kit, found),
    )
    return Document(
        sheets,
        title=f"Training sheets: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="The floor diagram to fill in, its answers, each system, and for the wall",
    )


def refuse_crowd(vehicle: Vehicle) -> None:
    """Raises SheetTooSmallError where `compose` would, from points that have no numbers yet.

    What it takes to find that out is not lost: the numbers follow the same plan.
    """
    try:
        arrange(subject_of(vehicle), NUMBERING_BOX)
    except SheetTooSmallError as error:
        raise SheetTooSmallError(
            f"{len(vehicle.points)} points are too many for a plan on A4, as a pack has: take out those that "
            f"an owner never looks for, or print the plan larger (guidegen plan --paper A3 or A2) and build "
            f"the rest (--only guide,handover,check-sheet,stickers)"
        ) from error


def _page(kit: _Kit, title: str, paper: Paper, note: str = "") -> FormPage:
    """The pages of a sheet, on one side: the plan lies beside what belongs to it.

    No owner is named where others learn.
    """
    return page_of(kit.context, title, paper, note, two_sided=False, owned=False)


# To fill in, and filled in


def _exercise(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    page = _page(kit, "Exercise", _SHEET, _TO_DO.format("next page"))
    lines = tuple(line_sheets(kit.context, kit.points, page, _COLUMNS, 2))
    if len(lines) > 1:
        page = replace(page, note=_TO_DO.format("next pages"))
    plan = moved(kit.plan(untitled(found)), 0.0, _LOWER_MM)
    yield page.sheet((plan, *_legend(kit, page)), 1, len(lines) + 1)
    yield from lines


def _answers(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    page = _page(kit, "Answers", _SHEET)
    key = tuple(answer_sheets(kit.context, kit.points, page, _COLUMNS, 2))
    plan = moved(kit.plan(found), 0.0, _LOWER_MM)
    yield page.sheet((plan, *_legend(kit, page)), 1, len(key) + 1)
    yield from key


def _legend(kit: _Kit, page: FormPage, times: float = 1.0) -> tuple[Item, ...]:
    """What the shapes and colours of the marks stand for, under the head of the page."""
    systems = used_systems(kit.points, kit.context.trade)
    width = page.paper.width_mm / times
    foot = page.top(1) / times + 1.4 + (len(legend_rows(systems, width)) - 1) * LEGEND_LINE_MM
    items = tuple(legend(systems, width, foot))
    return (Group(items, transform=(times, 0.0, 0.0, times, SIDE_MM - MARGIN_MM * times, 0.0)),)


# One system at a time


def _systems(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    used = {p.system for p in kit.points}
    for system in kit.context.trade.systems.values():
        if system.letter in used:
            yield from _system(kit, found, system)


def _system(kit: _Kit, found: Arrangement, system: System) -> Iterator[Sheet]:
    """The plan with this system alone, the others as faint dots, and its key below or on the next page.

    Every number stands where it stands on the exercise.
    """
    own = tuple(p for p in kit.points if p.system == system.letter)
    title = system.name[:1].upper() + system.name[1:]
    page = _page(kit, title, _SHEET)
    frame = page.frames()[0]
    shown = for_afar(only(found, {p.id for p in own}))
    top, foot = _extent(shown)
    plan = moved(kit.plan(shown, [p for p in kit.points if p not in own]), 0.0, frame.y - top)
    rooms = tuple(_rooms(shown, frame, frame.y - top))
    whole, names = (tuple(numbered_row(kit.context, p, place=place) for p in own) for place in (True, False))
    key = _key_enlarged(whole, rooms)
    if key:
        yield page.sheet((plan, *key), 1, 1)
        return
    key = _key_enlarged(names, rooms) or _key_as_it_is(names, rooms) or _key_in_all(names, rooms[1:])
    answers = tuple(answer_sheets(kit.context, own, page, _COLUMNS, 2))
    yield page.sheet((plan, *key), 1, len(answers) + 1)
    yield from answers


def _key_enlarged(rows: Sequence[Block], rooms: Sequence[Frame]) -> tuple[Item, ...]:
    """The key at the foot of the room that holds it largest; nothing where a class could not read it."""
    found = [
        (larger[1], room, larger[0]) for room in rooms if (larger := enlarged(rows, room, 1, _KEY_STEPS))
    ]
    times, room, pages = max(found, key=lambda one: one[0], default=(0.0, None, None))
    if room is None or pages is None or times < _LEAST_TIMES:
        return ()
    (placed,) = pages
    foot = times * max(one.y + one.height for one in placed)
    drop = room.y + room.height - foot
    return (Group(draw_all(placed), transform=(times, 0.0, 0.0, times, 0.0, drop)),)


def _key_as_it_is(rows: Sequence[Block], rooms: Sequence[Frame]) -> tuple[Item, ...]:
    """The key at the foot of the first room that holds it; nothing where none does."""
    for room in rooms:
        key = Columns(blocks=tuple(rows), count=max(1, int(room.width // _KEY_COLUMN_MM)))
        high = key.height_mm(room.width)
        if high <= room.height:
            return key.draw(room.x, room.y + room.height - high, room.width)
    return ()


def _key_in_all(rows: Sequence[Block], rooms: Sequence[Frame]) -> tuple[Item, ...]:
    """The key in columns on both sides of the insets; nothing where even they do not hold it."""
    frames = [
        Frame(room.x + n * room.width / count, room.y, room.width / count - _OVER_KEY_MM, room.height)
        for room in rooms
        if (count := int(room.width // _KEY_COLUMN_MM))
        for n in range(count)
    ]
    if not frames:
        return ()
    try:
        placed = [one for column in flow_balanced(rows, frames) for one in column]
    except DoesNotFit:
        return ()
    foot = max(one.y + one.height for one in placed)
    return (moved(draw_all(placed), 0.0, frames[0].y + frames[0].height - foot),)


def _extent(found: Arrangement) -> tuple[float, float]:
    """Top and foot of plan and insets."""
    spans = [(found.box[1], found.box[1] + found.box[3])]
    spans += [(found.corners[d.letter][1], found.corners[d.letter][1] + d.height) for d in found.details]
    return min(top for top, _ in spans), max(foot for _, foot in spans)


def _rooms(found: Arrangement, frame: Frame, shift: float) -> Iterator[Frame]:
    """Where a key may stand under a plan moved down by shift: under all of it, or beside its insets."""
    bottom = frame.y + frame.height
    foot = _extent(found)[1] + shift + _OVER_KEY_MM
    yield Frame(frame.x, foot, frame.width, bottom - foot)
    under = found.box[1] + found.box[3]
    insets = sorted(
        (found.corners[d.letter][0], found.corners[d.letter][0] + d.width)
        for d in found.details
        if found.corners[d.letter][1] + d.height > under
    )
    starts = [frame.x, *(end + 2 * _OVER_KEY_MM for _, end in insets)]
    ends = [*(start - 2 * _OVER_KEY_MM for start, _ in insets), frame.x + frame.width]
    top = under + shift + _OVER_KEY_MM
    for start, end in zip(starts, ends, strict=True):
        if end - start > _KEY_COLUMN_MM:
            yield Frame(start, top, end - start, bottom - top)


# For the wall


def _wall(kit: _Kit, found: Arrangement) -> Iterator[Sheet]:
    """The diagram of A4 enlarged to A3, and beside it the key in letters to be read from afar."""
    page = _page(kit, "Wall chart", _WALL)
    pages = tuple(_wall_keys(kit, page))
    total = len(pages) + 1
    x, y, width, height = NUMBERING_BOX
    frame = page.frames()[0]
    left = frame.x + (frame.width - width * _ENLARGED) / 2 - x * _ENLARGED
    top = frame.y + (frame.height - height * _ENLARGED) / 2 - y * _ENLARGED
    shown = for_afar(found, _WALL_ASIDE_MM) if len(kit.points) <= _WALL_FEW else found
    large = Group(kit.plan(shown), transform=(_ENLARGED, 0.0, 0.0, _ENLARGED, left, top))
    yield page.sheet((large, *_legend(kit, page, _ENLARGED)), 1, total)
    for number, key in enumerate(pages, 2):
        yield page.sheet((key,), number, total)


def _wall_keys(kit: _Kit, page: FormPage) -> Iterator[Group]:
    """The key enlarged as far as one sheet holds it; as it is, on more sheets, where one does not."""
    rows = tuple(numbered_row(kit.context, p, place=False) for p in kit.points)
    pages, times = enlarged(rows, page.frames(2)[0], 1) or (in_columns(page, rows, _WALL_COLUMNS), 1.0)
    for placed in pages:
        yield Group(draw_all(placed), transform=(times, 0.0, 0.0, times, 0.0, 0.0))
