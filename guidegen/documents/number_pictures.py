"""Small pictures of numbers: tanks by days, battery by charge, cylinders, how cold gas may get."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from guidegen.documents.number_look import EDGE, HAIR, SPARE, Look, box, hatched, put, tint
from guidegen.documents.parts import INK, tick_mark
from guidegen.drawing.primitives import WHITE, Circle, Colour, Item, Line, Path, Rect, Style
from guidegen.numbers.constants import BOILING_C
from guidegen.numbers.wording import about_days, precise
from guidegen.paper.blocks import Block
from guidegen.paper.text import DoesNotFit, TextStyle

_MOST_DAYS = 7
_RIM_MM = 0.6  # no line so near to the rounded rim
_HALF = 0.28  # of a line: half the height of its capitals


class Tank(Struct, frozen=True):
    """Litres when full and litres a day, 0 when unknown; a waste tank fills where a fresh one empties."""

    title: str
    litres: float
    a_day: float
    fills: bool
    colour: Colour


class Tanks(Block, frozen=True, kw_only=True):
    """Tanks side by side to one scale, with the level after each day."""

    tanks: tuple[Tank, ...]
    look: Look = Look()
    tall_mm: float = 26.0
    keep_together: bool = True
    space_after_mm: float = 1.5

    @property
    def name(self) -> str:
        return "tanks"

    @property
    def _head_mm(self) -> float:
        return self.look.label.line_mm + 1.0

    def height_mm(self, width_mm: float) -> float:
        return self._head_mm + self.tall_mm

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        each = (width_mm - 4.0 * (len(self.tanks) - 1)) / len(self.tanks)
        biggest = max(tank.litres for tank in self.tanks)
        items: list[Item] = []
        for number, tank in enumerate(self.tanks):
            high = max(self.tall_mm * tank.litres / biggest, 1.0)
            left, foot = x + number * (each + 4.0), y + self._head_mm + self.tall_mm
            title = f"{tank.title}, {precise(tank.litres)} l"
            style = self.look.label.bold
            if style.width_mm(title) > each:
                raise DoesNotFit(title, style.width_mm(title) - each, place=f"{each:.1f} mm of width")
            items.append(put(left, foot - high - 0.45 * style.line_mm, title, style))
            items += self._tank(tank, left, foot - high, each, high)
        return tuple(items)

    def _tank(self, tank: Tank, left: float, top: float, each: float, high: float) -> Iterator[Item]:
        wide = min(each * 0.5, 22.0)
        fill = tint(tank.colour, 0.3)
        yield Rect(left, top, wide, high, Style(fill=WHITE if tank.fills else fill), radius=1.6)
        if tank.fills:
            yield Rect(left, top, wide, high, Style(fill=tint(tank.colour, 0.12)), radius=1.6)
        yield from self._days(tank, left, top, wide, high)
        yield Rect(left, top, wide, high, Style(stroke=INK, width_mm=0.5), radius=1.6)

    def _days(self, tank: Tank, left: float, top: float, wide: float, high: float) -> Iterator[Item]:
        style = self.look.label
        days = int(tank.litres / tank.a_day + 1e-9) if tank.a_day > 0.01 else 0
        room, half = 0.85 * style.line_mm, _HALF * style.line_mm
        step = max(
            1, -(-days // _MOST_DAYS), int(-(-room // (tank.a_day * high / tank.litres))) if days else 1
        )
        ends = ("full", "empty") if not tank.fills else ("full", "")
        taken = []
        if not tank.fills:
            yield put(left + wide + 1.5, top + style.baseline_mm - 0.6, ends[0], style)
            taken.append(top + style.baseline_mm - 0.6)
        for day in range(step, days + 1, step):
            share = day * tank.a_day / tank.litres
            level = top + share * high if not tank.fills else top + (1 - share) * high
            baseline = min(max(level + half, top + 2.4 * half), top + high - 0.2)
            if level - top > _RIM_MM:
                yield Line(((left, level), (left + wide, level)), HAIR)
            if all(abs(baseline - other) >= room for other in taken):
                taken.append(baseline)
                yield Line(((left + wide, level), (left + wide + 1.2, level)), HAIR)
                yield put(left + wide + 1.8, baseline, f"day {day}", style)


class Battery(Block, frozen=True, kw_only=True):
    """A battery upright: the usable part in days, the rest hatched, voltages at rest beside it."""

    usable_share: float
    days: float | None
    rest_volts: tuple[tuple[float, int], ...]
    colour: Colour
    look: Look = Look()
    tall_mm: float = 30.0
    keep_together: bool = True
    space_after_mm: float = 1.5

    @property
    def name(self) -> str:
        return "battery"

    def height_mm(self, width_mm: float) -> float:
        return self.tall_mm + 3.0

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        wide = min(26.0, 0.36 * width_mm)
        if self._told:
            wide = max(wide, self.look.label.bold.width_mm(self._told) + 3.0)
        top = y + 2.5
        floor = top + self.usable_share * self.tall_mm
        items: list[Item] = [
            box(x + 3.5, y + 0.3, 4.5, 2.2, WHITE, EDGE),
            box(x + wide - 8.0, y + 0.3, 4.5, 2.2, WHITE, EDGE),
            Rect(x, top, wide, floor - top, Style(fill=tint(self.colour, 0.28))),
            *hatched(x, floor, wide, top + self.tall_mm - floor),
            *self._bands(x, top, wide, floor),
            Line(((x, floor), (x + wide, floor)), EDGE),
            box(x, top, wide, self.tall_mm, None, Style(stroke=INK, width_mm=0.5)),
        ]
        items += self._volts(x + wide, top)
        return tuple(items)

    @property
    def _told(self) -> str:
        """How long it lasts, in words where its days are too few or too many to be drawn as bands."""
        if not self.days:
            return ""
        band = self.usable_share * self.tall_mm / self.days
        return about_days(self.days) if self.days < 1 or band < self.look.label.line_mm else ""

    def _bands(self, x: float, top: float, wide: float, floor: float) -> Iterator[Item]:
        style, half = self.look.label, _HALF * self.look.label.line_mm
        if not self.days:
            return
        if self._told:
            yield put(x + wide / 2, (top + floor) / 2 + half, self._told, style.bold, "middle")
            return
        band = (floor - top) / self.days
        whole = int(self.days + 1e-9)
        for day in range(whole + 1):
            start, end = top + day * band, min(top + (day + 1) * band, floor)
            words = f"day {day + 1}" if day < whole else f"part of day {day + 1}"
            if end - start >= style.line_mm and style.width_mm(words) < wide:
                yield put(x + wide / 2, (start + end) / 2 + half, words, style, "middle")
            if end < floor - 0.2:
                yield Line(((x, end), (x + wide, end)), SPARE)

    def _volts(self, x: float, top: float) -> Iterator[Item]:
        style, half = self.look.label, _HALF * self.look.label.line_mm
        if not self.rest_volts:
            floor = top + self.usable_share * self.tall_mm
            yield put(x + 2.5, floor + half, "charge by here", style)
            return
        words = {100: "full", 50: "half: charge now", 0: "empty"}
        for volts, percent in self.rest_volts:
            level = top + (1 - percent / 100) * self.tall_mm
            baseline = min(max(level + half, top + 1.8 * half), top + self.tall_mm)
            yield Line(((x, level), (x + 1.8, level)), HAIR)
            bold = style.bold if percent in words else style
            yield put(x + 2.5, baseline, f"{volts:.1f} V", bold)
            if percent in words:
                yield put(x + 2.5 + style.bold.width_mm("12.7 V") + 1.8, baseline, words[percent], style)


class Cylinders(Block, frozen=True, kw_only=True):
    """Gas cylinders (or the tank) side by side, each with its mass and fuel."""

    load: tuple[tuple[str, float], ...]
    tank: bool
    colour: Colour
    look: Look = Look()
    keep_together: bool = True
    space_after_mm: float = 2.0

    @property
    def name(self) -> str:
        return "gas on board"

    @property
    def _wide_mm(self) -> float:
        """Of one of them: no label is wider."""
        return max(self.look.label.width_mm("propane"), 38.0 if self.tank else 15.0)

    @property
    def _step_mm(self) -> float:
        return self._wide_mm + 3.0

    @property
    def width_mm(self) -> float:
        """Of all of them together."""
        return len(self.load) * self._step_mm - 3.0

    def _per_row(self, width_mm: float) -> int:
        fitting = int((width_mm + 3.0 + 1e-6) / self._step_mm)
        if fitting < 1:
            raise DoesNotFit(self.name, self._step_mm - 3.0 - width_mm, place=f"{width_mm:.1f} mm of width")
        return fitting

    @property
    def _row_mm(self) -> float:
        return (17.0 if self.tank else 24.0) + self.look.label.line_mm

    def height_mm(self, width_mm: float) -> float:
        rows = -(-len(self.load) // self._per_row(width_mm))
        return rows * (self._row_mm + 1.0) - 1.0

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        per_row = self._per_row(width_mm)
        items: list[Item] = []
        for number, (fuel, kilograms) in enumerate(self.load):
            row, column = divmod(number, per_row)
            items += self._one(x + column * self._step_mm, y + row * (self._row_mm + 1.0), fuel, kilograms)
        return tuple(items)

    def _one(self, x: float, y: float, fuel: str, kilograms: float) -> Iterator[Item]:
        wide, high, neck = self._wide_mm, *((15.0, 0.0) if self.tank else (20.0, 3.4))
        body = Style(fill=tint(self.colour, 0.3), stroke=INK, width_mm=0.5)
        middle = x + wide / 2
        if neck:
            yield Rect(
                middle - 4.0, y + 0.3, 8.0, 4.5, Style(fill=WHITE, stroke=INK, width_mm=0.35), radius=1.0
            )
            yield Rect(middle - 1.2, y + 1.8, 2.4, 2.6, Style(fill=INK))
        yield Rect(x, y + neck, wide, high, body, radius=4.5 if neck else 7.0)
        label = TextStyle(self.look.body.size_pt, "bold", INK)
        yield put(middle, y + neck + high / 2 + 1.3, f"{precise(kilograms)} kg", label, "middle")
        under = y + neck + high + self.look.label.baseline_mm + 0.4
        yield put(middle, under, fuel, self.look.label, "middle")


class ColdScale(Block, frozen=True, kw_only=True):
    """A thermometer lying down: each fuel's bar shows where it gives gas."""

    fuels: tuple[str, ...]
    colour: Colour
    look: Look = Look()
    keep_together: bool = True
    space_after_mm: float = 1.5

    @property
    def name(self) -> str:
        return "gas in the cold"

    @property
    def _row_mm(self) -> float:
        return self.look.label.line_mm + 1.4

    def height_mm(self, width_mm: float) -> float:
        return len(self.fuels) * (self._row_mm + 0.8) + self.look.label.line_mm + 2.0

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        low, high = -45.0, 25.0
        scale = width_mm / (high - low)
        style = self.look.label
        axis = y + len(self.fuels) * (self._row_mm + 0.8)
        items: list[Item] = []
        for number, fuel in enumerate(self.fuels):
            start = x + (max(BOILING_C[fuel], low) - low) * scale
            top = y + number * (self._row_mm + 0.8)
            wide = x + width_mm - start
            items.append(box(start, top, wide, self._row_mm, tint(self.colour, 0.35)))
            text = f"{fuel} gives gas"
            baseline = top + style.baseline_mm + 0.7
            if style.width_mm(text) + 2.0 <= wide:
                items.append(put(start + wide / 2, baseline, text, style, "middle"))
            else:
                items.append(put(start - 1.5, baseline, text, style, "end"))
        items.append(Line(((x, axis), (x + width_mm, axis)), EDGE))
        for degrees in (-40, -20, 0, 20):
            at = x + (degrees - low) * scale
            items.append(Line(((at, axis), (at, axis + 1.2)), EDGE))
            text = f"{degrees} °C".replace("-", "−")
            at = max(at, x + style.width_mm(text) / 2)
            items.append(put(at, axis + 1.4 + style.baseline_mm, text, style, "middle"))
        return tuple(items)


