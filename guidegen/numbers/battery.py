"""Days on the leisure battery, and its charge by the voltage at rest."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.numbers.constants import BATTERY_V, REST_VOLTS, USABLE_SHARE
from guidegen.numbers.model import DailyLoad, Number
from guidegen.numbers.wording import about_days, percent, precise, within
from guidegen.vehicle.description import Equipment, LeisureBattery

_KIND = {"lead": "lead-acid", "agm": "AGM", "lithium": "lithium"}
_SOURCE = "Usable share of a battery: common practice, no source"


def usable_ah(battery: LeisureBattery) -> float:
    return battery.count * battery.capacity * USABLE_SHARE[battery.type]


def daily_loads(equipment: Equipment) -> tuple[DailyLoad, ...]:
    """The 12 V loads of a day: those listed, and a compressor fridge when its figures are given."""
    loads = [DailyLoad(within(d.name), d.power, d.hours_per_day) for d in equipment.dc_loads]
    fridge = equipment.fridge
    if fridge and fridge.type == "compressor" and fridge.dc and fridge.hours_per_day:
        loads.insert(0, DailyLoad("fridge", fridge.dc, fridge.hours_per_day))
    return tuple(load for load in loads if load.watts and load.hours)


def rest_volts(equipment: Equipment) -> tuple[tuple[float, int], ...]:
    """Pairs of V at rest and per cent of charge; empty for lithium, whose voltage says little."""
    battery = equipment.leisure_battery
    return REST_VOLTS if battery and battery.type != "lithium" else ()


def battery_numbers(equipment: Equipment) -> Iterator[Number]:
    battery = equipment.leisure_battery
    if not battery or not battery.capacity:
        return
    yield _usable(battery)
    loads = daily_loads(equipment)
    if loads:
        yield _daily(loads)
        yield _days(battery, loads)


def _usable(battery: LeisureBattery) -> Number:
    usable, share = usable_ah(battery), USABLE_SHARE[battery.type]
    return Number(
        id="battery.usable",
        subject="battery",
        title="Usable charge",
        value=usable,
        unit="Ah",
        text=f"Of {precise(battery.count * battery.capacity)} Ah, {precise(usable)} Ah may be used",
        formula=f"{battery.count} · {precise(battery.capacity)} Ah · {percent(share)} = {precise(usable)} Ah",
        assumptions=(
            f"{percent(share)} of the capacity of {_KIND[battery.type]} batteries, when new and warm.",
        ),
        source=_SOURCE,
    )


def _daily(loads: tuple[DailyLoad, ...]) -> Number:
    total = sum(load.amp_hours for load in loads)
    terms = " + ".join(f"{precise(load.watts)} W · {precise(load.hours)} h" for load in loads)
    return Number(
        id="battery.daily",
        subject="battery",
        title="Charge used in a day",
        value=total,
        unit="Ah",
        text=f"A day uses about {precise(total)} Ah",
        formula=f"Q = P·t / U = ({terms}) / {BATTERY_V:.0f} V = {precise(total)} Ah",
        assumptions=("Only these loads, so many hours each.",),
        source="Loads, litres and hours: the vehicle's file",
    )


def _days(battery: LeisureBattery, loads: tuple[DailyLoad, ...]) -> Number:
    usable, daily = usable_ah(battery), sum(load.amp_hours for load in loads)
    days = usable / daily
    return Number(
        id="battery.days",
        subject="battery",
        title="Days on the battery",
        value=days,
        unit="days",
        text=f"A full battery lasts {about_days(days)}",
        formula=f"{precise(usable)} Ah / {precise(daily)} Ah a day = {precise(days)} days",
        assumptions=("From full, without hook-up, sun or driving.",),
        source=_SOURCE,
    )


def battery_missing(equipment: Equipment) -> Iterator[tuple[str, str]]:
    battery, fridge = equipment.leisure_battery, equipment.fridge
    if not battery:
        return
    if not battery.capacity:
        yield "battery.usable", "the leisure battery's capacity is not given"
        return
    if not daily_loads(equipment):
        yield "battery.days", "no 12 V loads with their hours a day are given"
    elif fridge and fridge.type == "compressor" and not (fridge.dc and fridge.hours_per_day):
        yield (
            "battery.days",
            "the compressor fridge's 12 V power and hours a day are not given: it is not counted",
        )
