"""What runs together on the hook-up, against an enumeration that tries everything."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen.numbers.power import MOST_LOADS, Load, mains_loads, maximal_sets
from guidegen.vehicle.description import Equipment

WATTS = st.integers(1, 40).map(lambda n: 100.0 * n)
LOADS = st.lists(st.lists(WATTS, min_size=1, max_size=3, unique=True).map(sorted), min_size=1, max_size=6)


def tried_out(loads: list[Load], limit_w: float) -> set[frozenset[tuple[str, float]]]:
    """Maximal sets by definition: all that fit, less those that another one contains or outdoes."""
    fitting = [
        choice for choice in product(*((0.0, *load.steps_w) for load in loads)) if sum(choice) <= limit_w
    ]
    best = [
        a
        for a in fitting
        if not any(b != a and all(y >= x for x, y in zip(a, b, strict=True)) for b in fitting)
    ]
    return {
        frozenset((load.name, watts) for load, watts in zip(loads, choice, strict=True) if watts)
        for choice in best
    }


@settings(max_examples=150, deadline=None)
@given(LOADS, st.sampled_from([1380.0, 2300.0, 3680.0]))
def test_every_maximal_set_is_found_and_nothing_else(steps, limit_w):
    loads = [Load(f"load {n}", tuple(s)) for n, s in enumerate(steps)]
    found = [frozenset((use.load, use.watts) for use in uses) for uses in maximal_sets(loads, limit_w)]
    assert len(found) == len(set(found))
    assert set(found) == tried_out(loads, limit_w)


def test_power_of_pitch_supplies(sheet_with):
    """P = U·I at 230 V: 1380, 2300 and 3680 W."""
    assert [(s.amps, s.limit_w) for s in sheet_with().hook_up] == [(6, 1380), (10, 2300), (16, 3680)]


def test_no_set_is_above_its_supply(sheet_with):
    for supply in sheet_with().hook_up:
        assert all(s.watts <= supply.limit_w for s in supply.sets)


def test_shown_sets_hold_all_that_fits_beside_fridge_and_charger(sheet_with):
    for supply in sheet_with().hook_up:
        base = {use.load for use in supply.base}
        assert base == {"fridge", "charger"}
        beside = supply.limit_w - sum(use.watts for use in supply.base)
        smallest = {"heating": 500, "water heater": 850, "microwave": 1200, "kettle": 2200}
        fits = {name for name, watts in smallest.items() if watts <= beside}
        assert {use.load for s in supply.shown for use in s.uses} - base == fits


def test_said_in_plain_words(sheet_with):
    changes = {"equipment.water_heater": None, "equipment.microwave": None}
    texts = {s.amps: s.text for s in sheet_with(changes).hook_up}
    assert texts[6] == "6 A: heating at 500 W with fridge and charger; the kettle needs more than this"
    assert (
        texts[10] == "10 A: heating at 1000 W with fridge and charger; the kettle needs more than this"
    )  # with the charger, which nothing switches off
    assert texts[16] == (
        "16 A: with fridge and charger, either heating at 2000 W, or heating at 1000 W and kettle"
    )


def test_what_has_no_switch_is_counted_in_whatever_else_is_off(sheet_with):
    """A kettle of 2200 W fits 10 A alone, but not beside a charger of 300 W that draws by itself."""
    fixed, switched = (
        sheet_with({"equipment.hook_up": {"inlet": "16 A", "charger": "300 W", "charger_switch": switch}})
        for switch in (False, True)
    )
    ten = [next(s for s in sheet.hook_up if s.amps == 10) for sheet in (fixed, switched)]
    assert all({"charger"} <= {use.load for use in found.uses} for s in fixed.hook_up for found in s.sets)
    assert [[use.load for use in s.fixed] for s in ten] == [["charger"], []]
    kettle = [["kettle" in {use.load for use in uses} for uses in (s.alone, s.too_much)] for s in ten]
    assert kettle == [[False, True], [True, False]]


def test_a_higher_step_that_fits_only_alone_is_told_too(sheet_with):
    hook_up = {"inlet": "16 A", "charger": "450 W", "charger_switch": True}
    heating = {"type": "gas-convector", "gas": "3 kW", "mains": ["1000 W", "2000 W", "3000 W"]}
    supplies = sheet_with({"equipment.hook_up": hook_up, "equipment.heating": heating}).hook_up
    ten = next(s for s in supplies if s.amps == 10)
    assert [use.watts for use in ten.alone if use.load == "heating"] == [2000]
    assert not [use for use in ten.too_much if use.load == "heating"]  # its lower steps fit
    assert "heating at 2000 W" not in ten.text  # which says that it runs at 1000 W beside all else


def test_everything_together_when_it_fits(sheet_with):
    changes = {f"equipment.{name}": None for name in ("heating", "microwave", "mains_loads")}
    assert sheet_with(changes).hook_up[-1].text == "16 A: everything together"


def test_a_combined_heater_is_one_load(sheet_with):
    changes = {
        "equipment.water_heater": {
            "type": "combined",
            "water": "10 l",
            "gas": "6 kW",
            "mains": ["900 W", "1800 W"],
        },
        "equipment.heating": {"type": "combined-air", "gas": "6 kW", "mains": ["900 W", "1800 W"]},
    }
    names = {use.load for s in sheet_with(changes).hook_up for found in s.sets for use in found.uses}
    assert "heater" in names
    assert not names & {"heating", "water heater"}


def test_a_small_inlet_shows_no_larger_supply(sheet_with):
    assert [s.amps for s in sheet_with({"equipment.hook_up.inlet": "10 A"}).hook_up] == [6, 10]


def test_no_hook_up_no_sets(sheet_with):
    sheet = sheet_with({"equipment.hook_up": None})
    assert sheet.hook_up == ()
    assert ("hook-up", "no hook-up is described") in sheet.missing


def test_too_many_loads_are_refused_with_a_reason(sheet_with):
    loads = [{"name": f"lamp {n}", "power": "20 W"} for n in range(MOST_LOADS)]
    sheet = sheet_with({"equipment.mains_loads": loads})
    assert sheet.hook_up == ()
    assert any(id == "hook-up" and "more than" in reason for id, reason in sheet.missing)


@pytest.mark.parametrize("limit_w", [1380.0, 2300.0, 3680.0])
def test_the_largest_allowed_number_of_loads_is_enumerated_quickly(limit_w):
    """A bound on work: sets of 16 different loads stay within what a page can be made of in a moment."""
    loads = [Load(f"load {n}", (150.0 + 90 * n,)) for n in range(MOST_LOADS)]
    assert sum(1 for _ in maximal_sets(loads, limit_w)) < 5000


def test_loads_of_one_name_are_told_apart():
    """Else a plug-in charger would be taken for the fitted one, which nobody can switch off."""
    own = [{"name": name, "power": "60 W"} for name in ("Charger", "lamp", "Lamp", "lamp")]
    names = [
        load.name
        for load in mains_loads(
            Equipment.read({"hook_up": {"inlet": "16 A", "charger": "200 W"}, "mains_loads": own})
        )
    ]
    assert names == ["charger", "charger 2", "lamp", "lamp 2", "lamp 3"]


def test_a_gas_convector_makes_no_hot_water_whatever_the_water_heater_is_called():
    told = {
        "water_heater": {"type": "combined", "mains": ["850 W"]},
        "heating": {"type": "gas-convector", "mains": ["2 kW"]},
    }
    assert [load.name for load in mains_loads(Equipment.read(told))] == ["heating", "water heater"]
