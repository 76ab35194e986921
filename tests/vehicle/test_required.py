"""Which points the equipment requires, and which of them nobody placed."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.required import to_locate

GAS = {"cylinders": [{"size": "6 kg"}]}


@dataclass(frozen=True)
class At:
    kind: str
    serves: tuple[str, ...] = ()


def missing(equipment, *points):
    fitted = Equipment.read(equipment)
    facts = facts_of("motorhome", fitted, frozenset(p.kind for p in points))
    return to_locate(facts, fitted, points, load_trade())


def kinds(equipment, *points):
    return {m.kind for m in missing(equipment, *points)}


SAFETY = {"fire-extinguisher", "smoke-alarm"}


@pytest.mark.parametrize(
    ("equipment", "required"),
    [
        ({}, set()),
        ({"toilet": {}}, {"cassette-hatch", "toilet-flush", "toilet-blade-lever"}),
        (
            {"toilet": {"flush": "own-tank", "vent_fan": True}},
            {"cassette-hatch", "toilet-flush", "toilet-blade-lever", "flush-tank-filler", "toilet-vent-fan"},
        ),
        ({"fresh_water": {"tank": "90 l"}}, {"fresh-filler", "fresh-drain", "pump", "pump-switch"}),
        ({"fresh_water": {"external_container": True}}, {"water-inlet-pump-socket", "pump-switch"}),
        ({"waste_water": {"tank": "90 l"}}, {"waste-drain"}),
        ({"hook_up": {"inlet": "16 A"}}, {"hookup-inlet", "consumer-unit"}),
        (
            {"hook_up": {"inlet": "16 A", "charger": "250 W", "charger_switch": True}},
            {"hookup-inlet", "consumer-unit", "charger", "charger-switch"},
        ),
        (
            {"leisure_battery": {"capacity": "100 Ah", "type": "agm", "isolator": True}},
            {"leisure-battery", "fuse-box-12v", "control-panel", "battery-isolator"},
        ),
        (
            {"fridge": {"type": "absorption", "mains": "135 W"}},
            {"fridge", "fridge-control", "fridge-vent-upper", "fridge-vent-lower"},
        ),
        ({"fridge": {"type": "compressor"}}, {"fridge", "fridge-control"}),
        (
            {"water_heater": {"mains": ["850 W"]}},
            {"water-heater", "water-heater-drain", "water-heater-mains-switch"},
        ),
        (
            {"heating": {"type": "diesel-air", "diesel": "4 kW"}},
            {"space-heater", "heater-control", "diesel-heater-exhaust", "warm-air-outlet", "co-alarm"},
        ),
        ({"entry_step": {"type": "electric"}}, {"entry-step", "step-switch"}),
        ({"awning": {"type": "wind-out"}}, {"awning", "awning-winder"}),
        ({"awning": {"type": "bag"}}, {"awning"}),
        ({"steadies": 4, "roof_lights": 2, "drop_down_bed": True}, {"steady", "roof-light", "drop-down-bed"}),
    ],
)
def test_equipment_brings_its_points(equipment, required):
    assert kinds(equipment) == required | SAFETY


def test_gas_brings_locker_regulator_vent_and_a_valve_for_each_appliance():
    equipment = {"gas": GAS, "hob": {"gas": "5 kW"}, "oven": {"gas": "2 kW"}}
    found = missing(equipment)
    assert {"gas-locker", "gas-cylinder", "gas-regulator", "gas-drop-vent", "co-alarm"} <= {
        m.kind for m in found
    }
    valves = [m for m in found if m.kind == "isolation-valve"]
    assert [(v.name, v.serves) for v in valves] == [
        ("Gas isolation valve of the hob", ("hob",)),
        ("Gas isolation valve of the oven", ("oven",)),
    ]
    assert valves[0].reason == "needed because a gas hob is fitted"


def test_one_valve_may_serve_two_appliances():
    equipment = {"gas": GAS, "grill": {"gas": "2 kW"}, "oven": {"gas": "2 kW"}}
    assert "isolation-valve" not in kinds(equipment, At("isolation-valve", ("oven", "grill")))


def test_a_valve_may_name_a_numbered_appliance():
    equipment = {"gas": GAS, "hob": {"gas": "5 kW"}, "oven": {"gas": "2 kW"}}
    left = missing(equipment, At("isolation-valve", ("hob-1",)))
    assert [m.serves for m in left if m.kind == "isolation-valve"] == [("oven",)]


def test_the_only_valve_of_the_only_appliance_need_not_say_so():
    assert "isolation-valve" not in kinds({"gas": GAS, "hob": {"gas": "5 kW"}}, At("isolation-valve"))


def test_a_combined_heater_has_one_valve_one_cowl_and_one_control():
    equipment = {
        "gas": GAS,
        "water_heater": {"type": "combined", "gas": "6 kW"},
        "heating": {"type": "combined-air", "gas": "6 kW"},
    }
    points = [
        At(kind)
        for kind in ("water-heater", "water-heater-drain", "heater-control", "heater-cowl", "warm-air-outlet")
    ]
    left = kinds(equipment, *points, At("isolation-valve", ("space-heater",)))
    assert left - SAFETY == {"gas-locker", "gas-cylinder", "gas-regulator", "gas-drop-vent", "co-alarm"}


def test_a_placed_point_is_not_missing():
    points = [At(kind) for kind in ("cassette-hatch", "toilet-flush", "toilet-blade-lever", *SAFETY)]
    assert missing({"toilet": {}}, *points) == ()
