"""The steps set closely, for small folds: badges and places run with the text, places are said in short."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.parts import (
    INK,
    SIGNAL_COLOURS,
    CautionBox,
    badge,
    badge_width_mm,
    badges,
    tick_box_block,
)
from guidegen.documents.steps import says_place
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Item, Rect, Style
from guidegen.paper.blocks import Block, Paragraph, Rule
from guidegen.paper.containers import Cell, Row
from guidegen.paper.text import SMALL_PT, Span, TextStyle, plain, wrap
from guidegen.sequence.model import PlannedSequence, PlannedStep
from guidegen.sequence.standing import said_together
from guidegen.trade.records import Signal

_BADGE_MM = 4.2
_TICK_MM = 3.5  # a ball pen in a wet hand
_COLUMN_GAP_MM = 1.0
_BADGE_TARGET = "badge "
_AREAS = 3  # so many rooms are named
_ENDS = 2  # so many places in one room
_WHERE = ("Inside", "Outside")
_BY = ("by the ", "above the ")
_SEEN = ("at waist height", "at chest height", "at eye level", "high up")


class CloseLook(Struct, frozen=True):
    """How closely the rows are set."""

    style: TextStyle
    gap_mm: float
    rule_mm: float  # on either side of the hairline between places


def close_step_blocks(
    context: Context, sequence: PlannedSequence, look: CloseLook, told: set[str]
) -> Iterator[Block]:
    """The rows of a sequence; cautions in `told` are left out, those printed here are added to it."""
    vehicle = context.vehicle
    numbers = {p.id: p.number for p in vehicle.points}
    places = {p.id: p.place for p in vehicle.points}
    previous: PlannedStep | None = None
    said = ""
    for step in sequence.steps:
        if previous is not None and previous.stop != step.stop:
            yield Rule(space_before_mm=look.rule_mm, space_after_mm=look.rule_mm, between_only=True)
        for id in step.cautions:
            if id not in told:
                told.add(id)
                caution = context.trade.cautions[id]
                yield CloseCaution(
                    signal=caution.signal, text=caution.text, sign=caution.sign, style=look.style
                )
        place = short_place([places[p] for p in step.points] or [step.place])
        if not step.points and says_place(step.text, place):
            place = ""
        yield CloseStepRow(
            action=step.text,
            numbers=tuple(numbers[p] for p in step.points),
            place="" if place == said else place,
            style=look.style,
            space_before_mm=look.gap_mm,
            space_after_mm=look.gap_mm,
        )
        previous, said = step, place


def short_place(places: Iterable[str]) -> str:
    """Places in few words, where numbers and a plan stand beside: room and furniture, or side and height.

    One place outside keeps its landmark; of places in several rooms only the rooms are said, or sides.
    """
    parts = [_told(place) for place in dict.fromkeys(places)]
    if len(parts) == 1:
        return ", ".join(parts[0])
    parts = [list(cut) for cut in dict.fromkeys(_cut(one) for one in parts)]
    first, *others = dict.fromkeys(one[0] for one in parts)
    if not others:
        return said_together(", ".join(one) for one in parts) if len(parts) <= _ENDS else first
    if len(others) >= _AREAS:
        return f"in {len(others) + 1} places"
    areas = [first, *(area[0].lower() + area[1:] for area in others)]
    return ", ".join(areas[:-1]) + " and " + areas[-1]


def _cut(parts: list[str]) -> tuple[str, ...]:
    """The first two parts; the landmark rather than a bare height."""
    first, *rest = parts
    return (first, *(rest[1:2] if rest[0:1] == ["low"] and rest[1:] else rest[:1]))


def _told(place: str) -> list[str]:
    """The parts of a phrase that say most.

    Inside: room and furniture, or what it is by. Outside: side and height, with the landmark where there is
    one; what one sees standing needs no height beside it.
    """
    first, *rest = place.split(", ")
    if first not in _WHERE or not rest:
        return [first, *rest]
    if first == "Inside":
        return rest[: 1 if rest[0].startswith(_BY) else 2]
    if len(rest) > 2 and rest[1] in _SEEN:
        del rest[1]
    return rest[:3]


class CloseStepRow(Block, frozen=True, kw_only=True, dict=True):
    """Tick box, first number, and in one run of text further numbers, the bold action and the place."""

    action: str
    numbers: tuple[int | str, ...] = ()
    place: str = ""
    style: TextStyle = TextStyle(SMALL_PT, colour=INK, leading=1.2)
    keep_together: bool = True

    @cached_property
    def row(self) -> Row:
        """The same as a row of cells."""
        size = self.style.size_pt
        drawn = badges(self.numbers[:1], 1, size, badge_mm=_BADGE_MM)
        cells = (
            Cell(tick_box_block(size, _TICK_MM), _TICK_MM),
            Cell(drawn, max(_BADGE_MM, drawn.width)),
            Cell(_BadgedText(words=self._words(), style=self.style)),
        )
        return Row(cells=cells, gap=_COLUMN_GAP_MM)

    def height_mm(self, width_mm: float) -> float:
        return self.row.height_mm(width_mm) - self._lift(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        return self.row.draw(x, y - self._lift(width_mm), width_mm)

    def _lift(self, width_mm: float) -> float:
        """A badge is higher than a line: it reaches into the space above, so that lines keep their rhythm."""
        baseline = self.row.first_baseline_mm(width_mm) or 0.0
        return baseline - self.style.baseline_mm

    @property
    def name(self) -> str:
        return self.action

    def _words(self) -> tuple[Span, ...]:
        spans: list[Span] = []
        for number in self.numbers[1:]:
            spans += [_place_for(number, self.style), Span(" ")]
        spans.append(Span(self.action, "bold"))
        if self.place:
            spans.append(Span(f" {self.place[:1].upper()}{self.place[1:]}"))
        return tuple(spans)


def _place_for(number: int | str, style: TextStyle) -> Span:
    """A word of unbreakable spaces, wide enough for the badge."""
    count = math.ceil(badge_width_mm(number, _BADGE_MM) / style.width_mm("\u00a0"))
    return Span("\u00a0" * count, target=f"{_BADGE_TARGET}{number}")


class _BadgedText(Block, frozen=True, kw_only=True):
    """Text with badges in it."""

    words: tuple[Span, ...]
    style: TextStyle

    def height_mm(self, width_mm: float) -> float:
        return Paragraph(text=self.words, style=self.style).height_mm(width_mm)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        items: list[Item] = []
        badges_after: list[Item] = []  # drawn last, so that the words are read in one run
        cap = cap_height_mm(self.style.size_pt)
        for above, line in enumerate(wrap(self.words, round(width_mm, 4), self.style)):
            baseline = y + above * self.style.line_mm + self.style.baseline_mm
            texts = tuple(run for run in line.runs if not run.target)
            items += replace(line, runs=texts).draw(x, baseline)
            for run in line.runs:
                if run.target:
                    number = run.target.removeprefix(_BADGE_TARGET)
                    badges_after += badge(
                        number, x + run.x_mm + run.width_mm / 2, baseline - cap / 2, badge_mm=_BADGE_MM
                    )
        return (*items, *badges_after)

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self.style.baseline_mm


class CloseCaution(CautionBox, frozen=True, kw_only=True):
    """A caution with its signal word at the head of the text, on the ground that ISO 3864-2 gives it."""

    sign_mm: float = 6.4
    padding_mm: float = 0.6
    gap_mm: float = 1.4
    edge_mm: float = 0.25
    radius_mm: float = 0.6
    space_before_mm: float = 0.7
    space_after_mm: float = 0.7
    right_mm: float = 0.9  # clear at the right beyond the padding

    def _words(self) -> Block:
        least = self.sign_mm if self.sign else 0.0
        return _SignalledText(signal=self.signal, text=plain(self.text), style=self.style, least_mm=least)


class _SignalledText(Block, frozen=True, kw_only=True, dict=True):
    """The text of a caution that runs on behind its signal word; a single line in the middle of its sign."""

    signal: Signal
    text: str
    style: TextStyle
    least_mm: float = 0.0

    @cached_property
    def _words(self) -> Paragraph:
        word = Span(self.signal.upper(), "bold", SIGNAL_COLOURS[self.signal].text)
        return Paragraph(text=(word, Span("\u00a0 " + self.text)), style=self.style)

    def height_mm(self, width_mm: float) -> float:
        return max(self.least_mm, self._words.height_mm(width_mm))

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        y += self._above_mm(width_mm)
        baseline = y + self.style.baseline_mm
        cap, around = cap_height_mm(self.style.size_pt), 0.55
        wide = self.style.bold.width_mm(self.signal.upper())
        ground = Rect(
            x - around,
            baseline - cap - around,
            wide + 2 * around,
            cap + 2 * around,
            Style(fill=SIGNAL_COLOURS[self.signal].ground),
            radius=0.4,
        )
        return (ground, *self._words.draw(x, y, width_mm))

    def first_baseline_mm(self, width_mm: float) -> float | None:
        return self._above_mm(width_mm) + self.style.baseline_mm

    def _above_mm(self, width_mm: float) -> float:
        return (self.height_mm(width_mm) - self._words.height_mm(width_mm)) / 2
