"""Stickers with the numbers of the diagram, warnings beside them, and tags to cut out and hang up.

Numbered stickers come by number, then warnings; both fill a label sheet from its first free label.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.parts import INK
from guidegen.documents.sticker_labels import Box, NumberSticker, draw_number, draw_warning, number_look
from guidegen.drawing.primitives import WHITE, Circle, Document, Item, Rect, Sheet, Style, Text
from guidegen.errors import NothingToPrint, WrongUse
from guidegen.paper.blocks import draw_lines
from guidegen.paper.labels import LabelSheet, grid, label_sheet, positions
from guidegen.paper.marks import BAR_CAPTION, BAR_MM, NOTE_STYLE, check_bar
from guidegen.paper.sheets import EDGE_MM
from guidegen.paper.text import DoesNotFit, TextStyle, fit_size, height_mm, wrap
from guidegen.trade.records import WarningSticker, holds
from guidegen.vehicle.model import ServicePoint

_CUT = Style(stroke="#404040", width_mm=0.25, dash_mm=(3.0, 1.5), round_ends=False)
_HOLE_MM = 2.5
_LEAST_BAND_MM = 9.0  # of a sheet's own margin, for small print between edge and labels
_TWO_LINES_MM = 11.5
_PLACEHOLDER = re.compile(r"\{([a-z0-9-]+)\}")


class _Warning(Struct, frozen=True):
    sticker: WarningSticker
    lines: tuple[str, ...]


def compose(context: Context) -> Document:
    """Label sheets, then a sheet of tags where there are any.

    Raises WrongUse for an unknown sheet, start label or point, GuidegenError for too long a name.
    """
    vehicle, options = context.vehicle, context.options
    labels = label_sheet(options.sticker_sheet)
    numbered = [_numbered(context, point) for point in _points(context)]
    warnings = list(_warnings(context))
    on_labels, to_cut = _sorted_out(warnings, labels)
    wanted: list[NumberSticker | _Warning] = [*numbered, *on_labels] * options.sticker_copies
    sheets = [
        *_label_sheets(context, labels, wanted),
        *_tag_sheets(context, to_cut * options.sticker_copies),
    ]
    if not sheets:
        raise NothingToPrint(f"There is nothing to print on stickers: {vehicle.name} has no points yet.")
    return Document(
        tuple(sheets),
        title=f"Stickers: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="Stickers with the numbers of the floor diagram, and warnings",
    )


def _points(context: Context) -> list[ServicePoint]:
    """The points asked for by id or number, all when none are named; by number."""
    vehicle, wanted = context.vehicle, context.options.sticker_points
    found = [p for p in vehicle.points if not wanted or p.id in wanted or str(p.number) in wanted]
    known = {w for p in vehicle.points for w in (p.id, str(p.number))} | context.trade.stickers.keys()
    unknown = [word for word in wanted if word not in known]
    if unknown:
        raise WrongUse(
            f"There is no point or warning “{unknown[0]}” in {vehicle.name}: "
            f"name a point by its id or its number, or a warning ({', '.join(context.trade.stickers)})."
        )
    return sorted(found, key=lambda p: p.number)


def _numbered(context: Context, point: ServicePoint) -> NumberSticker:
    trade = context.trade
    kind = trade.kinds[point.kind]
    shown = replace(kind, symbol=kind.symbol_on(context.vehicle.facts))
    return NumberSticker(point.number, point.name, shown, trade.systems[point.system])


def _warnings(context: Context) -> Iterator[_Warning]:
    vehicle, wanted = context.vehicle, context.options.sticker_points
    for sticker in context.trade.stickers.values():
        if not holds(sticker.when, vehicle.facts) or (wanted and sticker.id not in wanted):
            continue
        caution = (context.trade.cautions[sticker.caution].text,) if sticker.caution else ()
        lines = (*(_with_numbers(line, context) for line in sticker.lines), *caution)
        copies = max(1, len(vehicle.of_kind(*sticker.at)))
        yield from [_Warning(sticker, lines)] * copies


def _with_numbers(line: str, context: Context) -> str:
    """{kind} becomes the numbers of those points in brackets, nothing when none is placed."""

    def numbers(found: re.Match[str]) -> str:
        known = ", ".join(str(p.number) for p in context.vehicle.of_kind(found[1]))
        return f" ({known})" if known else ""

    return _PLACEHOLDER.sub(numbers, line)


def _sorted_out(warnings: Sequence[_Warning], labels: LabelSheet) -> tuple[list[_Warning], list[_Warning]]:
    """Those that fit every label of the sheet, and those to be cut out: tags, and what is too long."""
    smallest = _smallest_ink(labels)
    on_labels: list[_Warning] = []
    to_cut: list[_Warning] = []
    for warning in warnings:
        fits = not warning.sticker.tag and _fits(warning, smallest)
        (on_labels if fits else to_cut).append(warning)
    return on_labels, to_cut


def _smallest_ink(labels: LabelSheet) -> Box:
    places = positions(labels)
    inks = [next(places).ink for _ in range(labels.per_sheet)]
    return (0.0, 0.0, min(ink[2] for ink in inks), min(ink[3] for ink in inks))


def _fits(warning: _Warning, box: Box) -> bool:
    try:
        draw_warning(warning.sticker, warning.lines, box)
    except DoesNotFit:
        return False
    return True


def _label_sheets(
    context: Context, labels: LabelSheet, wanted: Sequence[NumberSticker | _Warning]
) -> Iterator[Sheet]:
    on_sheet: dict[int, list[Item]] = {}
    look = number_look([what for what in wanted if isinstance(what, NumberSticker)], _smallest_ink(labels))
    for place, what in zip(positions(labels, context.options.sticker_start), wanted, strict=False):
        items = on_sheet.setdefault(place.sheet, [])
        if isinstance(what, NumberSticker):
            items += draw_number(what, place.ink, look)
        else:
            items += draw_warning(what.sticker, what.lines, place.ink)
    for number, items in on_sheet.items():
        which = f"Stickers: {context.vehicle.name}, sheet {number + 1} of {len(on_sheet)}"
        note = f"{labels.title}. {which}" if labels.title else which
        width, height = labels.sheet.width_mm, labels.sheet.height_mm
        grid_height = labels.rows * (labels.height_mm + labels.gap_y_mm) - labels.gap_y_mm
        below = height - labels.top_mm - grid_height
        small = _small_print(note, width, height, below, labels.top_mm, letters=_letters(context, wanted))
        yield Sheet(width, height, (*items, *small), f"Stickers {number + 1}: {context.vehicle.name}")


def _letters(context: Context, wanted: Sequence[NumberSticker | _Warning]) -> str:
    """What the letters of the systems stand for, in few words: "B body" of body and chassis."""
    used = {what.system.letter for what in wanted if isinstance(what, NumberSticker)}
    systems = (s for s in context.trade.systems.values() if s.letter in used)
    short = ((s.letter, s.name.partition(" and ")[0].partition(" (")[0]) for s in systems)
    return "   ".join(f"{letter}\N{NO-BREAK SPACE}{name}" for letter, name in short)


def _small_print(
    note: str,
    width: float,
    height: float,
    below: float,
    above: float,
    left: float = EDGE_MM + 3,
    letters: str = "",
) -> Iterator[Item]:
    """The 100 mm bar and what sheet it is, in the margin that the labels leave, where there is one.

    letters: what they stand for, where the margin has room for a second line.
    """
    if above >= _LEAST_BAND_MM:
        style = fit_size(note, width - 2 * left, NOTE_STYLE.at(7.5), place="the head of the sticker sheet")
        yield Text(left, EDGE_MM + 2.4, note, style.size_pt, colour=style.colour)
    if letters and above >= _TWO_LINES_MM:
        style = fit_size(letters, width - 2 * left, NOTE_STYLE, place="the head of the sticker sheet")
        yield Text(left, EDGE_MM + 5.6, letters, style.size_pt, colour=style.colour)
    if below >= _LEAST_BAND_MM:
        yield from check_bar(left, height - EDGE_MM - 1.2)
        beside = left + BAR_MM + 2
        style = fit_size(BAR_CAPTION, width - EDGE_MM - beside, NOTE_STYLE, place="the check bar")
        yield Text(beside, height - EDGE_MM - 0.4, BAR_CAPTION, style.size_pt, colour=style.colour)


def _tag_sheets(context: Context, tags: Sequence[_Warning]) -> Iterator[Sheet]:
    sheet = grid("tags", 2, 4, (92.0, 62.0), (4.0, 4.0), top=20.0)
    note = (
        f"To cut out: {context.vehicle.name}. "
        "Print on plain paper or card at 100 %, cut out along the dashes, cover with clear film."
    )
    pages: dict[int, list[Item]] = {}
    for place, tag in zip(positions(sheet), tags, strict=False):
        items = pages.setdefault(place.sheet, [])
        items.append(Rect(place.x, place.y, place.width, place.height, _CUT))
        x, y, width, height = place.x + 3, place.y + 3, place.width - 6, place.height - 6
        if tag.sticker.tag:
            hole = Circle(place.x + place.width / 2, y + _HOLE_MM, _HOLE_MM, Style(WHITE, INK, 0.25))
            items.append(hole)
            y, height = y + 2 * _HOLE_MM + 1.5, height - 2 * _HOLE_MM - 1.5
        items += draw_warning(tag.sticker, tag.lines, (x, y, width, height))
    for number, items in pages.items():
        width, height = sheet.sheet.width_mm, sheet.sheet.height_mm
        lines = wrap(note, width - 2 * sheet.left_mm, TextStyle(8.5, colour=INK))
        head = draw_lines(lines, sheet.left_mm, sheet.top_mm - 3.0 - height_mm(lines), width)
        title = f"Tags {number + 1}: {context.vehicle.name}"
        yield Sheet(
            width, height, (*head, *items, *_small_print("", width, height, 10.0, 0.0, sheet.left_mm)), title
        )
