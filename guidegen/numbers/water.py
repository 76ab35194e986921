"""Days on the fresh tank, and whether the waste tank keeps pace."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.numbers.model import Number
from guidegen.numbers.wording import about_days, percent, precise
from guidegen.vehicle.description import Equipment, Figures

_SOURCE = "Loads, litres and hours: the vehicle's file"


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
        text = f"{precise(litres)} l of fresh water lasts {persons} {people} {about_days(days)}"
        assumptions: tuple[str, ...] = ("Tank full at the start.",)
    else:
        text = f"The waste tank is full after {about_days(days)}"
        assumptions = ("Tank empty at the start; all water that is used runs into it.",)
    return Number(
        id=f"water.{tank}-days",
        subject="water",
        title=f"Days on the {tank} tank",
        value=days,
        unit="days",
        text=text,
        formula=f"{precise(litres)} l / ({persons} · {precise(each)} l a day) = {precise(days)} days",
        assumptions=(*assumptions, f"{precise(each)} l for each person a day."),
        source=_SOURCE,
    )


def _against(fresh: float, waste: float) -> Number:
    share = waste / fresh
    full, empty = f"waste tank ({precise(waste)} l)", f"fresh tank ({precise(fresh)} l)"
    if share < 1:
        text = f"The {full} is full before the {empty} is empty: empty it before you fill up"
    else:
        text = f"The {full} holds all of the {empty}"
    return Number(
        id="water.waste-share",
        subject="water",
        title="Waste tank against fresh tank",
        value=share * 100,
        unit="%",
        text=text,
        formula=f"{precise(waste)} l / {precise(fresh)} l = {percent(share)}",
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
