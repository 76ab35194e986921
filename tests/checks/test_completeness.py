"""Rules on what is missing: each with a vehicle that passes and one that fails."""

from __future__ import annotations

import pytest

GAS = {"cylinders": [{"size": "6 kg"}]}
HOOK_UP = {"inlet": "16 A", "charger": "250 W"}
BATTERY = {"capacity": "100 Ah", "type": "agm"}

# rule, equipment that passes, equipment that fails, words of the message
CASES = [
    ("appliance-no-energy", {"gas": GAS, "hob": {"gas": "5 kW"}}, {"hob": {}}, "hob has no energy"),
    (
        "appliance-no-energy",
        {"heating": {"type": "diesel-air", "diesel": "2 kW"}},
        {"heating": {"type": "diesel-air"}},
        "heating has no energy",
    ),
    (
        "appliance-no-energy",
        {"fridge": {"type": "compressor"}},
        {"fridge": {"type": "absorption"}},
        "fridge has no energy",
    ),
    (
        "appliance-no-energy",
        {"water_heater": {"mains": ["850 W"]}},
        {"water_heater": {"mains": []}},
        "water heater has no energy",
    ),
    (
        "gas-without-supply",
        {"gas": GAS, "hob": {"gas": "5 kW"}},
        {"hob": {"gas": "5 kW"}},
        "hob burns gas and no gas supply",
    ),
    (
        "gas-without-supply",
        {"gas": GAS, "fridge": {"type": "absorption", "gas": "16 g/h"}},
        {"fridge": {"type": "absorption", "gas": "16 g/h"}},
        "fridge burns gas",
    ),
    (
        "mains-without-supply",
        {"hook_up": HOOK_UP, "microwave": {"mains": "900 W"}},
        {"microwave": {"mains": "900 W"}},
        "microwave runs on 230 V",
    ),
    (
        "battery-missing",
        {"leisure_battery": BATTERY, "solar": {"power": "100 W"}},
        {"solar": {"power": "100 W"}},
        "solar panel needs 12 V",
    ),
    (
        "water-heater-without-water",
        {"fresh_water": {"tank": "90 l"}, "water_heater": {"mains": ["850 W"]}},
        {"water_heater": {"mains": ["850 W"]}},
        "no fresh water",
    ),
    (
        "toilet-without-water",
        {"toilet": {"flush": "own-tank"}},
        {"toilet": {"flush": "fresh-system"}},
        "flushed from the fresh water",
    ),
    ("waste-missing", {"fresh_water": {}, "waste_water": {}}, {"fresh_water": {}}, "waste water goes"),
    (
        "tank-and-container",
        {"fresh_water": {"external_container": True}, "waste_water": {"tank": "90 l"}},
        {"fresh_water": {"external_container": True, "tank": "45 l"}, "waste_water": {"tank": "90 l"}},
        "fresh water: a tank of 45 l and an outside container",
    ),
    (
        "appliance-no-energy",  # the two blocks of a combined heater share their energy
        {"water_heater": {"type": "combined"}, "heating": {"type": "wet", "gas": "5 kW"}},
        {"water_heater": {"type": "storage"}, "heating": {"type": "wet", "gas": "5 kW"}},
        "the water heater has no energy",
    ),
    (
        "gas-without-supply",
        {"gas": GAS, "water_heater": {"type": "combined"}, "heating": {"type": "wet", "gas": "5 kW"}},
        {"water_heater": {"type": "combined"}, "heating": {"type": "wet", "gas": "5 kW"}},
        "the combined heater burns gas",
    ),
    (
        "charger-missing",  # a switch of its own means that there is one
        {"hook_up": {"inlet": "16 A", "charger_switch": True}, "leisure_battery": BATTERY},
        {"hook_up": {"inlet": "16 A"}, "leisure_battery": BATTERY},
        "no charger",
    ),
    (
        "gas-supply-mixed",
        {"gas": {"supply": "underslung-tank", "tank": "20 kg"}},
        {"gas": {"supply": "underslung-tank", "tank": "20 kg", "cylinders": [{"size": "6 kg"}]}},
        "comes from a tank, and cylinders are described too",
    ),
    ("gas-supply-mixed", {"gas": GAS}, {"gas": {**GAS, "tank": "20 kg"}}, "a tank of 20 kg is described"),
    ("gas-unused", {"gas": {**GAS, "barbecue_outlet": True}}, {"gas": GAS}, "no appliance burns it"),
    (
        "charger-missing",
        {"hook_up": HOOK_UP, "leisure_battery": BATTERY},
        {"hook_up": {"inlet": "16 A"}, "leisure_battery": BATTERY},
        "no charger",
    ),
]


@pytest.mark.parametrize(("rule", "good", "bad", "words"), CASES)
def test_equipment_that_passes_and_equipment_that_fails(workshop, rule, good, bad, words):
    assert workshop.findings(rule, workshop.vehicle(equipment=good)) == ()
    (finding,) = workshop.findings(rule, workshop.vehicle(equipment=bad))
    assert words in finding.message
    assert finding.hint


def test_errors_are_those_that_make_a_guide_impossible(workshop):
    (finding,) = workshop.findings("appliance-no-energy", workshop.vehicle(equipment={"hob": {}}))
    assert finding.severity == "error"
    (finding,) = workshop.findings("gas-without-supply", workshop.vehicle(equipment={"hob": {"gas": "5 kW"}}))
    assert finding.severity == "error"


