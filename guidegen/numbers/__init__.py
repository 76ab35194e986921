"""The numbers of a vehicle, computed from its own figures, one module for each subject."""

from __future__ import annotations

from typing import Any

from msgspec import to_builtins

from guidegen.numbers.battery import battery_missing, battery_numbers, daily_loads, rest_volts
from guidegen.numbers.gas import gas_missing, gas_numbers, gas_uses
from guidegen.numbers.hot_water import hot_water_missing, hot_water_numbers
from guidegen.numbers.lead import lead_missing, lead_numbers
from guidegen.numbers.mass import mass_missing, mass_numbers, payload
from guidegen.numbers.model import NumberSheet
from guidegen.numbers.power import power_missing, power_numbers, supplies
from guidegen.numbers.water import water_missing, water_numbers
from guidegen.vehicle.model import Vehicle

__all__ = ["NumberSheet", "compute_numbers", "numbers_json"]


def compute_numbers(vehicle: Vehicle) -> NumberSheet:
    """Every number that the vehicle's figures allow; the others stand in `missing` with the reason."""
    e, f = vehicle.equipment, vehicle.figures
    return NumberSheet(
        numbers=(
            *power_numbers(e),
            *hot_water_numbers(e),
            *gas_numbers(e),
            *battery_numbers(e),
            *water_numbers(e, f),
            *mass_numbers(vehicle),
            *lead_numbers(e, f),
        ),
        hook_up=supplies(e),
        gas_uses=gas_uses(e),
        daily_loads=daily_loads(e),
        rest_volts=rest_volts(e),
        payload=payload(vehicle),
        missing=(
            *power_missing(e),
            *hot_water_missing(e),
            *gas_missing(e),
            *battery_missing(e),
            *water_missing(e, f),
            *mass_missing(vehicle),
            *lead_missing(e, f),
        ),
    )


def numbers_json(sheet: NumberSheet) -> dict[str, Any]:
    """The sheet as plain JSON values."""
    plain: dict[str, Any] = to_builtins(sheet)
    plain["missing"] = [{"id": id, "reason": reason} for id, reason in sheet.missing]
    plain["rest_volts"] = [{"volts": volts, "percent": percent} for volts, percent in sheet.rest_volts]
    for supply, record in zip(sheet.hook_up, plain["hook_up"], strict=True):
        record["sets"] = [{"watts": s.watts, "uses": to_builtins(s.uses)} for s in supply.sets]
        record["shown"] = [{"watts": s.watts, "uses": to_builtins(s.uses)} for s in supply.shown]
    return plain
