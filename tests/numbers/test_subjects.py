"""Each number worked out again from first principles, reference libraries and worked examples."""

from __future__ import annotations

import re

import pytest
from chemicals.combustion import combustion_data
from chemicals.identifiers import MW, CAS_from_any
from chemicals.reaction import Hfg
from CoolProp.CoolProp import PropsSI

from guidegen.numbers.gas import lasts_said
from guidegen.numbers.model import GasUse

KELVIN = 273.15


def heat_mj(litres: float) -> float:
    """From 15 to 60 °C by the enthalpies of the IAPWS-95 equation of state."""
    cold, hot = (PropsSI("H", "T", c + KELVIN, "P", 101325, "Water") for c in (15, 60))
    kilograms = litres * PropsSI("D", "T", 15 + KELVIN, "P", 101325, "Water") / 1000
    return kilograms * (hot - cold) / 1e6


def lhv_kwh(fuel: str, formula: dict[str, int]) -> float:
    cas = CAS_from_any(fuel)
    return -combustion_data(formula=formula, Hf=Hfg(cas)).LHV / MW(cas) / 3600


PROPANE, BUTANE = lhv_kwh("propane", {"C": 3, "H": 8}), lhv_kwh("butane", {"C": 4, "H": 10})
FULL_GAS_KWH = 11 * PROPANE + 6 * BUTANE


def value(sheet, id: str) -> float:
    number = sheet.number(id)
    assert number is not None, f"{id} is missing: {sheet.missing}"
    return number.value


# Hot water


@pytest.mark.parametrize(
    ("id", "useful_w"),
    [
        ("warm-up.gas", 1500 * 0.80),
        ("warm-up.mains-850", 850 * 0.95),
        ("warm-up.both", 1500 * 0.80 + 850 * 0.95),
    ],
)
def test_warm_up_takes_the_heat_of_the_water(sheet_with, id, useful_w):
    assert value(sheet_with(), id) == pytest.approx(heat_mj(10) * 1e6 / useful_w / 60, rel=0.01)


def test_warm_up_of_a_combined_diesel_heater(sheet_with):
    combined = {"type": "combined", "water": "10 l", "diesel": "4 kW", "mains": ["900 W"]}
    heating = {"type": "combined-air", "diesel": "4 kW", "mains": ["900 W"]}
    sheet = sheet_with({"equipment.water_heater": combined, "equipment.heating": heating})
    assert value(sheet, "warm-up.diesel") == pytest.approx(heat_mj(10) * 1e6 / (4000 * 0.80) / 60, rel=0.01)
    both = 4000 * 0.80 + 900 * 0.95
    assert value(sheet, "warm-up.both") == pytest.approx(heat_mj(10) * 1e6 / both / 60, rel=0.01)
    assert "diesel heat" in " ".join(sheet.number("warm-up.diesel").assumptions)
    assert sheet.number("warm-up.gas") is None


def test_warm_up_by_the_old_engineers_rule(sheet_with):
    """1 kWh heats 860 kg of water by 1 K (1 kcal = 4.1868 kJ, International Table calorie)."""
    minutes = 10 * 45 / 860 / (0.85 * 0.95) * 60
    assert value(sheet_with(), "warm-up.mains-850") == pytest.approx(minutes, rel=0.01)


def test_gas_is_quicker_than_a_small_element_and_both_are_quickest(sheet_with):
    sheet = sheet_with()
    times = [value(sheet, f"warm-up.{energy}") for energy in ("both", "gas", "mains-850")]
    assert times == sorted(times)


def test_every_electric_step_has_its_time(sheet_with):
    sheet = sheet_with({"equipment.water_heater.mains": ["450 W", "900 W"]})
    assert value(sheet, "warm-up.mains-450") == pytest.approx(2 * value(sheet, "warm-up.mains-900"))


# Gas


def test_heat_on_board(sheet_with):
    assert value(sheet_with(), "gas.heat") == pytest.approx(FULL_GAS_KWH, rel=0.01)


def test_hours_of_one_appliance(sheet_with):
    assert value(sheet_with(), "gas.hours.hob") == pytest.approx(FULL_GAS_KWH / 5, rel=0.01)
    assert value(sheet_with(), "gas.hours.fridge") == pytest.approx(17_000 / 16, rel=0.01)


def test_only_the_fridge_which_burns_day_and_night_is_told_in_days():
    def lasts(appliance: str, hours: float) -> str:
        return lasts_said(GasUse(appliance, 1.0, None, hours))

    assert [lasts("hob", 52.4), lasts("grill", 177.0), lasts("fridge", 1100.0), lasts("fridge", 100.0)] == [
        "52 hours",
        "177 hours",
        "45 days",
        "4 days",
    ]


def test_days_of_typical_use(sheet_with):
    fridge_kw = 0.016 * FULL_GAS_KWH / 17
    a_day = 5 * 1 + 1.8 * 0.5 + 1.5 * 1 + 3 * 4 + fridge_kw * 20
    assert value(sheet_with(), "gas.days") == pytest.approx(FULL_GAS_KWH / a_day, rel=0.01)


