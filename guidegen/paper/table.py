"""Tables: fixed and flexible columns, headings repeated after a break, hairlines between rows."""

from __future__ import annotations

from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Anchor, Colour, Item, Line, Rect, Style
from guidegen.paper.blocks import HAIRLINE_MM, RULE_COLOUR, Block, Paragraph
from guidegen.paper.containers import Cell, Row
from guidegen.paper.text import TextStyle, Words, plain

Content: TypeAlias = Words | Block


class Column(Struct, frozen=True):
    """width_mm when fixed, else a share of the rest; anchor "end" for figures."""

    heading: Words = ""
    width_mm: float | None = None
    share: float = 1.0
    anchor: Anchor = "start"


class Table(Block, frozen=True, kw_only=True):
    """Rows of texts or blocks under headings; a row never splits.

    A hairline stands above the rows whose numbers are in rules_above, above every row when it is None;
    rule_below: one below the last row too, where something is to be written on it.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Content, ...], ...]
    style: TextStyle = TextStyle()
    gap: float = 3.0
    padding_mm: float = 1.0
    rules_above: frozenset[int] | None = None
    rule_below: bool = False
    heading_ground: Colour | None = None

    def height_mm(self, width_mm: float) -> float:
        return self._heading_mm(width_mm) + sum(self._row_mm(row, width_mm) for row in self.rows)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        items: list[Item] = []
        top = y + self._heading_mm(width_mm)
        if top > y:
            if self.heading_ground:
                items.append(Rect(x, y, width_mm, top - y, Style(fill=self.heading_ground)))
            items += self._heading_row().draw(x, y + self.padding_mm, width_mm)
            items.append(_rule(x, top, width_mm, 0.35))
        for number, row in enumerate(self.rows):
            if number and (self.rules_above is None or number in self.rules_above):
                items.append(_rule(x, top, width_mm, HAIRLINE_MM))
            items += self._row(row).draw(x, top + self.padding_mm, width_mm)
            top += self._row_mm(row, width_mm)
        if self.rule_below and self.rows:
            items.append(_rule(x, top, width_mm, HAIRLINE_MM))
        return tuple(items)

    def split(self, width_mm: float, height_mm: float) -> tuple[Block, Block] | None:
        if self.keep_together:
            return None
        used = self._heading_mm(width_mm)
        count = 0
        for row in self.rows:
            used += self._row_mm(row, width_mm)
            if used > height_mm + 1e-6:
                break
            count += 1
        if not 0 < count < len(self.rows):
            return None
        later = (
            None if self.rules_above is None else frozenset(n - count for n in self.rules_above if n > count)
        )
        head = replace(self, rows=self.rows[:count], space_after_mm=0.0, keep_with_next=False)
        return head, replace(self, rows=self.rows[count:], space_before_mm=0.0, rules_above=later)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        first = self._heading_row() if self._has_heading else (self._row(self.rows[0]) if self.rows else None)
        inner = first.first_baseline_mm(width_mm) if first else None
        return None if inner is None else inner + self.padding_mm

    @property
    def name(self) -> str:
        texts = [plain(c.heading) for c in self.columns if c.heading]
        return " · ".join(texts) or "table"

    @property
    def _has_heading(self) -> bool:
        return any(column.heading for column in self.columns)

    def _heading_row(self) -> Row:
        return self._row(tuple(column.heading for column in self.columns), self.style.bold)

    def _heading_mm(self, width_mm: float) -> float:
        return self._row_mm(self._heading_row(), width_mm) if self._has_heading else 0.0

    def _row_mm(self, row: Row | tuple[Content, ...], width_mm: float) -> float:
        whole = row if isinstance(row, Row) else self._row(row)
        return whole.height_mm(width_mm) + 2 * self.padding_mm

    def _row(self, contents: tuple[Content, ...], style: TextStyle | None = None) -> Row:
        cells = []
        for column, content in zip(self.columns, contents, strict=True):
            block = (
                content
                if isinstance(content, Block)
                else Paragraph(text=content, style=style or self.style, anchor=column.anchor)
            )
            cells.append(Cell(block, column.width_mm, column.share))
        return Row(cells=tuple(cells), gap=self.gap)


def _rule(x: float, y: float, width_mm: float, weight_mm: float) -> Line:
    style = Style(stroke=RULE_COLOUR, width_mm=weight_mm, round_ends=False)
    return Line(((x, y), (x + width_mm, y)), style)
