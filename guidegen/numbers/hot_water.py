"""How long the water heater takes: E = m·c·ΔT, for gas, for each electric step and for both together."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.numbers.constants import (
    COLD_C,
    DIESEL_TO_WATER,
    GAS_TO_WATER,
    HOT_C,
    MAINS_TO_WATER,
    WATER_KG_PER_L,
    WATER_KJ_PER_KG_K,
)
from guidegen.numbers.model import Number
from guidegen.numbers.wording import percent, precise, warm_up_said
from guidegen.vehicle.description import Equipment, WaterHeater
from guidegen.vehicle.facts import combined_heater

_SOURCE = "Heat capacity of water by IAPWS-95; its losses: common practice, no source"

_TO_WATER = {"gas": GAS_TO_WATER, "diesel": DIESEL_TO_WATER}


def warm_up_minutes(litres: float, useful_w: float) -> float:
    """Minutes from 15 to 60 °C with that heat reaching the water."""
    heat_j = litres * WATER_KG_PER_L * WATER_KJ_PER_KG_K * 1000 * (HOT_C - COLD_C)
    return heat_j / useful_w / 60


def hot_water_numbers(equipment: Equipment) -> Iterator[Number]:
    heater = equipment.water_heater
    if not heater or not heater.water:
        return
    steps = tuple(sorted({w for w in heater.mains if w}))
    diesel = heater.diesel if combined_heater(equipment) else None
    flame = ("gas", heater.gas) if heater.gas else ("diesel", diesel or 0.0)
    if heater.gas:
        yield _warm_up(heater.water, "gas", "gas", ("gas", heater.gas), 0.0)
    if diesel:
        yield _warm_up(heater.water, "diesel", "diesel", ("diesel", diesel), 0.0)
    for step in steps:
        yield _warm_up(heater.water, f"mains-{step:.0f}", f"230 V at {step:.0f} W", ("", 0.0), step)
    if flame[1] and steps:
        both = f"{flame[0]} and 230 V at {steps[-1]:.0f} W"
        yield _warm_up(heater.water, "both", both, flame, steps[-1])


def _warm_up(litres: float, id: str, energy: str, flame: tuple[str, float], mains_w: float) -> Number:
    """With a flame, by its fuel and W, with that many W of 230 V, or with both."""
    fuel, flame_w = flame
    share = _TO_WATER.get(fuel, 0.0)
    minutes = warm_up_minutes(litres, flame_w * share + mains_w * MAINS_TO_WATER)
    terms = [f"{flame_w:.0f} W · {share:.2f}"] if flame_w else []
    terms += [f"{mains_w:.0f} W · {MAINS_TO_WATER:.2f}"] if mains_w else []
    losses = []
    if flame_w:
        losses.append(f"{percent(share)} of the {fuel} heat reaches the water.")
    if mains_w:
        losses.append(f"{percent(MAINS_TO_WATER)} of the electric heat reaches the water.")
    if flame_w and mains_w:
        losses.append(f"{fuel.capitalize()} and 230 V: only where the heater runs on both at once.")
    return Number(
        id=f"warm-up.{id}",
        subject="hot-water",
        title=f"Warm-up on {energy}",
        value=minutes,
        unit="min",
        text=f"{precise(litres)} l from {COLD_C:.0f} to {HOT_C:.0f} °C on {energy}: "
        f"about {warm_up_said(minutes)}",
        formula=f"t = m·c·ΔT / P = {precise(litres)} kg · {WATER_KJ_PER_KG_K} kJ/(kg·K) · "
        f"{HOT_C - COLD_C:.0f} K / ({' + '.join(terms)}) = {precise(minutes)} min",
        assumptions=(f"Tap water at {COLD_C:.0f} °C, heated to {HOT_C:.0f} °C.", *losses),
        source=_SOURCE,
    )


def hot_water_missing(equipment: Equipment) -> Iterator[tuple[str, str]]:
    heater: WaterHeater | None = equipment.water_heater
    if not heater:
        return
    if not heater.water:
        yield "warm-up", "the water heater's litres are not given"
        return
    heating = equipment.heating if combined_heater(equipment) else None
    own = {"gas": heater.gas, "diesel": heater.diesel if heating else None, "mains": any(heater.mains)}
    shared = {"gas": heating.gas, "diesel": heating.diesel, "mains": any(heating.mains)} if heating else {}
    for energy, said in (("gas", "gas"), ("diesel", "diesel"), ("mains", "230 V")):
        if shared.get(energy) and not own[energy]:
            yield f"warm-up.{energy}", f"the combined heater's {said} power for hot water is not given"
    if not any(own.values()) and not any(shared.values()):
        yield "warm-up", "the water heater's power is not given"
