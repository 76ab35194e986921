"""One vehicle with every figure, and vehicles made of it by leaving some out."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from guidegen.numbers import compute_numbers
from guidegen.numbers.model import NumberSheet
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.reading import vehicle_from_text

FULL: dict[str, Any] = yaml.safe_load("""
id: full
name: Full of figures
kind: motorhome
steering: right
layout: coachbuilt-rear-lounge
sizes: {length: 7.35 m}
masses: {mtplm: 3500 kg, miro: 2950 kg, options: 40 kg, seats: 4, berths: 4, luggage: 30 kg}
persons: 4
water_per_person_day: 15 l
lead_length: 25 m
lead_section: 2.5 mm²
equipment:
  gas: {cylinders: [{size: 11 kg, gas: propane}, {size: 6 kg, gas: butane}]}
  hob: {gas: 5 kW, hours_per_day: 1 h}
  oven: {gas: 1.8 kW, hours_per_day: 0.5 h}
  water_heater: {type: storage, water: 10 l, gas: 1.5 kW, mains: [850 W], hours_per_day: 1 h}
  heating: {type: gas-convector, gas: 3 kW, mains: [500 W, 1000 W, 2000 W], hours_per_day: 4 h}
  fridge: {type: absorption, gas: 16 g/h, mains: 135 W, dc: 130 W, hours_per_day: 20 h}
  microwave: {mains: 1200 W}
  hook_up: {inlet: 16 A, charger: 300 W}
  fresh_water: {tank: 100 l}
  waste_water: {tank: 90 l}
  leisure_battery: {count: 2, capacity: 100 Ah, type: agm}
  mains_loads: [{name: Kettle, power: 2200 W}]
  dc_loads:
    - {name: Lights, power: 20 W, hours_per_day: 4 h}
    - {name: TV, power: 40 W, hours_per_day: 3 h}
""")

Make = Callable[..., Vehicle]


def put(data: dict[str, Any], path: str, value: Any) -> None:
    """Sets what a dotted path names; None takes it out."""
    *parents, last = path.split(".")
    for key in parents:
        data = data.setdefault(key, {})
    if value is None:
        del data[last]
    else:
        data[last] = value


@pytest.fixture
def vehicle_with() -> Make:
    """The full vehicle with changes: dotted path → value, or None to leave it out."""

    def make(changes: dict[str, Any] | None = None) -> Vehicle:
        data = copy.deepcopy(FULL)
        for path, value in (changes or {}).items():
            put(data, path, value)
        return vehicle_from_text(yaml.safe_dump(data, allow_unicode=True), Path())

    return make


@pytest.fixture
def sheet_with(vehicle_with: Make) -> Callable[..., NumberSheet]:
    return lambda changes=None: compute_numbers(vehicle_with(changes))
