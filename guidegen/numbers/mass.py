"""What may still be loaded: the payload worked out rung by rung, and the least payload by rule."""

from __future__ import annotations

import math
from collections.abc import Iterator

from guidegen.numbers.constants import PERSON_KG, WATER_KG_PER_L
from guidegen.numbers.gas import gas_on_board
from guidegen.numbers.model import Number, PayloadRow, PayloadTable
from guidegen.numbers.wording import figure, listed, precise
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.model import Vehicle

_WEIGHED = "Masses: the vehicle's file"
_PERSON_SOURCE = "75 kg a person by Regulation (EU) 2021/535"  # these three from memory
_RULE = "Least payload by Regulation (EU) 2021/535"
_CARAVAN_RULE = "Least payload by EN 1645-2"
_BODY_ALONE = "L: the body's length, without the drawbar."
_WITH_DRIVER = "with driver and fuel"
_NO_CYLINDERS = "without the cylinders themselves"
_WEIGH = "Weigh the loaded vehicle, each axle too: only the weighbridge is right."


def payload(vehicle: Vehicle) -> PayloadTable | None:
    """The worked table; None without MTPLM and MIRO, or without the seats of a motor vehicle."""
    masses, equipment = vehicle.figures.masses, vehicle.equipment
    if not masses.mtplm or not masses.miro or (_motor(vehicle) and not masses.seats):
        return None
    riders = max(0, (masses.seats or 0) - 1) if _motor(vehicle) else 0
    fixed = [
        PayloadRow("Greatest mass (MTPLM)", masses.mtplm),
        PayloadRow("In running order (MIRO)", -masses.miro, _WITH_DRIVER if _motor(vehicle) else ""),
    ]
    if masses.options:
        fixed.append(PayloadRow("Options fitted", -masses.options))
    if riders:
        fixed.append(PayloadRow("Passengers", -riders * PERSON_KG, f"{riders} · {PERSON_KG:.0f} kg"))
    loaded = []
    fresh = equipment.fresh_water.tank if equipment.fresh_water else None
    if fresh:
        loaded.append(PayloadRow("Fresh water", -fresh * WATER_KG_PER_L, f"{precise(fresh)} l"))
    gas = sum(kg for _, kg in gas_on_board(equipment.gas)) if equipment.gas else 0.0
    if gas:
        fixed_tank = equipment.gas is not None and equipment.gas.supply == "underslung-tank"
        loaded.append(PayloadRow("Gas", -gas, "" if fixed_tank else _NO_CYLINDERS))
    if masses.luggage:
        loaded.append(PayloadRow("Luggage", -masses.luggage))
    allowed = sum(row.kg for row in fixed)
    left = allowed + sum(row.kg for row in loaded)
    return PayloadTable((*fixed, *loaded), left, allowed, minimum_payload(vehicle))


def minimum_payload(vehicle: Vehicle) -> float | None:
    """10·(n + L) kg for motor vehicles, 10·N + 10·L + 30 kg for caravans; None without the figures.

    n seats with the driver's, N berths, L length in m, of a caravan its body's without the drawbar. All of
    this from memory.
    """
    masses, metres = vehicle.figures.masses, _rule_m(vehicle)
    if not metres:
        return None
    if _motor(vehicle):
        return 10 * (masses.seats + metres) if masses.seats else None
    return 10 * masses.berths + 10 * metres + 30 if masses.berths else None


def _rule_m(vehicle: Vehicle) -> float:
    """The length that the rule counts, in m; 0 when it is not given."""
    length, layout = vehicle.figures.sizes.length or 0.0, vehicle.layout
    over_all = abs(length - layout.length - layout.drawbar) < abs(length - layout.length)
    return (length - layout.drawbar if over_all else length) / 1000


def _motor(vehicle: Vehicle) -> bool:
    return vehicle.kind != "caravan"


def mass_numbers(vehicle: Vehicle) -> Iterator[Number]:
    table = payload(vehicle)
    if table:
        yield _left(table)
    least = minimum_payload(vehicle)
    if least is not None:
        yield _minimum(vehicle, least, table)


