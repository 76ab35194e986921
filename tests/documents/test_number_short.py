"""The numbers in short: few lines, short enough for a card, with the values that the pages print."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from guidegen.documents.context import Context
from guidegen.documents.number_short import LINE_CHARACTERS, short_numbers
from guidegen.numbers.wording import about_days, figure, warm_up_said
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle, vehicle_from_text

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
BASE = """
id: short
name: Short
kind: motorhome
steering: right
layout: coachbuilt-rear-lounge
masses: {mtplm: 3500 kg, miro: 2950 kg, seats: 4, luggage: 30 kg}
persons: 2
water_per_person_day: 15 l
lead_length: 25 m
lead_section: 2.5 mm²
equipment:
  gas: {cylinders: [{size: 6 kg, gas: propane}]}
  heating: {type: gas-convector, gas: 3 kW, mains: [500 W, 1000 W], hours_per_day: 4 h}
  water_heater: {type: storage, water: 10 l, gas: 1.5 kW, mains: [850 W], hours_per_day: 1 h}
  fridge: {type: absorption, gas: 16 g/h, mains: 135 W, hours_per_day: 16 h}
  hook_up: {inlet: 16 A, charger: 300 W}
  fresh_water: {tank: 100 l}
  leisure_battery: {capacity: 100 Ah, type: agm}
  mains_loads: [{name: Kettle, power: 2000 W}]
  dc_loads: [{name: Lights, power: 20 W, hours_per_day: 4 h}]
"""


def context(**changes) -> Context:
    data = yaml.safe_load(BASE)
    data["equipment"] |= changes.pop("equipment", {})
    text = yaml.safe_dump(data | changes, allow_unicode=True)
    return Context(vehicle_from_text(text, Path()), load_trade())


def lines(**changes) -> list[str]:
    return [made.line for made in short_numbers(context(**changes))]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_sample_has_four_to_six_lines_that_fit(path):
    made = short_numbers(Context(read_vehicle(path), load_trade()))
    assert 4 <= len(made) <= 6
    assert all(len(short.line) <= LINE_CHARACTERS for short in made)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_the_values_are_those_of_the_pages(path):
    made = Context(read_vehicle(path), load_trade())
    text = {short.subject: short.line for short in short_numbers(made)}
    for subject, id in (("gas", "gas.days"), ("battery", "battery.days"), ("water", "water.fresh-days")):
        number = made.numbers.number(id)
        assert (subject in text) == bool(number)
        if number:
            assert about_days(number.value) in number.text and about_days(number.value) in text[subject]
    warm_up = made.numbers.number("warm-up.gas")
    if warm_up:
        assert warm_up_said(warm_up.value).split()[0] + " min on gas" in text["hot-water"]
    left = made.numbers.number("mass.left")
    assert f"{figure(abs(left.value), 0)} kg" in text["mass"]


def test_what_runs_on_the_usual_supply_and_what_only_alone():
    # 2300 W: 1000 + 850 + 435 = 2285 W fit; the kettle's 2000 + 435 = 2435 W do not
    assert lines()[0] == "10 A: heating at 1000 W and water heater with fridge and charger"
    only = lines(equipment={"water_heater": None})
    assert only[0] == "10 A hook-up: heating at 1000 W with fridge and charger; kettle alone"


def test_what_is_not_known_is_left_out_and_other_supplies_step_in():
    few = lines(masses={}, equipment={"gas": None, "water_heater": None, "heating": None, "fridge": None})
    assert [line.split(" ")[0] for line in few] == ["6", "10", "Battery:", "Fresh"]


def test_an_overload_is_said():
    assert lines(masses={"mtplm": "3200 kg", "miro": "2950 kg", "seats": 4})[-1].startswith("Overloaded: by ")


def test_long_names_never_break_the_line():
    loads = [{"name": f"A very long name of an appliance, number {n}", "power": "700 W"} for n in range(6)]
    made = lines(equipment={"mains_loads": loads})
    assert all(len(line) <= LINE_CHARACTERS for line in made)
    assert made[0].startswith("10 A")


def test_a_vehicle_without_figures_has_no_lines():
    bare = {name: [] if name.endswith("_loads") else None for name in yaml.safe_load(BASE)["equipment"]}
    assert lines(masses={}, equipment=bare) == []
