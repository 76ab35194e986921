"""Rules on what can hurt: each with a vehicle that passes and one that fails, distances at the limit."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

GAS = {"gas": {"cylinders": [{"size": "6 kg"}]}, "hob": {"gas": "5 kW"}, "oven": {"gas": "2 kW"}}


@pytest.fixture
def found(workshop):
    """Messages of one rule for a gas vehicle with these points."""

    def messages(rule, *points, **other):
        vehicle = workshop.vehicle(*points, **{"equipment": GAS, **other})
        return [f.message for f in workshop.findings(rule, vehicle)]

    return messages


@pytest.mark.parametrize("kind", ["hob", "isolation-valve", "gas-locker"])
def test_drop_vent_within_a_metre(workshop, found, kind):
    source = workshop.point(kind, 1000, 0)
    assert found("drop-vent-far", source, workshop.point("gas-drop-vent", 2000, 0)) == []
    (message,) = found("drop-vent-far", source, workshop.point("gas-drop-vent", 2010, 0))
    assert source.name in message


def test_a_vent_is_asked_only_for_what_burns_gas(workshop, found):
    vent, oven = workshop.point("gas-drop-vent", 5000, 0), workshop.point("oven", 1000, 0)
    electric = {"gas": GAS["gas"], "hob": {"gas": "5 kW"}, "oven": {"mains": "2 kW"}}
    assert found("drop-vent-far", vent, oven, equipment=electric) == []
    assert len(found("drop-vent-far", vent, oven)) == 1


def test_cowl_half_a_metre_from_an_opening_window(workshop, found):
    """The living window spans 1.0 to 2.0 m from the front and 1.5 to 2.0 m above ground."""
    at = lambda x, z: workshop.point("heater-cowl", x, 2200, z, where="offside")  # noqa: E731
    assert found("cowl-near-window", at(1500, 990)) == []
    assert found("cowl-near-window", at(2510, 1700)) == []
    assert "“living-window”" in found("cowl-near-window", at(1500, 1010))[0]
    assert "0.49 m from" in found("cowl-near-window", at(2490, 1700))[0]
    assert found("cowl-near-window", workshop.point("heater-cowl", 1500, 0, 1400, where="nearside")) == []


def test_a_window_that_is_a_point_lets_exhaust_in_too(workshop, found):
    cowl = workshop.point("heater-cowl", 4000, 2200, 1000, where="offside")
    window = lambda x: workshop.point("opening-window", x, 2200, 1000, where="offside")  # noqa: E731
    assert found("cowl-near-window", cowl, window(4510)) == []
    assert "0.40 m from" in found("cowl-near-window", cowl, window(4400))[0]


def test_a_fixed_window_does_not_let_exhaust_in(workshop, found):
    cowl = workshop.point("heater-cowl", 1500, 2200, 1400, where="offside")
    windows = tuple(replace(w, opens=False) for w in workshop.vehicle().layout.windows)
    assert found("cowl-near-window", cowl, layout={"windows": windows}) == []


def test_a_flue_keeps_clear_of_a_roof_light(workshop, found):
    """The roof light spans 2.0 to 2.4 m from the front."""
    at = lambda x: workshop.point("heater-flue-roof", x, 1100, 2800, where="roof", height="roof")  # noqa: E731
    assert found("cowl-near-window", at(2950)) == []
    assert "living roof light" in found("cowl-near-window", at(2800))[0]


@pytest.mark.parametrize("filler", ["fresh-filler", "fuel-filler", "underslung-tank-filler"])
def test_cowl_half_a_metre_from_a_filler(workshop, found, filler):
    cowl = workshop.point("water-heater-cowl", 3000, 0, 700)
    assert found("cowl-near-filler", cowl, workshop.point(filler, 3510, 0, 700)) == []
    assert len(found("cowl-near-filler", cowl, workshop.point(filler, 3300, 0, 1000))) == 1


def test_nothing_sparks_in_the_gas_locker(workshop, found):
    locker = workshop.point("gas-locker", 750, 150, 700, where="nearside")
    beside = workshop.point("leisure-battery", 900, 150, 700, where="nearside")
    inside = workshop.point("leisure-battery", 900, 150, 700)
    assert found("spark-in-gas-locker", locker, inside) == []
    assert "Leisure battery" in found("spark-in-gas-locker", locker, beside)[0]


def test_nothing_sparks_beside_a_filler_of_gas(workshop, found):
    filler = workshop.point("underslung-tank-filler", 3000, 0, 700)
    assert found("spark-in-gas-locker", filler, workshop.point("hookup-inlet", 3310, 0, 700)) == []
    (message,) = found("spark-in-gas-locker", filler, workshop.point("hookup-inlet", 3290, 0, 700))
    assert "Hook-up inlet" in message


def test_a_hot_exhaust_keeps_clear_of_drop_vents(workshop, found):
    vent = workshop.point("gas-drop-vent", 3000, 500, 300)
    assert found("exhaust-near-vent", vent, workshop.point("diesel-heater-exhaust", 3510, 500, 300)) == []
    (message,) = found("exhaust-near-vent", vent, workshop.point("diesel-heater-exhaust", 3490, 500, 300))
    assert "0.49 m from “Gas drop vent”" in message


@pytest.mark.parametrize("kind", ["socket-230v", "consumer-unit", "inverter"])
def test_no_mains_in_the_room_of_a_shower(workshop, found, kind):
    layout = workshop.vehicle().layout
    shower = replace(layout.furniture[0], id="shower", kind="shower", room="living", berths=0)
    wet = {"furniture": (*layout.furniture, shower)}
    point = workshop.point(kind, room="living")
    assert found("mains-in-wet-room", point) == []
    assert found("mains-in-wet-room", replace(point, room="bedroom"), layout=wet) == []
    assert found("mains-in-wet-room", workshop.point("lights-switch", room="living"), layout=wet) == []
    assert "living room, which has a shower" in found("mains-in-wet-room", point, layout=wet)[0]


def test_a_valve_says_what_it_closes(workshop, found):
    assert found("valve-serves", workshop.point("isolation-valve", serves=("hob",))) == []
    assert "does not say which" in found("valve-serves", workshop.point("isolation-valve"))[0]
    wrong = workshop.point("isolation-valve", serves=("fridge",))
    assert "burns no gas" in found("valve-serves", wrong)[0]
    only = {"gas": GAS["gas"], "hob": {"gas": "5 kW"}}
    assert found("valve-serves", workshop.point("isolation-valve"), equipment=only) == []


def test_fridge_vents(workshop, found):
    fridge = workshop.point("fridge", 3000, 1900)
    upper = workshop.point("fridge-vent-upper", 3000, 2200, 1700, where="offside")
    lower = workshop.point("fridge-vent-lower", 3000, 2200, 700, where="offside")
    assert found("fridge-vents", fridge, upper, lower) == []
    assert "not below" in found("fridge-vents", fridge, replace(upper, z=700), replace(lower, z=1700))[0]
    assert "from the fridge" in found("fridge-vents", replace(fridge, x=1000), upper)[0]


def test_openings_are_where_the_layout_has_them(workshop, found):
    assert found("opening-nowhere", workshop.point("roof-light", 2200, 1100)) == []
    assert "no roof opening" in found("opening-nowhere", workshop.point("roof-light", 5000, 1100))[0]
    assert found("opening-nowhere", workshop.point("escape-window", 5000, 0, 1700, where="nearside")) == []
    nowhere = workshop.point("escape-window", 3500, 0, 1700, where="nearside")
    assert "no window" in found("opening-nowhere", nowhere)[0]
    assert found("opening-nowhere", workshop.point("entry-step", 2300, 0, 300)) == []
    assert "nearest door" in found("opening-nowhere", workshop.point("entry-step", 5000, 0, 300))[0]


def test_gas_on_the_road_needs_crash_protection(workshop, found):
    road = {"cylinders": [{"size": "6 kg"}], "open_on_the_road": True}
    heating = {"type": "gas-convector", "gas": "3 kW", "approved_on_road": True}
    assert found("road-gas", equipment={"gas": {**road, "crash_protected": True}, "heating": heating}) == []
    assert len(found("road-gas", equipment={"gas": road})) == 1
    assert len(found("road-gas", equipment={"gas": GAS["gas"], "heating": heating})) == 1
