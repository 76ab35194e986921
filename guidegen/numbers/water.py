"""Days on the fresh tank, and whether the waste tank keeps pace."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.numbers.model import Number
from guidegen.numbers.wording import days_said, figure
from guidegen.vehicle.description import Equipment, Figures

_SOURCE = "Litres of the tank over litres used; the use is the file's own figure"


def water_numbers(equipment: Equipment, figures: Figures) -> Iterator[Number]:
    fresh = equipment.fresh_water.tank if equipment.fresh_water else None
    waste = equipment.waste_water.tank if equipment.waste_water else None
    persons, each = figures.persons, figures.water_per_person_day
    if persons and each:
        if fresh:
            yield _days("fresh", fresh, persons, each)
        if waste:
            yield _days("waste", waste, persons, each)
    if fresh and waste:
        yield _against(fresh, waste)


def _days(tank: str, litres: float, persons: int, each: float) -> Number:
    days = litres / (persons * each)
    people = "person" if persons == 1 else "people"
    if tank == "fresh":
        text = f"{figure(litres)} l of fresh water last {persons} {people} about {days_said(days)}"
        assumptions: tuple[str, ...] = ("Tank full at the start.",)
    else:
        text = f"The waste tank is full after about {days_said(days)}"
        assumptions = ("Tank empty at the start; all water that is used runs into it.",)
    return Number(
        id=f"water.{tank}-days",
        subject="water",
        title=f"Days on the {tank} tank",
        value=days,
        unit="days",
        text=text,
        formula=f"{figure(litres)} l / ({persons} · {figure(each)} l a day) = {days:.1f} days",
        assumptions=(*assumptions, f"{figure(each)} l for each person a day."),
        source=_SOURCE,
    )


def _against(fresh: float, waste: float) -> Number:
    share = waste / fresh
    if share < 1:
        text = (
            f"The waste tank ({figure(waste)} l) is full before the fresh tank ({figure(fresh)} l) is empty: "
        )
        text += "empty it before you fill up"
    else:
        text = f"The waste tank ({figure(waste)} l) holds all of the fresh tank ({figure(fresh)} l)"
    return Number(
        id="water.waste-share",
        subject="water",
        title="Waste tank against fresh tank",
        value=share * 100,
        unit="%",
        text=text,
        formula=f"{figure(waste)} l / {figure(fresh)} l = {share:.0%}",
        assumptions=("All water that is used runs into the waste tank.",),
        source=_SOURCE,
    )


def water_missing(equipment: Equipment, figures: Figures) -> Iterator[tuple[str, str]]:
    e = equipment
    tanks = [
        (name, block.tank)
        for name, block in (("fresh", e.fresh_water), ("waste", e.waste_water))
        if block and not block.external_container
    ]
    for name, litres in tanks:
        if not litres:
            yield f"water.{name}-days", f"the {name} tank's litres are not given"
        if not figures.persons:
            yield f"water.{name}-days", "the number of persons is not given"
        if not figures.water_per_person_day:
            yield f"water.{name}-days", "the water each person uses in a day is not given"