def test_a_combined_heater_may_burn_diesel_alone(workshop):
    diesel = {
        "water_heater": {"type": "combined", "water": "10 l"},
        "heating": {"type": "combined-air", "diesel": "4 kW"},
    }
    assert workshop.findings("appliance-no-energy", workshop.vehicle(equipment=diesel)) == ()
    storage = {**diesel, "water_heater": {"type": "storage", "diesel": "4 kW"}}
    found = [
        f.message
        for r in ("energy-unlike-type", "water-heater-mismatch")
        for f in workshop.findings(r, workshop.vehicle(equipment=storage))
    ]
    assert "only a combined heater makes hot water with diesel" in found


def test_a_required_point_is_missing_until_it_is_placed(workshop):
    toilet = {"toilet": {"flush": "own-tank"}}
    placed = [
        workshop.point(k)
        for k in ("cassette-hatch", "toilet-flush", "toilet-blade-lever", "flush-tank-filler")
    ]
    safety = [workshop.point(k) for k in ("fire-extinguisher", "smoke-alarm")]
    assert workshop.findings("to-locate", workshop.vehicle(*placed, *safety, equipment=toilet)) == ()
    (finding,) = workshop.findings("to-locate", workshop.vehicle(*placed[1:], *safety, equipment=toilet))
    assert finding.message.startswith("Toilet cassette hatch: not located yet")
    assert "kind: cassette-hatch" in finding.hint


def test_each_gas_appliance_needs_its_own_valve(workshop):
    equipment = {"gas": GAS, "hob": {"gas": "5 kW"}, "oven": {"gas": "2 kW"}}
    valve = workshop.point("isolation-valve", serves=("hob",))
    messages = [
        f.message for f in workshop.findings("to-locate", workshop.vehicle(valve, equipment=equipment))
    ]
    assert any(m.startswith("Gas isolation valve of the oven") for m in messages)
    assert not any("of the hob" in m for m in messages)


def test_the_finding_points_at_the_block_that_asks(workshop):
    from guidegen.errors import Mark

    marks = {"equipment": Mark("box.yaml", 5, 1), "equipment.toilet": Mark("box.yaml", 9, 3)}
    vehicle = workshop.vehicle(equipment={"toilet": {"flush": "own-tank"}}, marks=marks)
    finding = next(f for f in workshop.findings("to-locate", vehicle) if "cassette" in f.message)
    assert finding.mark == marks["equipment.toilet"]


def test_co_alarm_where_something_burns(workshop):
    equipment = {"heating": {"type": "diesel-air", "diesel": "2 kW"}}
    assert workshop.findings("co-alarm-missing", workshop.vehicle()) == ()
    alarm = workshop.point("co-alarm")
    assert workshop.findings("co-alarm-missing", workshop.vehicle(alarm, equipment=equipment)) == ()
    (finding,) = workshop.findings("co-alarm-missing", workshop.vehicle(equipment=equipment))
    assert "carbon monoxide alarm" in finding.message
    assert not any(
        "arbon monoxide" in f.message
        for f in workshop.findings("to-locate", workshop.vehicle(equipment=equipment))
    )


def test_a_point_without_its_equipment(workshop):
    hatch = workshop.point("cassette-hatch")
    assert workshop.findings("equipment-missing", workshop.vehicle(hatch, equipment={"toilet": {}})) == ()
    (finding,) = workshop.findings("equipment-missing", workshop.vehicle(hatch))
    assert "Toilet cassette hatch" in finding.message
    assert "equipment: toilet" in finding.hint
    assert finding.mark == hatch.mark


def test_a_combined_heater_may_have_a_heater_point_and_switches(workshop):
    equipment = {
        "gas": GAS,
        "water_heater": {"type": "combined", "gas": "6 kW"},
        "heating": {"type": "combined-air", "gas": "6 kW"},
    }
    points = [workshop.point(k) for k in ("space-heater", "water-heater-gas-switch", "heater-cowl")]
    assert workshop.findings("equipment-missing", workshop.vehicle(*points, equipment=equipment)) == ()


def test_fewer_roof_lights_than_fitted(workshop):
    lights = [workshop.point("roof-light", x=2100 + 300 * n, y=1000) for n in range(2)]
    assert (
        workshop.findings("fewer-than-fitted", workshop.vehicle(*lights, equipment={"roof_lights": 2})) == ()
    )
    (finding,) = workshop.findings(
        "fewer-than-fitted", workshop.vehicle(*lights, equipment={"roof_lights": 3})
    )
    assert "3 × " in finding.message and "2 placed" in finding.message


def test_fewer_steadies_than_fitted(workshop):
    steadies = [workshop.point("steady", x=500 + 4000 * n, y=100, z=300) for n in range(4)]
    equipment = {"steadies": 4}
    assert workshop.findings("fewer-than-fitted", workshop.vehicle(*steadies, equipment=equipment)) == ()
    (finding,) = workshop.findings("fewer-than-fitted", workshop.vehicle(*steadies[:3], equipment=equipment))
    assert finding.message == "4 × corner steady fitted, 3 placed"
