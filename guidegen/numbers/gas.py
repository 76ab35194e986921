"""Gas on board: heat in it, how long it lasts, how cold it may get."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.numbers.constants import BOILING_C, HEATING_MJ_PER_KG
from guidegen.numbers.model import GasUse, Number
from guidegen.numbers.wording import about_days, days_said, hours_said, listed, precise
from guidegen.vehicle.description import Equipment, Fridge, Gas
from guidegen.vehicle.facts import combined_heater, fuels

_FULL = "Full at the start; the mass is that of the gas alone."
_INPUT = "Power as gas burnt at full flame, by the lower heating value."
FULL_POWER = "Each appliance at full power for its hours a day."
_FRIDGE = "fridge"
_LHV_SOURCE = "Lower heating values by ISO 6976"


def kwh_per_kg(fuel: str) -> float:
    """Heat of 1 kg of propane or butane, by the lower heating value, in kWh."""
    return HEATING_MJ_PER_KG[fuel] / 3.6


def gas_on_board(gas: Gas) -> tuple[tuple[str, float], ...]:
    """Pairs of fuel and kg, one for each cylinder or for the tank; empty when no size is given."""
    if gas.supply == "underslung-tank":
        return ((gas.tank_gas, gas.tank),) if gas.tank else ()
    return tuple((c.gas, c.size) for c in gas.cylinders if c.size)


def heat_kwh(gas: Gas) -> float:
    return sum(kg * kwh_per_kg(fuel) for fuel, kg in gas_on_board(gas))


def gas_uses(equipment: Equipment) -> tuple[GasUse, ...]:
    """Each gas appliance with a known power; the fridge's g/h are turned into kW with the fuel on board."""
    e = equipment
    if not e.gas or not gas_on_board(e.gas):
        return ()
    heat = heat_kwh(e.gas)
    burning = (
        ("hob", e.hob),
        ("grill", e.grill),
        ("oven", e.oven),
        ("water heater", e.water_heater),
        ("heating", e.heating),
    )
    found = [(name, block.gas, block.hours_per_day) for name, block in burning if block]
    if e.fridge:
        found.append((_FRIDGE, _fridge_w(e.fridge, e.gas), e.fridge.hours_per_day))
    return tuple(
        GasUse(name, watts / 1000, hours, heat / (watts / 1000)) for name, watts, hours in found if watts
    )


def lasts_said(use: GasUse) -> str:
    """How long all the gas lasts one appliance, rounded down.

    In days for the fridge, which burns day and night; in hours for all others, so that they compare.
    """
    hours = use.hours_on_board
    return days_said(hours / 24) if use.appliance == _FRIDGE else hours_said(hours)


def _fridge_w(fridge: Fridge, gas: Gas) -> float:
    """g/h to W, with the mean heat of the fuels on board."""
    if not fridge.gas:
        return 0.0
    load = gas_on_board(gas)
    mean = heat_kwh(gas) / sum(kg for _, kg in load)
    return fridge.gas * mean


def gas_numbers(equipment: Equipment) -> Iterator[Number]:
    gas = equipment.gas
    if not gas:
        return
    load = gas_on_board(gas)
    if load:
        yield _heat(load)
        uses = gas_uses(equipment)
        for use in uses:
            yield _endurance(use, heat_kwh(gas))
        if any(use.hours_per_day for use in uses):
            yield _days(uses, heat_kwh(gas))
    for fuel in fuels(gas) if load else ():
        yield _cold(fuel)


def _heat(load: tuple[tuple[str, float], ...]) -> Number:
    kilograms = sum(kg for _, kg in load)
    total = sum(kg * kwh_per_kg(fuel) for fuel, kg in load)
    parts = [f"{precise(kg)} kg · {HEATING_MJ_PER_KG[fuel]} MJ/kg" for fuel, kg in load]
    return Number(
        id="gas.heat",
        subject="gas",
        title="Heat in the gas on board",
        value=total,
        unit="kWh",
        text=f"{precise(kilograms)} kg of {listed(sorted({fuel for fuel, _ in load}))} holds about "
        f"{total:.0f} kWh of heat",
        formula=f"Q = ({' + '.join(parts)}) / 3.6 MJ/kWh = {precise(total)} kWh",
        assumptions=(_FULL,),
        source=_LHV_SOURCE,
    )


def _endurance(use: GasUse, heat: float) -> Number:
    name = "space heating" if use.appliance == "heating" else use.appliance
    hours = use.hours_on_board
    return Number(
        id=f"gas.hours.{use.appliance.replace(' ', '-')}",
        subject="gas",
        title=f"Gas for the {name} alone",
        value=hours,
        unit="h",
        text=f"{name}: about {lasts_said(use)} at full power",
        formula=f"t = Q / P = {precise(heat)} kWh / {precise(use.kilowatts)} kW = {precise(hours)} h",
        assumptions=(_FULL, _INPUT),
        source=_LHV_SOURCE,
    )


def _days(uses: tuple[GasUse, ...], heat: float) -> Number:
    counted = [use for use in uses if use.hours_per_day]
    left_out = [use.appliance for use in uses if not use.hours_per_day]
    a_day = sum(use.kilowatts * (use.hours_per_day or 0) for use in counted)
    days = heat / a_day
    terms = " + ".join(
        f"{precise(use.kilowatts)} kW · {precise(use.hours_per_day or 0)} h" for use in counted
    )
    habits = listed([f"{use.appliance} {precise(use.hours_per_day or 0)} h" for use in counted])
    without = f", without {listed(left_out, 'or')}" if left_out else ""
    return Number(
        id="gas.days",
        subject="gas",
        title="Days on the gas on board",
        value=days,
        unit="days",
        text=f"The gas on board lasts {about_days(days)}{without}",
        formula=f"d = Q / P·t a day = {precise(heat)} kWh / ({terms}) = {precise(days)} days",
        assumptions=(_FULL, _INPUT, FULL_POWER, f"Hours a day: {habits}."),
        source=_LHV_SOURCE,
    )


def _cold(fuel: str) -> Number:
    boiling = BOILING_C[fuel]
    if fuel == "butane":
        text = "Butane gives no gas below about 0 °C, and little just above: take propane in winter"
    else:
        text = f"Propane gives gas down to about {boiling:.0f} °C: right for winter".replace("-", "−")
    return Number(
        id=f"gas.cold.{fuel}",
        subject="gas",
        title=f"{fuel.capitalize()} in the cold",
        value=boiling,
        unit="°C",
        text=text,
        formula=f"Boiling point of {fuel} at 1 atm: {boiling} °C".replace("-", "−"),
        assumptions=("Pure fuel at 1 atm; what is left cools further while gas is drawn.",),
        source="Boiling points by the equation of state of the pure fluid",
    )


def gas_missing(equipment: Equipment) -> Iterator[tuple[str, str]]:
    e = equipment
    if not e.gas:
        return
    if not gas_on_board(e.gas):
        what = "the tank" if e.gas.supply == "underslung-tank" else "any cylinder"
        yield "gas.heat", f"the size of {what} is not given"
        return
    uses = gas_uses(e)
    for use in uses:
        if use.hours_per_day is None:
            yield "gas.days", f"the hours a day of the {use.appliance} are not given: it is not counted"
    if not uses:
        yield "gas.days", "the gas power of no appliance is given"
    water, heating = e.water_heater, e.heating
    if water and heating and combined_heater(e) and bool(water.gas) != bool(heating.gas):
        name = "heating" if water.gas else "hot water"
        yield "gas.days", f"the combined heater's gas power for {name} is not given: it is not counted"