class LeadPicture(Block, frozen=True, kw_only=True):
    """A coiled lead crossed out, and one laid out with a tick."""

    look: Look = Look()
    keep_together: bool = True
    space_after_mm: float = 2.0

    @property
    def name(self) -> str:
        return "lead"

    def height_mm(self, width_mm: float) -> float:
        return 14.0

    def draw(self, x: float, y: float, width_mm: float) -> tuple[Item, ...]:
        cable = Style(stroke=INK, width_mm=0.7)
        cross = Style(stroke=INK, width_mm=1.0)
        middle = y + 7.0
        coil = tuple(Circle(x + 7.0, middle, radius, cable) for radius in (3.2, 4.5, 5.8))
        crossed = (
            Line(((x + 0.5, y + 0.5), (x + 13.5, y + 13.5)), cross),
            Line(((x + 0.5, y + 13.5), (x + 13.5, y + 0.5)), cross),
        )
        left, right = x + 24.0, x + min(width_mm - 10.0, 66.0)
        third = (right - left) / 3
        laid = Path(
            (
                ("M", left, middle),
                ("C", left + third, middle - 9.0, left + third, middle + 9.0, left + 1.5 * third, middle),
                ("C", left + 2 * third, middle - 9.0, left + 2 * third, middle + 9.0, right, middle),
            ),
            cable,
        )
        ends = (box(left - 3.0, middle - 1.4, 3.0, 2.8, INK), box(right, middle - 1.4, 3.0, 2.8, INK))
        return (*coil, *crossed, laid, *ends, tick_mark(right + 5.5, middle + 1.6, 12.0))