def _left(table: PayloadTable) -> Number:
    terms = "".join(f" − {figure(-row.kg)}" if row.kg < 0 else figure(row.kg) for row in table.rows)
    left = table.left_kg
    if left < 0:
        text = f"Overloaded by {figure(-left, 0)} kg with all of this on board: leave something behind"
    else:
        text = f"{figure(left, 0)} kg is left for everything else you take"
    return Number(
        id="mass.left",
        subject="mass",
        title="Left to load",
        value=left,
        unit="kg",
        text=text,
        formula=f"{terms} = {figure(left)} kg",
        assumptions=(*_counted(table), _WEIGH),
        source=_PERSON_SOURCE if _counts_people(table) else _WEIGHED,
    )


def _counts_people(table: PayloadTable) -> bool:
    return any(row.name == "Passengers" or row.detail == _WITH_DRIVER for row in table.rows)


def _counted(table: PayloadTable) -> Iterator[str]:
    """What the table takes to be in MIRO and what it counts on top."""
    details, names = {row.detail for row in table.rows}, {row.name for row in table.rows}
    if _WITH_DRIVER in details:
        yield f"MIRO holds the driver ({PERSON_KG:.0f} kg) and fuel."
    on_top = listed([name.lower() for name in ("Fresh water", "Gas") if name in names])
    if on_top:
        yield f"Counted on top of MIRO, full: {on_top}."
        yield "If the maker's MIRO already includes some of this, you have that much more."
    if "Options fitted" not in names:
        yield "No mass of options is given: what was fitted later weighs on top of this."
    if _NO_CYLINDERS in details:
        yield "Empty gas cylinders weigh about as much as their gas, or more: count them too."


def _minimum(vehicle: Vehicle, least: float, table: PayloadTable | None) -> Number:
    masses, metres = vehicle.figures.masses, _rule_m(vehicle)
    if _motor(vehicle):
        formula = f"10 · (n + L) = 10 · ({masses.seats} + {metres:.2f}) = {figure(least)} kg"
        source = _RULE
    else:
        formula = f"10 · N + 10 · L + 30 = 10 · {masses.berths} + 10 · {metres:.2f} + 30 = {figure(least)} kg"
        source = _CARAVAN_RULE
    later = listed(tuple(_loaded_later(vehicle.equipment)))
    here = f"; here it is {figure(table.payload_kg, 0)} kg" if table else ""
    return Number(
        id="mass.minimum",
        subject="mass",
        title="Least payload by rule",
        value=least,
        unit="kg",
        text=f"The rule asks for at least {math.ceil(least)} kg before {later}{here}",
        formula=formula,
        assumptions=(f"Payload before {later}.", *(() if _motor(vehicle) else (_BODY_ALONE,))),
        source=source,
    )


def _loaded_later(equipment: Equipment) -> Iterator[str]:
    """What the payload by rule has still to hold."""
    if equipment.fresh_water:
        yield "water"
    if equipment.gas:
        yield "gas"
    yield "luggage"


def mass_missing(vehicle: Vehicle) -> Iterator[tuple[str, str]]:
    masses, motor = vehicle.figures.masses, _motor(vehicle)
    for value, name in ((masses.mtplm, "MTPLM"), (masses.miro, "MIRO")):
        if not value:
            yield "mass.left", f"the {name} is not given"
    people = ("seats", masses.seats) if motor else ("berths", masses.berths)
    if not people[1]:
        if motor:
            yield "mass.left", "the number of seats is not given"
        yield "mass.minimum", f"the number of {people[0]} is not given"
    if not vehicle.figures.sizes.length:
        yield "mass.minimum", "the length is not given"
    if payload(vehicle):
        yield from _not_weighed(vehicle.equipment)


def _not_weighed(equipment: Equipment) -> Iterator[tuple[str, str]]:
    """What is on board and cannot be taken from the payload."""
    fresh, gas = equipment.fresh_water, equipment.gas
    if fresh and not fresh.tank and not fresh.external_container:
        yield "mass.left", "the fresh tank's litres are not given: its water is not counted"
    if gas and not gas_on_board(gas):
        yield "mass.left", "how much gas is on board is not given: it is not counted"
