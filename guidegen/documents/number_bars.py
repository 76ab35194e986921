"""Bars that show numbers: what a hook-up carries, times and amounts side by side, the payload ladder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.number_look import EDGE, GREY, LIMIT, SPARE, Look, box, hatched, put, tint
from guidegen.documents.parts import INK
from guidegen.drawing.primitives import Colour, Item, Line
from guidegen.numbers.constants import MAINS_V
from guidegen.numbers.model import HookUpSet, HookUpSupply, PayloadTable, Use
from guidegen.numbers.wording import figure, listed
from guidegen.paper.blocks import Block, draw_lines
from guidegen.paper.text import DoesNotFit, TextLine, TextStyle, wrap

_PAD_MM = 0.9
_SEEN_MM = 0.3  # of a box
_LEAST_SPARE_W = 50.0  # less runs nothing that is worth a word
_CLEAR_MM = 1.5  # of words from the mark of the limit
_MOST_LABEL = 0.45  # of the width
_MOST_ALSO = 4  # sets in words
_ALONE = "Alone, all else off"


class _Segment(Struct, frozen=True):
    """Part of a hook-up bar."""

    name: str
    watts: float
    left_on: bool


class HookUpBars(Block, frozen=True, kw_only=True, dict=True):
    """One supply: its amperes at the left, a bar for each set of loads, to the scale of full_w watts."""

    supply: HookUpSupply
    full_w: float
    colour: Colour
    look: Look = Look()
    keep_together: bool = True
    space_after_mm: float = 4.0

    @property
    def name(self) -> str:
        return f"{self.supply.amps} A"

    @property
    def _column_mm(self) -> float:
        """As wide as the largest supply's amperes."""
        amps = round(self.full_w / MAINS_V)
        return self.look.big.width_mm(f"{max(amps, 16)} A") + 4.0

    @property
    def _bar_mm(self) -> float:
        return self.look.label.line_mm + self.look.small.line_mm + 2 * _PAD_MM

    def _scale(self, width_mm: float) -> float:
        return (width_mm - self._column_mm) / self.full_w

    @cached_property
    def _sets(self) -> tuple[HookUpSet, ...]:
        return self.supply.shown or (HookUpSet(self.supply.base),)

    def _segments(self, shown: HookUpSet) -> tuple[_Segment, ...]:
        base = [use for use in shown.uses if use in self.supply.base]
        rest = [use for use in shown.uses if use not in self.supply.base]
        first = [_Segment(", ".join(u.load for u in base), sum(u.watts for u in base), True)] if base else []
        return (*first, *(_Segment(use.load, use.watts, False) for use in rest))

    def _notes(self, width_mm: float) -> tuple[TextLine, ...]:
        """What stands in words under the bars."""
        narrow = {
            f"{segment.name} {segment.watts:.0f} W"
            for shown in self._sets
            for segment in self._segments(shown)
            if not segment.left_on and not self._tells_watts(segment, segment.watts * self._scale(width_mm))
        }
        words = [f"Narrow bars: {', '.join(sorted(narrow))}."] if narrow else []
        words += self._also()
        left = [self.supply.limit_w - shown.watts for shown in self._sets]
        scale = self._scale(width_mm)
        empty = [
            watts
            for watts in left
            if watts * scale > _SEEN_MM and not self._spare(f"{watts:.0f} W", watts * scale)
        ]
        if any(watts >= _LEAST_SPARE_W for watts in empty):
            where = "parts without a figure, from the top" if empty[1:] else "part without a figure"
            spare = listed([f"{watts:.0f}" for watts in empty])
            words.append(f"Spare in the dashed {where}: {spare} W.")
        if self.supply.alone:
            words.append(f"{self._all_else_off()}: {_or(self.supply.alone)}.")
        if self.supply.too_much:
            words.append(f"Never on {self.supply.amps} A: {_or(self.supply.too_much)}.")
        return wrap(" ".join(words), round(width_mm - self._column_mm, 4), self.look.label) if words else ()

    def _also(self) -> Iterator[str]:
        """What fits too, besides what is drawn; of many, that there are more."""
        also = self.supply.also
        beside = [listed([use.said for use in s.uses if use not in self.supply.base]) for s in also]
        if also:
            yield f"Or: {'; '.join(beside)}." if len(also) <= _MOST_ALSO else "Other sets fit too."

    def _all_else_off(self) -> str:
        fixed = listed([use.load for use in self.supply.fixed])
        return f"{_ALONE} but the {fixed}, which has no switch" if fixed else _ALONE

    def _tells_watts(self, segment: _Segment, room_mm: float) -> bool:
        return any(text.endswith(" W") for text, _ in self._label(segment, room_mm))

    def _label(self, segment: _Segment, room_mm: float) -> tuple[tuple[str, TextStyle], ...]:
        """The lines of text that fit in a segment; none when it is too narrow."""
        room = room_mm - 2 * _PAD_MM
        name, small = self.look.label.bold, self.look.small
        if segment.left_on:
            small = replace(small, colour=INK)  # on a darker ground
        watts = f"{segment.watts:.0f} W"
        if name.width_mm(segment.name) <= room:
            return (segment.name, name), (watts, small)
        if max(small.width_mm(segment.name), small.width_mm(watts)) <= room:
            return (segment.name, small), (watts, small)
        try:
            lines = wrap(segment.name, round(max(room, 1.0), 4), small)
        except DoesNotFit:
            lines = ()
        if 0 < len(lines) <= 2:
            return tuple((line.text, small) for line in lines)
        return ((watts, small),) if segment.left_on and small.width_mm(watts) <= room else ()

    def height_mm(self, width_mm: float) -> float:
        notes = self._notes(width_mm)
        bars = len(self._sets) * (self._bar_mm + 2.0) - 2.0
        return bars + (1.2 + len(notes) * self.look.label.line_mm if notes else 0.0)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        big, small = self.look.big, self.look.small
        items: list[Item] = [
            put(x, y + big.baseline_mm, f"{self.supply.amps} A", big),
            put(x, y + big.line_mm + small.baseline_mm, f"{self.supply.limit_w:.0f} W", small),
        ]
        left = x + self._column_mm
        for number, shown in enumerate(self._sets):
            top = y + number * (self._bar_mm + 2.0)
            if number:
                middle = top + self._bar_mm / 2 + 1.0
                items.append(put(left - 2.0, middle, "or", self.look.label, "end"))
            items += self._bar(shown, left, top, self._scale(width_mm))
        under = y + len(self._sets) * (self._bar_mm + 2.0) - 0.8
        items += draw_lines(self._notes(width_mm), left, under, width_mm - self._column_mm)
        return tuple(items)

    def _bar(self, shown: HookUpSet, left: float, top: float, scale: float) -> Iterator[Item]:
        at = left
        for segment in self._segments(shown):
            wide = segment.watts * scale
            yield box(at, top, wide, self._bar_mm, GREY if segment.left_on else tint(self.colour, 0.22))
            yield from self._written(self._label(segment, wide), at + wide / 2, top)
            at += wide
        end = left + self.supply.limit_w * scale
        if end - at > _SEEN_MM:
            yield box(at, top, end - at, self._bar_mm, None, SPARE)
            watts = f"{self.supply.limit_w - shown.watts:.0f} W"
            yield from self._written(self._spare(watts, end - at), (at + end) / 2, top)
        yield Line(((end, top - 0.6), (end, top + self._bar_mm + 0.6)), LIMIT)

    def _spare(self, watts: str, room_mm: float) -> tuple[tuple[str, TextStyle], ...]:
        """What is left over, on one line or on two; none where there is room for neither."""
        small, room = self.look.small, room_mm - 2 * _CLEAR_MM
        for lines in ((f"{watts} spare",), (watts, "spare")):
            if max(map(small.width_mm, lines)) <= room:
                return tuple((text, small) for text in lines)
        return ()

    def _written(self, lines: Sequence[tuple[str, TextStyle]], middle: float, top: float) -> Iterator[Item]:
        """Lines of text in the middle of a segment."""
        baseline = top + (self._bar_mm - sum(style.line_mm for _, style in lines)) / 2
        for text, style in lines:
            yield put(middle, baseline + style.baseline_mm, text, style, "middle")
            baseline += style.line_mm


