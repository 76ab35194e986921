"""The numbers of this vehicle: pictures and plain sentences, with what was assumed in small print."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from itertools import repeat

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.number_bars import Bar, BarRows, HookUpBars, Ladder
from guidegen.documents.number_look import BOOKLET, LARGE_PRINT, Look
from guidegen.documents.number_panels import WIDE_MM, Panels
from guidegen.documents.number_pictures import Battery, ColdScale, Cylinders, LeadPicture, Tank, Tanks
from guidegen.documents.number_words import held, outside_brackets, sentence, tenths, upper
from guidegen.documents.parts import footer
from guidegen.drawing.primitives import Colour, Document, Sheet
from guidegen.numbers.battery import usable_ah
from guidegen.numbers.constants import COLD_C, HOT_C
from guidegen.numbers.gas import FULL_POWER, gas_on_board, lasts_said
from guidegen.numbers.model import Number, NumberSheet
from guidegen.numbers.wording import listed, precise, warm_up_said
from guidegen.paper.blocks import Block, Heading, Paragraph
from guidegen.paper.containers import Cell, KeepTogether, Row, Stack
from guidegen.paper.flow import Frame, draw_all, flow, stack_height_mm
from guidegen.paper.groups import grouped
from guidegen.paper.sheets import A4, margins_for
from guidegen.paper.text import SMALL_PT, TITLE_PT, Span, TextStyle, line_count
from guidegen.vehicle.facts import fuels

BATTERY_TITLE = "The leisure battery"
_LEAST_PANEL_MM = 85.0
_AT_REST = "Voltages at rest: nothing on, no charger, for some hours."
_BY_DISPLAY = "Its voltage says little of its charge: read its display or the panel."
_MASSES = (
    "MTPLM: maximum technically permissible laden mass, which must never be exceeded. "
    "MIRO: mass in running order, as the maker states it."
)
_BATTERY_MM, _VOLTS_LINES = 30.0, 6.1  # of a battery, and in lines of its voltages, which stand clear then
_TANK_MM, _LABEL_PT = 26.0, 8.5  # of a tank with labels of that size
_AMID_A_TERM = re.compile(r"(?<=[=+−·/]) | (?=[·/] )|(?<=\d) (?=[a-z])|(?<=\bat) (?=\d)")  # where none breaks
_WORKINGS = "How it was worked out"
_MOST_KEPT = 24  # so many workings stand on one page, rather than a few of them on the next


class _Maker(Struct, frozen=True):
    """Makes the panels of one vehicle; each is empty when its numbers are not known."""

    context: Context
    look: Look
    panel_mm: float = _LEAST_PANEL_MM  # how wide a panel is at least

    @property
    def sheet(self) -> NumberSheet:
        return self.context.numbers

    @property
    def wide_mm(self) -> float:
        """From where on two columns stand side by side; in large print they never do."""
        return math.inf if self.look == LARGE_PRINT else WIDE_MM

    @property
    def _tall_mm(self) -> float:
        """Of a tank: the larger the labels of its days, the higher."""
        return _TANK_MM * max(1.0, self.look.label.size_pt / _LABEL_PT)

    def colour(self, system: str) -> Colour:
        return self.context.trade.systems[system].colour

    def panel(self, title: str, *blocks: Block, notes: Sequence[Number] = (), more: str = "") -> KeepTogether:
        """Heading, pictures and sentences; in small type what the numbers assume, and more."""
        style = TextStyle(1.2 * self.look.body.size_pt, "bold", self.look.body.colour, leading=1.25)
        head = Heading(text=title, style=style, destination=panel_place(title), space_after_mm=1.6)
        assumed = [
            *dict.fromkeys(a for number in notes for a in number.assumptions),
            *([more] if more else []),
        ]
        small = (
            [Paragraph(text=" ".join(assumed), style=self.look.small, space_before_mm=1.2)] if assumed else []
        )
        return KeepTogether(blocks=(head, *blocks, *small), space_before_mm=4.0, space_after_mm=4.0)

    def say(self, *ids: str) -> tuple[Block, ...]:
        """The sentences of these numbers, where they are known."""
        found = [number for id in ids if (number := self.sheet.number(id))]
        return tuple(
            Paragraph(text=sentence(number.text), style=self.look.body, space_after_mm=1.2)
            for number in found
        )

    def known(self, *ids: str) -> list[Number]:
        return [number for id in ids if (number := self.sheet.number(id))]

    def hook_up(self) -> Iterator[Block]:
        supplies = self.sheet.hook_up
        if not supplies:
            return
        full = supplies[-1].limit_w
        bars = [HookUpBars(supply=s, full_w=full, colour=self.colour("M"), look=self.look) for s in supplies]
        base = listed([f"{use.load} ({use.watts:.0f} W)" for use in supplies[-1].base])
        left_on = f"The grey part stays on: {base}. " if base else ""
        intro = Paragraph(
            text=f"A pitch gives 6, 10 or 16 A. All that stands in one bar may run together. {left_on}"
            "If you switch on more than the watts under the amperes, the breaker of the pitch trips.",
            style=self.look.body,
            space_after_mm=2.4,
        )
        bars[-1] = replace(bars[-1], space_after_mm=1.5)
        yield self.panel("What runs together on the hook-up", intro, bars[0])
        yield from bars[1:]
        assumed = " ".join(self.sheet.of("power")[0].assumptions)
        yield Paragraph(text=assumed, style=self.look.small, space_after_mm=5.0)

    def hot_water(self) -> Block | None:
        numbers = self.sheet.of("hot-water")
        heater = self.context.vehicle.equipment.water_heater
        if not numbers or not heater or not heater.water:
            return None
        rows = tuple(
            Bar(upper(n.title.removeprefix("Warm-up on ")), n.value, warm_up_said(n.value)) for n in numbers
        )
        said = f"{precise(heater.water)} litres from {COLD_C:.0f} to {HOT_C:.0f} °C take about:"
        return self.panel(
            "Hot water",
            Paragraph(text=said, style=self.look.body, space_after_mm=1.2),
            BarRows(rows=rows, colour=self.colour("H"), look=self.look),
            notes=numbers,
        )

    def lead(self) -> Block | None:
        numbers = self.known("lead.drop", "lead.heat")
        if not numbers:
            return None
        picture = LeadPicture(look=self.look)
        return self.panel("The hook-up lead", picture, *self.say("lead.heat", "lead.drop"), notes=numbers)

    def water(self) -> Block | None:
        e, figures = self.context.vehicle.equipment, self.context.vehicle.figures
        a_day = (figures.persons or 0) * (figures.water_per_person_day or 0)
        tanks = [
            Tank(title, block.tank, a_day, fills, self.colour(system))
            for title, block, fills, system in (
                ("Fresh", e.fresh_water, False, "F"),
                ("Waste", e.waste_water, True, "W"),
            )
            if block and block.tank
        ]
        if not tanks:
            return None
        return self.panel(
            "Water",
            *self.say("water.fresh-days", "water.waste-share"),
            Tanks(tanks=tuple(tanks), look=self.look, tall_mm=self._tall_mm),
            notes=self.known("water.fresh-days", "water.waste-share"),
        )

    def battery(self) -> Block | None:
        battery, usable = self.context.vehicle.equipment.leisure_battery, self.sheet.number("battery.usable")
        if not battery or not usable:
            return None
        days = self.sheet.number("battery.days")
        picture = Battery(
            usable_share=usable_ah(battery) / (battery.count * battery.capacity),
            days=days.value if days else None,
            rest_volts=self.sheet.rest_volts,
            colour=self.colour("D"),
            look=self.look,
            tall_mm=max(_BATTERY_MM, _VOLTS_LINES * self.look.label.line_mm),
        )
        notes = self.known("battery.usable", "battery.days")
        volts = _AT_REST if self.sheet.rest_volts else _BY_DISPLAY
        said = self.say("battery.days", "battery.usable")
        return self.panel(BATTERY_TITLE, *said, picture, notes=notes, more=volts)

    def battery_day(self) -> Block | None:
        loads = self.sheet.daily_loads
        if not loads or not self.sheet.number("battery.daily"):
            return None
        rows = tuple(
            Bar(f"{upper(d.name)} {precise(d.hours)} h", d.amp_hours, f"{tenths(d.amp_hours)} Ah")
            for d in loads
        )
        bars = BarRows(rows=rows, colour=self.colour("D"), look=self.look)
        notes = self.known("battery.daily")
        title = f"A day on the battery: {tenths(sum(load.amp_hours for load in loads))} Ah"
        return self.panel(title, bars, notes=notes)

    def gas(self) -> Block | None:
        gas, uses = self.context.vehicle.equipment.gas, self.sheet.gas_uses
        if not gas or not self.sheet.number("gas.heat"):
            return None
        picture = Cylinders(
            load=gas_on_board(gas),
            tank=gas.supply == "underslung-tank",
            colour=self.colour("G"),
            look=self.look,
        )
        words = Stack(blocks=self.say("gas.heat", "gas.days"))
        beside = picture.width_mm <= 0.45 * self.panel_mm
        row = Row(cells=(Cell(picture, picture.width_mm), Cell(words)), gap=4.0, space_after_mm=1.6)
        blocks: list[Block] = [row] if beside else [picture, words]
        if uses:
            alone = ", ".join(held(f"{u.appliance} {lasts_said(u)}") for u in uses)
            text = (Span("All of it for one alone, at full power: ", "bold"), Span(f"{alone}."))
            blocks.append(Paragraph(text=text, style=self.look.label, space_before_mm=0.8))
        notes = [n for n in self.sheet.of("gas") if n.id.startswith("gas.hours.")]
        return self.panel("Gas", *blocks, notes=notes or self.known("gas.heat"))

    def gas_day(self) -> Block | None:
        daily = [use for use in self.sheet.gas_uses if use.hours_per_day]
        if not daily or not self.sheet.number("gas.days"):
            return None
        amounts = [use.kilowatts * (use.hours_per_day or 0) for use in daily]
        rows = tuple(
            Bar(f"{upper(use.appliance)} {precise(use.hours_per_day or 0)} h", kwh, f"{tenths(kwh)} kWh")
            for use, kwh in zip(daily, amounts, strict=True)
        )
        bars = BarRows(rows=rows, colour=self.colour("G"), look=self.look)
        return self.panel("A day on the gas", bars, more=FULL_POWER)

    def cold(self) -> Block | None:
        gas = self.context.vehicle.equipment.gas
        ids = [f"gas.cold.{fuel}" for fuel in (fuels(gas) if gas else ())]
        numbers = self.known(*ids)
        if not gas or not numbers:
            return None
        scale = ColdScale(fuels=fuels(gas), colour=self.colour("G"), look=self.look)
        return self.panel("Gas in the cold", scale, *self.say(*ids), notes=numbers[:1])

    def payload(self) -> KeepTogether | None:
        table = self.sheet.payload
        if not table:
            return None
        ladder = Ladder(table=table, colour=self.colour("B"), look=self.look)
        return self.panel(
            "What you may still load",
            *self.say("mass.left"),
            ladder,
            *self.say("mass.minimum"),
            notes=self.known("mass.left"),
            more=_MASSES,
        )

    def workings(self, whole: bool = True) -> Iterator[Block]:
        """How each number was worked out, and what could not be.

        whole: on one page, where they are not too many for that.
        """
        numbers = [n for n in self.sheet.numbers if n.id not in self._alike]
        lines: list[Block] = [
            Paragraph(
                text=self._set_formula(Span(f"{n.title}: ", "bold"), f"{n.formula}."),
                style=self.look.small,
                keep_together=True,
                space_after_mm=0.5,
            )
            for n in numbers
        ]
        if lines:
            style = TextStyle(self.look.body.size_pt, "bold", self.look.body.colour)
            head = Heading(text=_WORKINGS, style=style, space_before_mm=4.0)
            whole = whole and len(lines) <= _MOST_KEPT
            if not whole and math.isinf(self.wide_mm):  # in one column
                again = Heading(text=f"{_WORKINGS}, continued", style=style)
                yield from grouped(head, lines, again)
            else:
                yield head
                yield Panels(
                    panels=tuple(lines),
                    wide_mm=self.wide_mm,
                    space_before_mm=0.0,
                    space_after_mm=1.6,
                    keep_together=whole,
                    keep_with_next=whole,
                )
            yield self._small("Sources", "; ".join(dict.fromkeys(n.source for n in numbers)))
        if self.sheet.missing:
            reasons = dict.fromkeys(reason for _, reason in self.sheet.missing)
            yield self._small("Not worked out", "; ".join(reasons))

    def _set_formula(self, title: Span, formula: str) -> tuple[Span, ...]:
        """Title and formula; lines break before = + and −, outside brackets where that takes none more."""
        room, style = self.panel_mm, self.look.small
        if style.bold.width_mm(title.text) + style.width_mm(formula) <= room:
            return title, Span(formula)
        terms = outside_brackets(formula)
        within = _AMID_A_TERM.sub("\N{NO-BREAK SPACE}", formula)
        whole = " ".join(map(held, terms)) if len(terms) > 1 else within
        best, least = within, line_count((title, Span(within)), room, style)
        if max(map(style.width_mm, terms)) <= room and line_count((title, Span(whole)), room, style) <= least:
            best = whole
        return title, Span(best)

    def _small(self, title: str, text: str) -> Paragraph:
        words = (Span(f"{title}: ", "bold"), Span(f"{text}."))
        return Paragraph(text=words, style=self.look.small, space_after_mm=1.2)

    @property
    def _alike(self) -> frozenset[str]:
        """Worked out as another one, shown once: supplies and warm-ups but the last, gas hours but one."""
        supplies, warm_ups = ([n.id for n in self.sheet.of(subject)] for subject in ("power", "hot-water"))
        hours = [n.id for n in self.sheet.of("gas") if n.id.startswith("gas.hours.")]
        return frozenset((*supplies[:-1], *warm_ups[:-1], *hours[1:]))


def panel_place(title: str) -> str:
    """The name of the destination of the panel with that heading."""
    return f"numbers-{'-'.join(re.findall(r'[a-z0-9]+', title.lower()))}"


def compose_numbers_blocks(context: Context, frame: Frame | None = None) -> tuple[Block, ...]:
    """The chapter without its heading; panels stand in pairs where the frame is wide enough.

    The payload stays with the workings, which would look lost on a page of their own, where the frame
    of a page holds both; workings that begin below a payload and do not fit there go on overleaf.
    """
    make = _Maker(context, _look(context, frame))
    if frame and frame.width < make.wide_mm:  # one panel below the other, as wide as the frame
        make = replace(make, panel_mm=frame.width)
    made = (
        make.hot_water(),
        make.lead(),
        make.water(),
        make.cold(),
        make.battery(),
        make.battery_day(),
        make.gas(),
        make.gas_day(),
    )
    panels = tuple(panel for panel in made if panel)
    blocks: list[Block] = [*make.hook_up()]
    if panels:
        blocks.append(Panels(panels=panels, wide_mm=make.wide_mm))
    workings = tuple(make.workings())
    if ladder := make.payload():
        together = False
        if frame:
            alone = stack_height_mm(workings, frame.width)
            both = stack_height_mm((ladder, *workings), frame.width)
            together = 0 < alone < frame.height / 2 and both <= frame.height
            if not together and make.wide_mm == math.inf:  # in large print
                workings = tuple(make.workings(whole=False))
        blocks.append(replace(ladder, keep_with_next=together))
    return (*blocks, *workings)


def _look(context: Context, frame: Frame | None) -> Look:
    if context.options.large_print:
        return LARGE_PRINT
    return BOOKLET if frame and frame.width < WIDE_MM else Look()


def compose_numbers(context: Context) -> Document:
    """The numbers alone, on A4 portrait."""
    vehicle = context.vehicle
    margins = margins_for(A4)
    x, y, width, height = A4.inside(margins)
    title = Heading(
        text=f"The numbers of this vehicle: {vehicle.name}",
        style=TextStyle(TITLE_PT, "bold", Look().body.colour),
        destination="numbers",
        level=0,
        space_after_mm=4.0,
    )
    frame = Frame(x, y, width, height - 8.0)
    pages = flow((title, *compose_numbers_blocks(context, frame)), repeat(frame))
    sheets = []
    for number, page in enumerate(pages, 1):
        said = f"Page {number} of {len(pages)}"
        foot = footer(vehicle.name, said, x, A4.height_mm - margins.bottom, width, SMALL_PT - 1.0)
        sheets.append(Sheet(A4.width_mm, A4.height_mm, (*draw_all(page), *foot), f"Numbers {number}"))
    return Document(
        tuple(sheets),
        title=f"The numbers of {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="What runs together, how long tanks, battery and gas last, and what may be loaded",
    )


compose = compose_numbers
