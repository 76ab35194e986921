"""The page of the sheets that are filled in by hand: head, foot with the 100 mm bar, frames between."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from guidegen.documents.context import Context
from guidegen.documents.parts import INK, SOFT_INK, footer
from guidegen.drawing.primitives import Item, Line, Sheet, Style, Text
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import Cell, Row, Stack
from guidegen.paper.flow import Frame
from guidegen.paper.marks import BAR_CAPTION, BAR_MM, NOTE_STYLE, check_bar, turning_note
from guidegen.paper.sheets import Paper
from guidegen.paper.text import TextStyle
from guidegen.vehicle.model import day_in_words

SIDE_MM = 11.0
_TOP_MM = 9.0
_FOOT_BASELINE_MM = 11.5  # above the lower edge
_FOOT_MM = 16.5
_TITLE = TextStyle(15.0, "bold", INK, 1.2, "en")
_SMALL = TextStyle(8.5, "regular", INK, 1.25, "en")
GUTTER_MM = 6.0
_MOST_DEALER = 0.45  # of the width, for the dealer's name beside the facts


class FormPage(Struct, frozen=True, dict=True):
    """One document's pages. title: what the sheet is, such as "Check sheet"; note: how it is used.

    part: what the foot says before the page, such as "Owner's copy".
    """

    title: str
    paper: Paper
    name: str = ""  # of the vehicle or layout
    facts: tuple[str, ...] = ()  # stock number, owner, layout
    dealer: str = ""
    dated: str = ""
    note: str = ""
    two_sided: bool = True
    part: str = ""

    @cached_property
    def _heads(self) -> tuple[Stack, Stack]:
        """Of the first page, with the note, and of the others."""
        blocks = self._head_blocks()
        note = Paragraph(text=self.note, style=_SMALL, space_before_mm=0.8)
        return Stack(blocks=(*blocks, note) if self.note else blocks), Stack(blocks=blocks)

    def _head_blocks(self) -> tuple[Block, ...]:
        title = f"{self.title}: {self.name}" if self.name else self.title
        blocks: list[Block] = [Paragraph(text=title, style=_TITLE)]
        left = " · ".join(fact for fact in self.facts if fact)
        if left and self.dealer:
            dealer = Paragraph(text=self.dealer, style=_SMALL.bold, anchor="end")
            known = Paragraph(text=left, style=_SMALL)
            wide = min(_SMALL.bold.width_mm(self.dealer) + 0.5, _MOST_DEALER * self.width)
            blocks.append(Row(cells=(Cell(known), Cell(dealer, wide)), gap=6.0))
        elif left or self.dealer:
            blocks.append(Paragraph(text=left or self.dealer, style=_SMALL))
        return tuple(blocks)

    @property
    def width(self) -> float:
        return self.paper.width_mm - 2 * SIDE_MM

    def top(self, number: int = 1) -> float:
        """Where the frames of a page begin; pages count from 1."""
        return _TOP_MM + self._heads[number > 1].height_mm(self.width) + 3.5

    @property
    def bottom(self) -> float:
        return self.paper.height_mm - _FOOT_MM

    def frames(
        self, number: int = 1, columns: int = 1, below: float = 0.0, gutter: float = GUTTER_MM
    ) -> tuple[Frame, ...]:
        """Columns of equal width on a page; below: more room under the head."""
        width = (self.width - (columns - 1) * gutter) / columns
        top = self.top(number) + below
        return tuple(
            Frame(SIDE_MM + n * (width + gutter), top, width, self.bottom - top) for n in range(columns)
        )

    def sheet(self, items: Sequence[Item], number: int, count: int) -> Sheet:
        """The items between head and foot."""
        head = self._heads[number > 1].draw(SIDE_MM, _TOP_MM, self.width)
        rule = self.top(number) - 2.2
        line = Line(((SIDE_MM, rule), (SIDE_MM + self.width, rule)), Style(stroke=SOFT_INK, width_mm=0.35))
        foot = self._foot(number, count)
        title = f"{self.title} {number}: {self.name}" if self.name else f"{self.title} {number}"
        return Sheet(self.paper.width_mm, self.paper.height_mm, (*head, line, *items, *foot), title)

    def _foot(self, number: int, count: int) -> tuple[Item, ...]:
        edge = "short" if self.paper.width_mm > self.paper.height_mm else "long"
        two_sided = self.two_sided and count > 1
        note = turning_note("short" if edge == "short" else "long", two_sided, self.paper.name)
        words = " · ".join(word for word in (self.dated, note) if word)
        page = " · ".join(filter(None, (self.part, f"{self.title} {number} of {count}")))
        height = self.paper.height_mm
        bar = height - 7.0
        return (
            *footer(words, page, SIDE_MM, height - _FOOT_BASELINE_MM, self.width),
            *check_bar(SIDE_MM, bar),
            Text(SIDE_MM + BAR_MM + 2, bar + 0.9, BAR_CAPTION, NOTE_STYLE.size_pt, colour=NOTE_STYLE.colour),
        )


def page_of(
    context: Context, title: str, paper: Paper, note: str = "", two_sided: bool = True, owned: bool = True
) -> FormPage:
    """The pages for one vehicle; owned: its owner is named."""
    vehicle = context.vehicle
    stock = f"Stock no. {vehicle.stock_number}" if vehicle.stock_number else ""
    dated = day_in_words(vehicle.printed_on)
    return FormPage(
        title,
        paper,
        vehicle.name,
        (stock, vehicle.owner if owned else "", vehicle.layout.name),
        vehicle.dealer.name if vehicle.dealer else "",
        dated,
        note,
        two_sided,
    )