def _or(uses: tuple[Use, ...]) -> str:
    return listed([f"{use.load} {use.watts:.0f} W" for use in uses], "or")


class Bar(Struct, frozen=True):
    """One row of a bar chart; said is what stands at its end."""

    label: str
    value: float
    said: str


class BarRows(Block, frozen=True, kw_only=True):
    """Bars one below the other to a common scale, labelled at both ends."""

    rows: tuple[Bar, ...]
    colour: Colour
    look: Look = Look()
    keep_together: bool = True
    space_after_mm: float = 1.5

    @property
    def name(self) -> str:
        return ", ".join(row.label for row in self.rows)

    def _labels_mm(self, width_mm: float) -> float:
        widest = max(self.look.label.width_mm(row.label) for row in self.rows)
        return min(widest, _MOST_LABEL * width_mm)

    def _lines(self, row: Bar, width_mm: float) -> tuple[TextLine, ...]:
        return wrap(row.label, round(self._labels_mm(width_mm) + 0.01, 4), self.look.label)

    def _row_mm(self, row: Bar, width_mm: float) -> float:
        return max(1, len(self._lines(row, width_mm))) * self.look.label.line_mm + 1.3

    def height_mm(self, width_mm: float) -> float:
        return sum(self._row_mm(row, width_mm) for row in self.rows)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        style = self.look.label
        labels = self._labels_mm(width_mm) + 2.0
        said = max(style.bold.width_mm(row.said) for row in self.rows) + 1.5
        room = width_mm - labels - said
        if room < 8.0:
            raise DoesNotFit(self.name, 8.0 - room, place=f"{width_mm:.1f} mm of width")
        most = max(row.value for row in self.rows) or 1.0
        items: list[Item] = []
        top = y
        for row in self.rows:
            wide = max(room * row.value / most, 0.4)
            bar = box(x + labels, top + 0.55, wide, style.line_mm + 0.2, tint(self.colour, 0.45))
            said_at = top + style.baseline_mm + 0.65
            items += draw_lines(self._lines(row, width_mm), x, top + 0.65, labels)
            items += [bar, put(x + labels + wide + 1.5, said_at, row.said, style.bold)]
            top += self._row_mm(row, width_mm)
        return tuple(items)


