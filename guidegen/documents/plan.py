"""The floor diagram: the plan, the views from outside and the key, or lines to fill in and the answers."""

from __future__ import annotations

from itertools import chain, repeat

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.exercise import answer_sheets, line_sheets
from guidegen.documents.form_page import page_of
from guidegen.documents.key import key_blocks
from guidegen.documents.plan_companion import companion_sheet, has_names
from guidegen.documents.plan_outside import outside_sheets
from guidegen.drawing.primitives import Document, Item, Sheet
from guidegen.errors import NothingToPrint
from guidegen.paper.flow import Frame, draw_all, flow, flow_balanced
from guidegen.paper.sheets import A4, Paper
from guidegen.paper.text import DoesNotFit
from guidegen.plan.margins import MARGIN_MM
from guidegen.plan.sheet import PlanOptions, plan_sheet
from guidegen.vehicle.model import ServicePoint

_TOP, _FOOT_MM = 27.0, 12.0
_GUTTER = 7.0
_WORDS = ("Key to the floor diagram", "The same numbers stand on the stickers and in every step.")
_WITH_NAMES = ("Key to the numbers", "They stand on the stickers and in every step; the plan has the names.")


class Part(Struct, frozen=True):
    """Sheets that belong together; name: what follows the name of a file that holds one of them alone."""

    name: str
    sheets: tuple[Sheet, ...]


def compose(context: Context) -> Document:
    """The plan on the paper of the options; on A4 the outside and the key, or lines and answers."""
    vehicle = context.vehicle
    return Document(
        tuple(sheet for part in parts(context) for sheet in part.sheets),
        title=f"Floor diagram: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="Floor diagram with numbered service points",
    )


def parts(context: Context) -> tuple[Part, ...]:
    """The plan, and what belongs to it.

    Raises SheetTooSmallError when the callouts do not fit, NothingToPrint when there is none of the systems.
    """
    options = context.options.plan or PlanOptions()
    if options.systems:
        _refuse_empty(context, options)
    plan = Part("", (plan_sheet(context.vehicle, context.trade, options).sheet,))
    if options.blank and options.names:  # the lines are on the plan
        named = plan_sheet(context.vehicle, context.trade, replace(options, blank=False, answers=True))
        return (plan, Part("answers", (named.sheet,)))
    if options.blank:
        return (plan, *_exercise(context, options))
    outside = outside_sheets(context, _key_paper(options)[0], options.systems)
    return (plan, Part("outside", outside), Part("key", _key_sheets(context, options)))


def _refuse_empty(context: Context, options: PlanOptions) -> None:
    vehicle, trade = context.vehicle, context.trade
    there = {p.system for p in vehicle.points} | {trade.kinds[m.kind].system for m in vehicle.to_locate}
    if there.isdisjoint(options.systems):
        wanted = " or ".join(trade.systems[s].name for s in options.systems)
        known = ", ".join(f"{s.letter} {s.name}" for s in trade.systems.values() if s.letter in there)
        raise NothingToPrint(
            f"{vehicle.name} has no point of {wanted}" + (f"; it has points of: {known}" if known else "")
        )


def _exercise(context: Context, options: PlanOptions) -> tuple[Part, Part]:
    """Lines for the numbers on the plan, and the names that belong there."""
    paper, columns = _key_paper(options)
    points = tuple(sorted(_asked(context, options), key=lambda p: p.number))
    to_do = "Write the name of each number of the plan on its line."
    lines = page_of(context, "Exercise", paper, to_do, two_sided=False, owned=False)
    answers = page_of(context, "Answers", paper, two_sided=False, owned=False)
    return (
        Part("lines", tuple(line_sheets(context, points, lines, columns, 1))),
        Part("answers", tuple(answer_sheets(context, points, answers, columns, 1))),
    )


def _asked(context: Context, options: PlanOptions) -> tuple[ServicePoint, ...]:
    points = context.vehicle.points
    return tuple(p for p in points if not options.systems or p.system in options.systems)


def _key_paper(options: PlanOptions) -> tuple[Paper, int]:
    """A4 as the plan lies, and how many columns of a key it holds."""
    return (A4.landscape, 3) if options.orientation == "landscape" else (A4.portrait, 2)


def _key_sheets(context: Context, options: PlanOptions) -> tuple[Sheet, ...]:
    """The key on one sheet, in narrower columns if need be, else on as many as it takes."""
    blocks = key_blocks(context, options.systems)
    paper, least = _key_paper(options)
    for columns in (least, least + 1):
        try:
            placed = flow_balanced(blocks, _frames(paper, columns))
        except DoesNotFit:
            continue
        return (_sheet(context, paper, draw_all(p for column in placed for p in column), 1),)
    columns_of = flow(blocks, chain.from_iterable(repeat(_frames(paper, least))))
    sheets = -(-len(columns_of) // least)
    columns_of = flow_balanced(blocks, _frames(paper, least) * sheets)  # no last sheet with little on it
    pages = [columns_of[n : n + least] for n in range(0, len(columns_of), least)]
    return tuple(
        _sheet(context, paper, draw_all(p for column in page for p in column), number)
        for number, page in enumerate(pages, 1)
    )


def _frames(paper: Paper, columns: int) -> list[Frame]:
    width = (paper.width_mm - 2 * MARGIN_MM - (columns - 1) * _GUTTER) / columns
    height = paper.height_mm - _FOOT_MM - _TOP
    return [Frame(MARGIN_MM + n * (width + _GUTTER), _TOP, width, height) for n in range(columns)]


def _sheet(context: Context, paper: Paper, items: tuple[Item, ...], number: int) -> Sheet:
    words = _WITH_NAMES if has_names(context) else _WORDS
    return companion_sheet(context, paper, items, words, "Key", f"Key {number}")
