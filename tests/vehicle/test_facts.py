"""Facts: every one from the equipment that means it, and from nothing else."""

from __future__ import annotations

import pytest

from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import combined_heater, facts_of, gas_appliances

COMBINED = {"type": "combined", "water": "10 l"}


def facts(kind: str = "motorhome", points: frozenset[str] = frozenset(), **equipment) -> frozenset[str]:
    return facts_of(kind, Equipment.read(equipment), points)


def burning(**equipment) -> tuple[str, ...]:
    return gas_appliances(Equipment.read(equipment))


def brought(**equipment) -> set[str]:
    """Facts beyond those of a bare vehicle."""
    return set(facts(**equipment) - facts())


def test_a_bare_vehicle_has_only_its_kind():
    assert facts() == {"motorhome", "motorised"}
    assert facts("caravan") == {"caravan"}
    assert facts("campervan", frozenset({"hob"})) == {"campervan", "motorised", "has.hob"}


@pytest.mark.parametrize(
    ("equipment", "expected"),
    [
        ({"gas": {}}, "gas gas.cylinders gas.propane"),
        (
            {
                "gas": {
                    "cylinders": [{"size": "6 kg", "gas": "butane"}, {"size": "6 kg"}],
                    "changeover": "manual",
                }
            },
            "gas gas.cylinders gas.two-cylinders gas.changeover gas.changeover-manual gas.butane gas.propane",
        ),
        (
            {
                "gas": {
                    "supply": "underslung-tank",
                    "tank": "20 kg",
                    "crash_protected": True,
                    "open_on_the_road": True,
                }
            },
            "gas gas.tank gas.crash-protected gas.open-on-road gas.propane",
        ),
        # cylinders beside a tank do not count
        (
            {"gas": {"supply": "underslung-tank", "cylinders": [{"size": "6 kg"}, {"size": "6 kg"}]}},
            "gas gas.tank gas.propane",
        ),
        # an open cylinder on the road counts only where the supply is crash-protected
        ({"gas": {"open_on_the_road": True}}, "gas gas.cylinders gas.propane"),
        (
            {"gas": {"barbecue_outlet": True, "alarm": True, "changeover": "automatic"}},
            "gas gas.cylinders gas.propane gas.barbecue gas.alarm gas.changeover",
        ),
        ({"hob": {"gas": "5 kW"}}, "hob hob.gas cooking.gas gas-appliance burns"),
        ({"hob": {"mains": "1 kW"}}, "hob hob.mains mains-appliance"),
        ({"grill": {"gas": "1 kW"}}, "grill grill.gas cooking.gas gas-appliance burns"),
        (
            {"oven": {"gas": "2 kW", "mains": "1 kW"}},
            "oven oven.gas oven.mains cooking.gas gas-appliance burns mains-appliance",
        ),
        ({"microwave": {"mains": "1 kW"}}, "microwave mains-appliance"),
        ({"mains_loads": [{"name": "Kettle", "power": "1 kW"}]}, "mains-appliance"),
        (
            {"water_heater": {"gas": "1.5 kW", "mains": ["850 W"]}},
            "water-heater water-heater.storage water-heater.gas water-heater.mains gas-appliance burns mains-appliance",
        ),
        (
            {"heating": {"type": "gas-convector", "gas": "3 kW"}},
            "heating heating.convector heating.gas gas-appliance burns",
        ),
        ({"heating": {"type": "diesel-air", "diesel": "2 kW"}}, "heating heating.air heating.diesel burns"),
        (
            {"heating": {"type": "wet", "gas": "5 kW", "approved_on_road": True}},
            "heating heating.wet heating.gas heating.approved-on-road gas-appliance burns",
        ),
        (
            {"fridge": {"type": "absorption", "gas": "18 g/h", "mains": "135 W", "dc": "130 W"}},
            "fridge fridge.absorption fridge.manual fridge.gas fridge.mains fridge.12v gas-appliance burns mains-appliance",
        ),
        ({"fridge": {"type": "compressor"}}, "fridge fridge.compressor fridge.manual fridge.12v"),
        ({"fresh_water": {"tank": "100 l"}}, "fresh-water fresh-water.tank fresh-water.submersible"),
        (
            {
                "fresh_water": {
                    "external_container": True,
                    "pump": "pressure",
                    "filter": True,
                    "outside_shower": True,
                }
            },
            "fresh-water fresh-water.container fresh-water.pressure fresh-water.filter fresh-water.outside-shower",
        ),
        ({"waste_water": {}}, "waste-water waste-water.tank"),
        ({"waste_water": {"external_container": True}}, "waste-water waste-water.container"),
        ({"toilet": {"vent_fan": True}}, "toilet toilet.fresh-flush toilet.fan"),
        ({"toilet": {"flush": "own-tank"}}, "toilet toilet.own-tank"),
        ({"hook_up": {"inlet": "16 A"}}, "hook-up"),
        ({"hook_up": {"inlet": "16 A", "charger": "250 W"}}, "hook-up hook-up.charger"),
        # a switch of the charger means that there is one, whatever its power
        (
            {"hook_up": {"inlet": "16 A", "charger_switch": True}},
            "hook-up hook-up.charger hook-up.charger-switch",
        ),
        (
            {"leisure_battery": {"capacity": "100 Ah", "type": "lithium", "isolator": True}},
            "battery battery.lithium battery.isolator",
        ),
        ({"leisure_battery": {"capacity": "100 Ah", "type": "agm"}}, "battery"),
        ({"solar": {}, "inverter": {"power": "1 kW"}}, "solar inverter"),
        ({"air_conditioner": {"mains": "900 W"}}, "air-conditioner mains-appliance"),
        ({"entry_step": {"type": "electric"}}, "step step.electric"),
        ({"awning": {"type": "bag"}}, "awning awning.bag"),
        ({"aerial": {"type": "satellite"}}, "aerial aerial.satellite"),
        ({"steadies": 4, "roof_lights": 2, "drop_down_bed": True}, "steadies roof-lights drop-down-bed"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_equipment_means_its_facts(equipment, expected):
    assert brought(**equipment) == set(expected.split())


@pytest.mark.parametrize(
    ("water", "heating"),
    [({"gas": "6 kW"}, {}), ({}, {"gas": "6 kW"}), ({"gas": "6 kW"}, {"gas": "6 kW"})],
    ids=["water", "heating", "both"],
)
@pytest.mark.parametrize("kind", ["combined-air", "wet"])
def test_a_combined_heater_burns_gas_wherever_its_figure_stands(kind, water, heating):
    made = {"water_heater": COMBINED | water, "heating": {"type": kind} | heating}
    assert burning(**made) == ("water-heater",)
    assert facts(**made) >= {"water-heater.gas", "heating.gas", "gas-appliance", "burns"}


def test_a_combined_heater_has_one_set_of_elements():
    made = {"water_heater": COMBINED, "heating": {"type": "wet", "gas": "5 kW", "mains": ["1 kW", "2 kW"]}}
    assert facts(**made) >= {"water-heater.mains", "heating.mains", "mains-appliance"}


def test_a_combined_heater_burns_diesel_for_both():
    for water, heating in (({}, {"diesel": "4 kW"}), ({"diesel": "4 kW"}, {})):
        made = {"water_heater": COMBINED | water, "heating": {"type": "combined-air"} | heating}
        assert facts(**made) >= {"water-heater.diesel", "heating.diesel", "burns"}
        assert burning(**made) == ()
    storage = {"water_heater": {"type": "storage", "diesel": "4 kW"}}
    assert "water-heater.diesel" not in facts(**storage)


def test_two_heaters_share_nothing():
    made = {
        "water_heater": {"type": "storage", "mains": ["850 W"]},
        "heating": {"type": "gas-convector", "gas": "3 kW"},
    }
    assert burning(**made) == ("space-heater",)
    assert facts(**made) >= {"water-heater.mains", "heating.gas"}
    assert not facts(**made) & {"water-heater.gas", "heating.mains"}


def test_a_heater_that_cannot_be_combined_keeps_its_own_gas():
    made = {"water_heater": COMBINED | {"gas": "2 kW"}, "heating": {"type": "gas-convector", "gas": "3 kW"}}
    assert not combined_heater(Equipment.read(made))
    assert burning(**made) == ("water-heater", "space-heater")


def test_every_gas_appliance_is_named():
    assert burning(
        hob={"gas": "5 kW"},
        grill={"gas": "1 kW"},
        oven={"gas": "2 kW"},
        fridge={"type": "absorption", "gas": "18 g/h"},
        water_heater={"gas": "1.5 kW"},
        heating={"type": "gas-convector", "gas": "3 kW"},
    ) == ("hob", "grill", "oven", "fridge", "water-heater", "space-heater")
    assert burning(hob={"mains": "1 kW"}, fridge={"type": "compressor"}) == ()
