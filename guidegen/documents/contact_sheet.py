"""The contact sheet: every pictogram at two sizes with the kinds it stands for, system by system."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import repeat

from msgspec import Struct

from guidegen.drawing.primitives import BLACK, WHITE, Circle, Colour, Document, Item, Rect, Sheet, Style, Text
from guidegen.drawing.shapes import surround
from guidegen.drawing.symbols import symbol, symbol_names, symbol_title
from guidegen.paper.blocks import Block, Drawing, Heading, draw_lines
from guidegen.paper.flow import Frame, draw_all, flow
from guidegen.paper.marks import NOTE_STYLE
from guidegen.paper.sheets import A4, margins_for
from guidegen.paper.text import SMALL_PT, TITLE_PT, TextStyle, height_mm, wrap
from guidegen.trade.records import System, Trade

LARGE_MM, SMALL_MM = 12.0, 5.0
_COLUMNS, _CELL_GAP_MM = 3, 4.0
_ROW_MM, _HEAD_MM = 15.0, 9.0
_FOOT_MM = 6.0
_BADGE_RADIUS_MM, _SURROUND_RADIUS_MM = 1.9, 2.4
_NAME = TextStyle(SMALL_PT, "bold", leading=1.15)


class _Entry(Struct, frozen=True):
    symbol: str
    label: str
    id: str
    colour: Colour = ""


def compose_contact_sheet(trade: Trade) -> Document:
    """A4 pages of all symbols at 12 mm and at 5 mm, with name and id; signs that no kind uses come last."""
    margins = margins_for(A4)
    x, y, width, height = A4.inside(margins)
    frame = Frame(x, y, width, height - _FOOT_MM)
    pages = flow(tuple(_blocks(trade, width)), repeat(frame))
    sheets = []
    for number, page in enumerate(pages, 1):
        foot = Text(
            x + width,
            y + height,
            f"Symbols, page {number} of {len(pages)}",
            NOTE_STYLE.size_pt,
            colour=NOTE_STYLE.colour,
            anchor="end",
        )
        title = f"Symbols {number}"
        sheets.append(Sheet(A4.width_mm, A4.height_mm, (*draw_all(page), foot), title=title))
    return Document(tuple(sheets), title="Symbols", subject="Contact sheet of all pictograms")


def _blocks(trade: Trade, width: float) -> Iterator[Block]:
    yield Heading(text="Symbols", style=TextStyle(TITLE_PT, "bold"), destination="symbols", level=0)
    for system in trade.systems.values():
        kinds = [kind for kind in trade.kinds.values() if kind.system == system.id]
        entries = [
            _Entry(name, symbol_title(name) or k.name, k.id, k.colour or system.colour)
            for k in kinds
            for name in (k.symbol, *dict(k.symbol_if).values())
        ]
        yield from _group(system.name, system, entries, width)
    used = {name for k in trade.kinds.values() for name in (k.symbol, *dict(k.symbol_if).values())}
    signs = [_Entry(name, symbol_title(name) or name, name) for name in symbol_names() if name not in used]
    yield from _group("safety signs", None, signs, width)


def _group(name: str, system: System | None, entries: Sequence[_Entry], width: float) -> Iterator[Block]:
    for start in range(0, len(entries), _COLUMNS):
        row = _row(entries[start : start + _COLUMNS], width)
        if start:
            yield row
            continue
        head = _head(name, system, width)
        yield Drawing(
            items=head, width=width, height=_HEAD_MM, space_before_mm=4.0, keep_with_next=True, title=name
        )
        yield row


def _head(name: str, system: System | None, width: float) -> tuple[Item, ...]:
    title = name[0].upper() + name[1:]
    if system is None:
        return (Text(0, 5.6, title, 12.0, "bold"),)
    return (*_letter(system, 4.0, 4.0), Text(10.0, 5.6, title, 12.0, "bold"))


def _letter(system: System, x: float, y: float) -> tuple[Item, ...]:
    """The system's letter in a badge before its shape."""
    outline = Style(fill=WHITE, stroke=system.colour, width_mm=0.6)
    style = outline if system.outlined else Style(fill=system.colour)
    shape = surround(system.shape, x, y, _SURROUND_RADIUS_MM, style)
    badge = Circle(x, y, _BADGE_RADIUS_MM, Style(fill=WHITE))
    return (shape, badge, Text(x, y + 1.05, system.letter, SMALL_PT, "bold", anchor="middle"))


def _row(entries: Sequence[_Entry], width: float) -> Drawing:
    step = (width + _CELL_GAP_MM) / _COLUMNS
    items: list[Item] = []
    for column, entry in enumerate(entries):
        items += _cell(entry, column * step, step - _CELL_GAP_MM)
    return Drawing(items=tuple(items), width=width, height=_ROW_MM, title=entries[0].label)


def _cell(entry: _Entry, x: float, width: float) -> Iterator[Item]:
    if entry.colour:
        yield Rect(x, 0.5, 1.0, LARGE_MM, Style(fill=entry.colour))
    yield symbol(entry.symbol, x + 2.5, 0.5, LARGE_MM, BLACK)
    yield symbol(entry.symbol, x + 16.0, 0.5 + (LARGE_MM - SMALL_MM) / 2, SMALL_MM, BLACK)
    left = x + 23.0
    words = wrap(entry.label[0].upper() + entry.label[1:], x + width - left, _NAME)
    note = wrap(entry.id, x + width - left, NOTE_STYLE)
    top = 0.5 + (LARGE_MM - height_mm(words) - height_mm(note)) / 2
    yield from draw_lines(words, left, top, x + width - left)
    yield from draw_lines(note, left, top + height_mm(words), x + width - left)
