"""The numbers in short: a handful of lines for the folded card, with the values of the numbers pages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from msgspec import Struct

from guidegen.documents.context import Context
from guidegen.numbers.model import HookUpSet, HookUpSupply, NumberSheet, Subject
from guidegen.numbers.wording import about_days, figure, listed, precise, warm_up_said
from guidegen.vehicle.model import Vehicle

LINE_CHARACTERS = 70
_FEWEST, _MOST = 4, 6
_RUNGS = ("Fresh water", "Gas", "Luggage")
_USUAL_A = 10  # the supply that most pitches give: common practice, no source


class ShortNumber(Struct, frozen=True):
    """One line; `head` may be set bold. `line` is never longer than LINE_CHARACTERS."""

    subject: Subject
    head: str  # "Hot water"
    text: str  # "7 min on gas, 35 min at 900 W"

    @property
    def line(self) -> str:
        return f"{self.head}: {self.text}"


def short_numbers(context: Context) -> tuple[ShortNumber, ...]:
    """At most six lines of what an owner asks for on the road; what is not known is left out."""
    sheet, vehicle = context.numbers, context.vehicle
    makers = (_hot_water(sheet), _gas(sheet), _battery(sheet), _water(sheet, vehicle), _load(sheet, vehicle))
    others = [line for line in makers if line]
    supplies = sorted(sheet.hook_up, key=lambda s: (abs(s.amps - _USUAL_A), s.amps))
    count = max(1, _FEWEST - len(others))
    hook_up = sorted(supplies[:count], key=lambda s: s.amps)
    spare = _lead(sheet) if len(hook_up) + len(others) < _FEWEST else None
    lines = (*(_hook_up(supply) for supply in hook_up), *others, *([spare] if spare else []))
    return tuple(islice(lines, _MOST))


def _fitting(subject: Subject, heads: Sequence[str], texts: Iterable[str]) -> ShortNumber | None:
    """The first of the texts, from long to short, that fits the line beside one of the heads."""
    tried = (ShortNumber(subject, head, text) for text in texts for head in heads if text)
    return next((made for made in tried if len(made.line) <= LINE_CHARACTERS), None)


def _hook_up(supply: HookUpSupply) -> ShortNumber:
    heads = (f"{supply.amps} A hook-up", f"{supply.amps} A")
    in_all = f"{supply.limit_w:.0f} W in all"
    return _fitting("power", heads, _hook_up_texts(supply)) or ShortNumber("power", heads[0], in_all)


def _hook_up_texts(supply: HookUpSupply) -> Iterator[str]:
    """All that the page says; else the first set, which is maximal, and what may run in its stead."""
    yield supply.text.partition(": ")[2]
    if not supply.shown:
        return
    first, *others = supply.shown
    base, beside = listed([use.said for use in supply.base]), listed(_beside(first, supply))
    together = f"{beside} with {base}" if base and beside else beside or f"only {base}"
    instead = [_beside(other, supply) for other in others]
    if instead and all(len(names) == 1 for names in instead):
        yield f"{together}; {listed([names[0] for names in instead], 'or')} instead"
    if supply.alone and not others:
        yield f"{together}; {listed([use.said for use in supply.alone], 'or')} alone"
    yield f"{together}, nothing more"
    yield f"{together} at most"
    yield together


def _beside(shown: HookUpSet, supply: HookUpSupply) -> list[str]:
    return [use.said for use in shown.uses if use not in supply.base]


def _hot_water(sheet: NumberSheet) -> ShortNumber | None:
    times = {n.id.removeprefix("warm-up."): _short_minutes(n.value) for n in sheet.of("hot-water")}
    flames = [f"{times[fuel]} on {fuel}" for fuel in ("gas", "diesel") if fuel in times]
    steps = [(said, id.removeprefix("mains-")) for id, said in times.items() if "mains-" in id]
    texts = [
        listed([*flames, *_steps_said(some, on)], "or")
        for some in (steps, steps[:1] + steps[1:][-1:], steps[-1:])
        for on in (" on 230 V", "")
    ]
    return _fitting("hot-water", ("Hot water",), (*texts, *flames))


def _steps_said(steps: Sequence[tuple[str, str]], on: str) -> Iterator[str]:
    for n, (said, watts) in enumerate(steps):
        yield f"{said}{'' if n else on} at {watts} W"


def _short_minutes(minutes: float) -> str:
    return warm_up_said(minutes).replace(" minutes", " min").replace(" minute", " min")


def _gas(sheet: NumberSheet) -> ShortNumber | None:
    days, heat = sheet.number("gas.days"), sheet.number("gas.heat")
    if not days:
        return _fitting("gas", ("Gas",), [f"about {heat.value:.0f} kWh of heat on board"]) if heat else None
    heating = next((u.hours_per_day for u in sheet.gas_uses if u.appliance == "heating"), None)
    without = [u.appliance for u in sheet.gas_uses if not u.hours_per_day]
    habit = f" with heating {precise(heating)} h a day" if heating else ""
    left_out = f", without {listed(without, 'or')}" if without else ""
    said = about_days(days.value)
    texts = (f"{said}{habit}{left_out}", f"{said}{left_out}", f"{said}, some appliances not counted")
    return _fitting("gas", ("Gas",), texts)


def _battery(sheet: NumberSheet) -> ShortNumber | None:
    days = sheet.number("battery.days")
    return ShortNumber("battery", "Battery", f"{about_days(days.value)} without hook-up") if days else None


def _water(sheet: NumberSheet, vehicle: Vehicle) -> ShortNumber | None:
    days, persons = sheet.number("water.fresh-days"), vehicle.figures.persons
    if not days:
        return None
    people = "person" if persons == 1 else "people"
    return ShortNumber("water", "Fresh water", f"{about_days(days.value)} for {persons} {people}")


def _load(sheet: NumberSheet, vehicle: Vehicle) -> ShortNumber | None:
    """What is free once all rungs of the ladder are on board."""
    left, table = sheet.number("mass.left"), sheet.payload
    if not left or not table:
        return None
    names = {row.name for row in table.rows}
    people = [f"{vehicle.figures.masses.seats} people"] if "Passengers" in names else []
    counted = listed([*people, *(name.lower() for name in _RUNGS if name in names)])
    if left.value < 0:
        head, said, join = "Overloaded", f"by {figure(-left.value, 0)} kg", "with"
    else:
        head, said, join = "Load still free", f"{figure(left.value, 0)} kg", "beside"
    return _fitting("mass", (head,), (f"{said} {join} {counted}" if counted else "", said))


def _lead(sheet: NumberSheet) -> ShortNumber | None:
    heat = sheet.number("lead.heat")
    return (
        ShortNumber("lead", "Hook-up lead", f"uncoil it fully, it gives off {heat.value:.0f} W")
        if heat
        else None
    )
