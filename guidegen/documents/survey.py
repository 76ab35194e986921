"""The sheet for the walk round: the base layout with its grid, and a line for every point to find.

What is written on it is typed into the description as it stands: `grid: F3, height: under-seat`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, count

from msgspec import Struct

from guidegen.documents.context import Context
from guidegen.documents.form_page import GUTTER_MM, SIDE_MM, FormPage, page_of
from guidegen.documents.parts import INK
from guidegen.documents.survey_plan import draw_heights, draw_survey_plan
from guidegen.documents.survey_rows import (
    HEADS_MM,
    KNOWN_HEADS_MM,
    ROW_MM,
    SIDES,
    Columns,
    KnownRow,
    MissingRow,
    column_heads,
    known_heads,
)
from guidegen.documents.writing import Blank, BlankRow
from guidegen.drawing.primitives import Document, Item, Sheet
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.flow import Frame, Placed, draw_all, draw_stack, flow
from guidegen.paper.sheets import A4
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.frame import Hand
from guidegen.plan.markers import colour_of
from guidegen.trade.load import load_trade
from guidegen.trade.records import Trade
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import GAS_APPLIANCES, facts_of
from guidegen.vehicle.grid import grid_of
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.model import ServicePoint, ToLocate, sought_mark
from guidegen.vehicle.required import appliance_name, to_locate

_SHEET = A4.landscape
_TEXT = TextStyle(9.0, colour=INK, leading=1.25)
_HEIGHTS_MM = 44.0  # of the picture of the heights
_LEAST_BLANK = 3
_OVER_HEADS_MM = 3.0
_SHOWN = ("floor", "under-seat", "low", "worktop", "eye-level", "ceiling")  # heights of an example
_KIND_OF_BODY = {"panel-van": "campervan", "caravan": "caravan"}


class _Subject(Struct, frozen=True):
    """What is surveyed."""

    layout: Layout
    nearside: Hand
    trade: Trade
    points: tuple[ServicePoint, ...]
    missing: tuple[ToLocate, ...]
    anything: bool  # nobody has said yet what is fitted
    named: bool  # the head says which vehicle it is


def compose(context: Context) -> Document:
    """The sheet for a vehicle: what is known is printed, what is missing has boxes to fill in."""
    vehicle = context.vehicle
    page = page_of(context, "Survey sheet", _SHEET)
    subject = _Subject(
        vehicle.layout, vehicle.nearside, context.trade, vehicle.points, vehicle.to_locate, False, True
    )
    return _document(subject, page, vehicle.dealer.name if vehicle.dealer else "")


def compose_survey(
    layout: Layout, equipment: Equipment | None = None, *, kind: str = "", nearside: Hand = "left"
) -> Document:
    """The sheet for a bare layout: every point that the equipment requires, or all there may be when None.

    kind: "motorhome", "campervan" or "caravan"; from the body when empty.
    """
    trade = load_trade()
    if equipment is None:
        missing = tuple(_anything(trade))
    else:
        facts = facts_of(kind or _KIND_OF_BODY.get(layout.body, "motorhome"), equipment)
        missing = to_locate(facts, equipment, (), trade)
    page = FormPage("Survey sheet", _SHEET, layout.name, (f"layout: {layout.id}",))
    return _document(_Subject(layout, nearside, trade, (), missing, equipment is None, False), page, "")


def _anything(trade: Trade) -> Iterator[ToLocate]:
    """Each kind that some equipment requires, once, or once for each appliance that it may serve."""
    each = {kind for r in trade.requirements if r.each_of for kind in r.kinds}
    for kind in dict.fromkeys(k for r in trade.requirements for k in r.kinds):
        name = trade.kinds[kind].name
        name = name[:1].upper() + name[1:]
        if kind not in each:
            yield ToLocate(kind, name, "")
            continue
        for appliance in GAS_APPLIANCES:
            yield ToLocate(kind, f"{name} of the {appliance_name(appliance, trade)}", "", (appliance,))


def _document(subject: _Subject, page: FormPage, author: str) -> Document:
    columns = Columns(subject.anything)
    pages = _pages_of_rows(subject, page, columns)
    total = len(pages) + 1
    sheets = [page.sheet(tuple(_plan_page(subject, page)), 1, total)]
    sheets += [_list_page(page, columns, number, parts, total) for number, parts in enumerate(pages, 2)]
    return Document(
        tuple(sheets),
        title=f"Survey sheet: {page.name}",
        author=author,
        subject="Base layout with grid, and a line for every point to find",
    )


# The plan


def _plan_page(subject: _Subject, page: FormPage) -> Iterator[Item]:
    top, foot = page.top(1), page.bottom
    split = foot - _HEIGHTS_MM
    points, trade = subject.points, subject.trade
    plan = (SIDE_MM, top, page.width, split - top - 3.0)
    yield from draw_survey_plan(subject.layout, subject.nearside, plan, points, trade)
    half = (page.width - GUTTER_MM) / 2
    words = tuple(_how_to(subject))
    yield from draw_stack(words, SIDE_MM, split, half)
    heights = (SIDE_MM + half + GUTTER_MM, split, half, _HEIGHTS_MM)
    yield from draw_heights(subject.layout, subject.nearside, heights)


def _how_to(subject: _Subject) -> Iterator[Block]:
    known = (
        f"  Marks on the plan are points that are known already; {_to_find(subject)}."
        if subject.points
        else ""
    )
    bars = " Write I with bars, or it looks like 1." if "I" in grid_of(subject.layout).columns else ""
    steps = (
        "Walk round with these sheets. Draw the open circle of each point on the plan, with its mark.",
        "Write its square in the list: letter, then figure."
        f"{bars} Tick height and side; for an outside locker, the side of its door. Inside needs no “on”.",
        "Type it into the Points of the workbook, or into the file in these words:",
    )
    yield Paragraph(text="How to fill it in", style=TextStyle(11.0, "bold", INK, 1.3))
    for number, step in enumerate(steps, 1):
        words = (Span(f"{number}  ", "bold"), Span(step + (known if number == 1 else "")))
        yield Paragraph(text=words, style=_TEXT, space_before_mm=0.8)
    for line in _examples(subject):
        yield Paragraph(text=line, style=TextStyle(8.5, "bold", INK, 1.3), space_before_mm=0.4)
    by = Blank("By"), Blank("Date", share=0.8)
    known_as = by if subject.named else (Blank("Vehicle", share=1.3), *by)
    yield BlankRow(blanks=known_as, space_before_mm=1.0)


def _to_find(subject: _Subject) -> str:
    """How many points the list asks for below those that are known."""
    count = len(subject.missing)
    if not count:
        return "none is missing, open rows are for more"
    last = sought_mark(count, True)
    return f"{count} are still to be found, ?1 to {last}" if count > 1 else "one is still to be found, ?1"


def _examples(subject: _Subject) -> Iterator[str]:
    """Of what is to be found, one inside and one on the outside, at their usual heights."""
    grid = grid_of(subject.layout)
    column = grid.columns[len(grid.columns) // 3]
    kinds = [subject.trade.kinds[item.kind] for item in subject.missing]
    shown = [kind for kind in kinds if kind.usual and kind.usual[0] in _SHOWN]
    inside = next(((k.id, k.usual[0]) for k in shown if k.outside is False), ("pump-switch", "eye-level"))
    outside = next(((k.id, k.usual[0]) for k in shown if k.outside), ("hookup-inlet", "low"))
    yield f"- {{kind: {inside[0]}, grid: {column}3, height: {inside[1]}}}"
    yield f"- {{kind: {outside[0]}, grid: {column}{grid.rows[-1]}, on: offside, height: {outside[1]}}}"


# The list


class _Part(Struct, frozen=True):
    """Rows of one kind under their heads."""

    frame: Frame
    placed: tuple[Placed, ...]
    boxes: bool  # rows to fill in, with boxes to tick


def _pages_of_rows(subject: _Subject, page: FormPage, columns: Columns) -> list[tuple[_Part, ...]]:
    """The known points, then what is to be found and blank rows to the foot of the last page."""
    frames: list[Frame] = []
    known = flow(tuple(_known_rows(subject, columns)), _supply(page, frames, 2, KNOWN_HEADS_MM))
    listed = zip(frames, known, strict=False)
    pages: list[tuple[_Part, ...]] = [
        (_Part(frame, tuple(placed), False),) for frame, placed in listed if placed
    ]
    rest = _rest(pages[-1][0]) if pages else None
    first = [rest] if rest else []
    blank = MissingRow(columns=columns, mark="", title="")
    rows = (*_missing_rows(subject, columns), *[blank] * _LEAST_BLANK)
    more = [*first]
    asked = flow(rows, chain(first, _supply(page, more, 2 + len(pages), HEADS_MM)))
    parts = [_Part(frame, tuple(placed), True) for frame, placed in zip(more, asked, strict=False)]
    parts[-1] = _filled(parts[-1], blank)
    if rest:
        pages[-1] = (*pages[-1], *(part for part in parts[:1] if part.placed))
    return [*pages, *((part,) for part in parts[len(first) :])]


def _supply(page: FormPage, made: list[Frame], number: int, heads: float) -> Iterator[Frame]:
    """A frame for each page from that number on, noted in `made`."""
    for at in count(number):
        made.extend(page.frames(at, 1, heads))
        yield made[-1]


def _rest(part: _Part) -> Frame | None:
    """What rows to fill in may take under known ones; None where it is too little."""
    frame, last = part.frame, part.placed[-1]
    top = last.y + last.height + _OVER_HEADS_MM + HEADS_MM
    room = frame.y + frame.height - top
    return Frame(frame.x, top, frame.width, room) if room >= _LEAST_BLANK * ROW_MM else None


def _filled(part: _Part, blank: MissingRow) -> _Part:
    """With blank rows to the foot of its frame."""
    last, frame = part.placed[-1], part.frame
    more = int((frame.y + frame.height - last.y - last.height) / ROW_MM)
    return _Part(frame, (*part.placed, *(_below(last, blank, n) for n in range(more))), True)


def _below(last: Placed, blank: MissingRow, n: int) -> Placed:
    return Placed(blank, last.x, last.y + last.height + n * ROW_MM, last.width, ROW_MM)


def _missing_rows(subject: _Subject, columns: Columns) -> Iterator[MissingRow]:
    for number, item in enumerate(subject.missing, 1):
        mark = sought_mark(number, bool(subject.points))
        served = ", ".join(item.serves)
        keys = f"kind: {item.kind}" + (f", serves: {served}" if served else "")
        yield MissingRow(columns=columns, mark=mark, title=item.name, keys=keys)


def _known_rows(subject: _Subject, columns: Columns) -> Iterator[KnownRow]:
    grid = grid_of(subject.layout)
    for point in sorted(subject.points, key=lambda p: p.number):
        yield KnownRow(
            columns=columns,
            number=point.number,
            title=point.name,
            square=grid.name_at(point.x, point.y),
            side=_side(point),
            height=point.height,
            place=point.place,
            colour=colour_of(point, subject.trade),
        )


def _side(point: ServicePoint) -> str:
    """The side as printed: nothing of what is inside the body but reached from outside."""
    from_within = point.where != "inside" or point.place.startswith("Inside")
    return point.where if point.where in SIDES and from_within else ""


def _list_page(page: FormPage, columns: Columns, number: int, parts: Sequence[_Part], total: int) -> Sheet:
    items: list[Item] = []
    for part in parts:
        heads = column_heads if part.boxes else known_heads
        items += (*heads(columns, part.frame), *draw_all(part.placed))
    return page.sheet(items, number, total)
