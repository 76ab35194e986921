"""A system is named after what the vehicle has; which names there are is common practice, no source."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdfium2 import PdfDocument

from guidegen import prepare
from guidegen.documents.registry import compose
from guidegen.drawing.pdf import write_pdf
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment, FreshWater, Heating, Toilet, WasteWater, WaterHeater
from guidegen.vehicle.facts import facts_of

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
NAMES = [
    ("H", {"water_heater", "heating"}, set(), "hot water and heating"),
    ("H", {"heating"}, set(), "heating"),
    ("H", {"water_heater"}, set(), "hot water"),
    ("H", {"heating"}, {"water-heater"}, "hot water and heating"),
    ("H", {"water_heater"}, {"warm-air-outlet"}, "hot water and heating"),
    ("W", {"waste_water", "toilet"}, set(), "waste water and toilet"),
    ("W", {"waste_water"}, set(), "waste water"),
    ("W", {"toilet"}, set(), "toilet"),
    ("W", {"toilet"}, {"waste-drain"}, "waste water and toilet"),
    ("F", {"fresh_water"}, set(), "fresh water"),
]
FITTED = {
    "water_heater": WaterHeater(type="storage", gas="1500 W"),
    "heating": Heating(type="combined-air", diesel="2 kW"),
    "waste_water": WasteWater(tank="60 l"),
    "fresh_water": FreshWater(tank="60 l"),
    "toilet": Toilet(flush="own-tank"),
}


@pytest.mark.parametrize(("letter", "fitted", "placed", "name"), NAMES)
def test_no_system_is_named_after_what_is_not_there(letter, fitted, placed, name):
    equipment = Equipment(**{key: FITTED[key] for key in fitted})
    facts = facts_of("campervan", equipment, frozenset(placed))
    trade = load_trade()
    assert trade.of(facts).systems[letter].name == name
    assert list(trade.of(facts).systems) == list(trade.systems)
    assert trade.of(facts).steps is trade.steps


def test_every_document_of_a_vehicle_without_toilet_and_hot_water_says_so():
    context = prepare(SAMPLES / "hazel.yaml")
    for id in ("guide", "plan", "training"):
        text = "\n".join(
            page.get_textpage().get_text_range() for page in PdfDocument(write_pdf(compose(id, context)))
        )
        assert not re.search("hot water and heating|waste water and toilet", text, re.IGNORECASE), id
        assert "Heating" in text and "Waste water" in text, id