def test_appliances_without_hours_are_named_as_not_counted(sheet_with):
    sheet = sheet_with({"equipment.heating.hours_per_day": None})
    assert sheet.number("gas.days").text.endswith("without heating")
    assert any(id == "gas.days" and "heating" in reason for id, reason in sheet.missing)


def test_a_tank_counts_like_cylinders(sheet_with):
    sheet = sheet_with({"equipment.gas": {"supply": "underslung-tank", "tank": "20 kg"}})
    assert value(sheet, "gas.heat") == pytest.approx(20 * PROPANE, rel=0.01)
    assert sheet.number("gas.cold.butane") is None


def test_a_tank_is_not_told_of_cylinders(sheet_with):
    tank = {"supply": "underslung-tank", "tank": "21 kg", "tank_gas": "propane"}
    assumed = {sentence for n in sheet_with({"equipment.gas": tank}).numbers for sentence in n.assumptions}
    assert not [sentence for sentence in assumed if "cylinder" in sentence.lower()]
    cylinders = {sentence for n in sheet_with().numbers for sentence in n.assumptions}
    assert any(sentence.startswith("Empty gas cylinders weigh") for sentence in cylinders)


def test_cold_gas(sheet_with):
    sheet = sheet_with()
    for fuel, fluid in (("propane", "Propane"), ("butane", "n-Butane")):
        assert value(sheet, f"gas.cold.{fuel}") == pytest.approx(
            PropsSI("T", "P", 101325, "Q", 0, fluid) - KELVIN, abs=0.1
        )
    assert "winter" in sheet.number("gas.cold.butane").text


# Battery


def test_battery_days(sheet_with):
    """2 × 100 Ah, half of it usable; 20 W for 4 h and 40 W for 3 h a day."""
    sheet = sheet_with()
    assert value(sheet, "battery.usable") == pytest.approx(100)
    assert value(sheet, "battery.daily") == pytest.approx((80 + 120) / 12, rel=0.01)
    assert value(sheet, "battery.days") == pytest.approx(100 / (200 / 12), rel=0.01)


def test_lithium_gives_more_and_has_no_voltage_table(sheet_with):
    sheet = sheet_with({"equipment.leisure_battery.type": "lithium"})
    assert value(sheet, "battery.usable") == pytest.approx(160)
    assert sheet.rest_volts == ()


def test_a_compressor_fridge_counts_as_a_daily_load(sheet_with):
    fridge = {"type": "compressor", "dc": "48 W", "hours_per_day": "10 h"}
    sheet = sheet_with({"equipment.fridge": fridge})
    assert value(sheet, "battery.daily") == pytest.approx((200 + 480) / 12, rel=0.01)


# Water


def test_water_days(sheet_with):
    sheet = sheet_with()
    assert value(sheet, "water.fresh-days") == pytest.approx(100 / 60, rel=0.01)
    assert value(sheet, "water.waste-days") == pytest.approx(90 / 60, rel=0.01)
    assert value(sheet, "water.waste-share") == pytest.approx(90)
    assert "before the fresh tank" in sheet.number("water.waste-share").text


def test_a_waste_tank_that_holds_all(sheet_with):
    sheet = sheet_with({"equipment.waste_water.tank": "110 l"})
    assert "holds all" in sheet.number("water.waste-share").text


# Mass


def test_payload(sheet_with):
    """3500 − 2950 − 40 − 3 · 75 − 100 l − 17 kg gas − 30 kg luggage."""
    sheet = sheet_with()
    assert value(sheet, "mass.left") == pytest.approx(3500 - 2950 - 40 - 225 - 100 - 17 - 30)
    assert sheet.payload.left_kg == pytest.approx(sum(row.kg for row in sheet.payload.rows))


def test_least_payload_of_a_motor_caravan(sheet_with):
    """Regulation (EU) 2021/535, from memory: 10 · (n + L) kg; four seats and 7.35 m give 113.5 kg."""
    assert value(sheet_with(), "mass.minimum") == pytest.approx(113.5)


def test_least_payload_of_a_caravan(sheet_with):
    """EN 1645-2, from memory: 10 · berths + 10 · length + 30 kg; two berths and 5 m give 100 kg."""
    changes = {
        "kind": "caravan",
        "steering": None,
        "masses": {"mtplm": "1500 kg", "miro": "1300 kg", "berths": 2},
        "sizes.length": "5 m",
    }
    sheet = sheet_with(changes)
    assert value(sheet, "mass.minimum") == pytest.approx(100)
    assert value(sheet, "mass.left") == pytest.approx(1500 - 1300 - 100 - 17)  # nobody travels in it


@pytest.mark.parametrize("length", ["7.13 m", "5.85 m"])
def test_the_drawbar_does_not_count_in_the_least_payload_of_a_caravan(sheet_with, length):
    """EN 1645-2, from memory: L is that of the body, here 5.85 m, whichever of the two the file gives."""
    changes = {
        "kind": "caravan",
        "steering": None,
        "layout": "caravan-end-washroom",
        "masses": {"mtplm": "1500 kg", "miro": "1300 kg", "berths": 2},
        "sizes.length": length,
    }
    assert value(sheet_with(changes), "mass.minimum") == pytest.approx(20 + 58.5 + 30)