class Ladder(Block, frozen=True, kw_only=True, dict=True):
    """The payload from the top rung down: each row takes away from what the row above left."""

    table: PayloadTable
    colour: Colour
    look: Look = Look()
    keep_together: bool = True
    space_after_mm: float = 1.5

    @property
    def name(self) -> str:
        return "payload"

    @property
    def _row_mm(self) -> float:
        return self.look.label.line_mm + 1.6

    def height_mm(self, width_mm: float) -> float:
        return len(self._rungs) * self._row_mm

    @cached_property
    def _rungs(self) -> tuple[tuple[str, float, float, str], ...]:
        """Label, where the bar starts and ends in kg, what stands at its end."""
        first, second, *rest = self.table.rows
        left = first.kg + second.kg
        allowed = f"{figure(first.kg, 0)} − {figure(-second.kg, 0)} kg"
        rungs = [(f"MTPLM − MIRO: {allowed}", 0.0, left, f"{figure(left, 0)} kg")]
        for row in rest:
            label = f"{row.name} ({row.detail})" if row.detail and row.name != "Gas" else row.name
            rungs.append((label, left + row.kg, left, f"−{figure(-row.kg, 0)} kg"))
            left += row.kg
        name = "Left for you" if left >= 0 else "Too heavy by"
        rungs.append((name, min(left, 0.0), max(left, 0.0), f"{figure(abs(left), 0)} kg"))
        return tuple(rungs)

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        style = self.look.label
        labels = max(style.bold.width_mm(label) for label, *_ in self._rungs) + 2.5
        said = max(style.bold.width_mm(text) for *_, text in self._rungs) + 1.5
        room = width_mm - labels - said
        if room < 8.0:
            raise DoesNotFit(self.name, 8.0 - room, place=f"{width_mm:.1f} mm of width")
        least = min(start for _, start, _, _ in self._rungs)
        most = max(end for _, _, end, _ in self._rungs)
        scale = room / ((most - least) or 1.0)
        zero = x + labels - least * scale
        items: list[Item] = []
        last = len(self._rungs) - 1
        for number, (label, start, end, text) in enumerate(self._rungs):
            top = y + number * self._row_mm
            baseline = top + style.baseline_mm + 0.8
            own = style.bold if number in (0, last) else style
            items.append(put(x, baseline, label, own))
            left, wide = zero + start * scale, max((end - start) * scale, 0.4)
            items += self._rung(number == last, left, top + 0.7, wide)
            items.append(put(x + width_mm, baseline, text, own, "end"))
            if number < last:
                foot = zero + (end if number == 0 else start) * scale
                items.append(
                    Line(((foot, top + self._row_mm - 0.7), (foot, top + self._row_mm + 0.7)), SPARE)
                )
        items.append(Line(((zero, y), (zero, y + self.height_mm(width_mm))), EDGE))
        return tuple(items)

    def _rung(self, last: bool, left: float, top: float, wide: float) -> Iterator[Item]:
        high = self._row_mm - 1.4
        if last and self.table.left_kg < 0:
            yield from hatched(left, top, wide, high)
            yield box(left, top, wide, high, None, EDGE)
        else:
            yield box(left, top, wide, high, INK if last else tint(self.colour, 0.35))
