"""Whatever figures a file gives, the numbers, the checks and the page of pictures come out or say why not."""

from __future__ import annotations

import math
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from guidegen.checks import check
from guidegen.documents.context import Context
from guidegen.documents.numbers_pages import compose_numbers
from guidegen.errors import GuidegenError
from guidegen.numbers import compute_numbers, numbers_json
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment, Figures
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.reading import vehicle_from_text

BARE = "{id: any, name: Any, kind: motorhome, steering: right, layout: coachbuilt-rear-lounge}"
AMOUNT = st.one_of(st.sampled_from(["0", "0.001", "1", "99999"]), st.integers(0, 4000).map(str))


def figures(unit: str) -> st.SearchStrategy[str]:
    return AMOUNT.map(lambda amount: f"{amount} {unit}")


def some(**keys: st.SearchStrategy[object]) -> st.SearchStrategy[dict[str, object]]:
    """A map with any of the keys."""
    return st.fixed_dictionaries({}, optional=keys)


HOURS = {"hours_per_day": figures("h")}
STEPS = st.lists(figures("W"), max_size=3)
EQUIPMENT = some(
    gas=some(
        cylinders=st.lists(
            st.fixed_dictionaries({"size": figures("kg"), "gas": st.sampled_from(["propane", "butane"])}),
            max_size=3,
        ),
        supply=st.sampled_from(["cylinders", "underslung-tank"]),
        tank=figures("kg"),
        crash_protected=st.booleans(),
        open_on_the_road=st.booleans(),
    ),
    hob=some(gas=figures("W"), mains=figures("W"), **HOURS),
    water_heater=some(
        type=st.sampled_from(["storage", "combined"]),
        water=figures("l"),
        gas=figures("W"),
        mains=STEPS,
        **HOURS,
    ),
    heating=st.fixed_dictionaries(
        {"type": st.sampled_from(["gas-convector", "combined-air", "wet", "diesel-air"])},
        optional={"gas": figures("W"), "mains": STEPS, **HOURS},
    ),
    fridge=st.fixed_dictionaries(
        {"type": st.sampled_from(["absorption", "compressor"])},
        optional={"gas": figures("g/h"), "mains": figures("W"), "dc": figures("W"), **HOURS},
    ),
    fresh_water=some(tank=figures("l")),
    waste_water=some(tank=figures("l")),
    hook_up=st.fixed_dictionaries({"inlet": figures("A")}, optional={"charger": figures("W")}),
    leisure_battery=st.fixed_dictionaries(
        {"capacity": figures("Ah"), "type": st.sampled_from(["lead", "agm", "lithium"])}
    ),
    mains_loads=st.lists(
        st.fixed_dictionaries({"name": st.sampled_from(["Kettle", "TV"]), "power": figures("W")}), max_size=4
    ),
    dc_loads=st.lists(
        st.fixed_dictionaries(
            {"name": st.just("Lamp"), "power": figures("W"), "hours_per_day": figures("h")}
        ),
        max_size=3,
    ),
)
FIGURES = some(
    sizes=some(length=figures("cm")),
    masses=some(
        mtplm=figures("kg"),
        miro=figures("kg"),
        options=figures("kg"),
        luggage=figures("kg"),
        seats=st.integers(0, 9),
        berths=st.integers(1, 10),
    ),
    persons=st.integers(1, 10),
    water_per_person_day=figures("l"),
    lead_length=figures("cm"),
    lead_section=st.sampled_from(["1.5 mm²", "2.5 mm²", "3 mm²", "0 mm²"]),
)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(EQUIPMENT, FIGURES, st.sampled_from(["motorhome", "campervan", "caravan"]))
def test_any_figures(equipment, figures, kind):
    fitted, trade = Equipment.read(equipment), load_trade()
    bare = vehicle_from_text(BARE, Path())
    vehicle = replace(
        bare,
        kind=kind,
        equipment=fitted,
        figures=Figures.read(figures),
        facts=facts_of(kind, fitted),
    )
    sheet = compute_numbers(vehicle)
    assert all(math.isfinite(n.value) for n in sheet.numbers)
    assert all(s.watts <= supply.limit_w for supply in sheet.hook_up for s in supply.sets)
    numbers_json(sheet)
    assert all(f.message and f.hint for f in check(vehicle, trade))
    try:
        compose_numbers(Context(vehicle, trade))
    except GuidegenError as error:
        assert "too large" in str(error)  # said in words, never cut off