def test_the_least_payload_names_what_is_still_to_be_loaded(sheet_with):
    said = [
        sheet_with(changes).number("mass.minimum").text
        for changes in ({}, {"equipment.gas": None}, {"equipment.gas": None, "equipment.fresh_water": None})
    ]
    assert [re.search(r"before ([a-z, ]+)", text)[1] for text in said] == [
        "water, gas and luggage",
        "water and luggage",
        "luggage",
    ]


def test_an_overloaded_vehicle_is_told_so(sheet_with):
    sheet = sheet_with({"masses.luggage": "200 kg"})
    assert value(sheet, "mass.left") < 0
    assert sheet.number("mass.left").text.startswith("Overloaded by 32 kg")


# Lead


def test_lead_drop(sheet_with):
    """IEC 60228: 7.98 Ω/km for each conductor of 2.5 mm²; 25 m there and back at 16 A."""
    assert value(sheet_with(), "lead.drop") == pytest.approx(2 * 0.025 * 7.98 * 16, rel=0.01)
    assert value(sheet_with(), "lead.heat") == pytest.approx(2 * 0.025 * 7.98 * 256, rel=0.01)


def test_lead_drop_agrees_with_the_table_for_a_warm_cord(sheet_with):
    """BS 7671 table of flexible cords, from memory: 2.5 mm² drops 19 mV a metre and ampere at 60 °C;
    copper gains 0.393 % a kelvin."""
    warm = value(sheet_with(), "lead.drop") * (1 + 0.00393 * 40)
    assert warm == pytest.approx(0.019 * 25 * 16, rel=0.04)


# What is not in the file is not guessed


@pytest.mark.parametrize(
    ("left_out", "gone"),
    [
        ("equipment.water_heater.water", "warm-up"),
        ("equipment.leisure_battery", "battery"),
        ("equipment.dc_loads", "battery.days"),
        ("equipment.fresh_water.tank", "water.fresh-days"),
        ("equipment.waste_water.tank", "water.waste-days"),
        ("persons", "water.fresh-days"),
        ("water_per_person_day", "water.waste-days"),
        ("masses.mtplm", "mass.left"),
        ("masses.miro", "mass.left"),
        ("masses.seats", "mass.minimum"),
        ("sizes.length", "mass.minimum"),
        ("lead_length", "lead.drop"),
        ("lead_section", "lead.drop"),
        ("equipment.gas.cylinders", "gas.heat"),
    ],
)
def test_a_missing_figure_leaves_its_number_out_and_says_why(sheet_with, left_out, gone):
    sheet = sheet_with({left_out: None})
    assert not any(n.id == gone or n.id.startswith(f"{gone}.") for n in sheet.numbers)
    if left_out != "equipment.leisure_battery":  # nothing is missing where nothing is fitted
        assert any(id == gone for id, _ in sheet.missing)


COMBINED = {"type": "combined", "water": "10 l"}


@pytest.mark.parametrize(
    ("changes", "id", "reason"),
    [
        ({"equipment.fresh_water": {}}, "mass.left", "fresh tank's litres"),
        ({"equipment.gas": {"supply": "underslung-tank"}}, "mass.left", "how much gas"),
        ({"equipment.hook_up": {"inlet": "16 A", "charger_switch": True}}, "hook-up", "charger's power"),
        (
            {"equipment.water_heater": COMBINED, "equipment.heating": {"type": "wet", "gas": "5 kW"}},
            "warm-up.gas",
            "gas power for hot water",
        ),
        (
            {"equipment.water_heater": COMBINED, "equipment.heating": {"type": "wet", "gas": "5 kW"}},
            "gas.days",
            "gas power for hot water",
        ),
        (
            {"equipment.water_heater": COMBINED | {"gas": "4 kW"}, "equipment.heating": {"type": "wet"}},
            "gas.days",
            "gas power for heating",
        ),
        (
            {"equipment.water_heater": COMBINED, "equipment.heating": {"type": "wet", "mains": ["1 kW"]}},
            "warm-up.mains",
            "230 V power for hot water",
        ),
        (
            {
                "equipment.water_heater": COMBINED,
                "equipment.heating": {"type": "combined-air", "diesel": "4 kW"},
            },
            "warm-up.diesel",
            "diesel power for hot water",
        ),
    ],
)
def test_a_number_that_leaves_something_out_says_so(sheet_with, changes, id, reason):
    assert any(key == id and reason in text for key, text in sheet_with(changes).missing)


def test_figures_are_printed_as_they_were_given(sheet_with):
    """A quarter of an hour is not "0.2 h"."""
    changes = {
        "equipment.oven.hours_per_day": "0.25 h",
        "equipment.dc_loads": [{"name": "Pump", "power": "45.5 W", "hours_per_day": "15 min"}],
    }
    sheet = sheet_with(changes)
    assert "1.8 kW · 0.25 h" in sheet.number("gas.days").formula
    assert "45.5 W · 0.25 h" in sheet.number("battery.daily").formula


def test_the_full_vehicle_misses_nothing(sheet_with):
    assert sheet_with().missing == ()
