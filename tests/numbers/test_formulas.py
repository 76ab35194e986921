"""Every printed formula, evaluated apart from the code by a library of units, gives the printed value."""

from __future__ import annotations

import re

import pint
import pytest

from guidegen.drawing.fonts import primary_face, runs
from guidegen.numbers.model import Number

UNITS = pint.UnitRegistry()
# As printed → as the library of units writes it; longest first.
SPELLED = {
    "kJ/(kg·K)": "kJ/kg/K",
    "MJ/kWh": "MJ/(kW*h)",
    "MJ/kg": "MJ/kg",
    "Ω/km": "ohm/km",
    "l a day": "l/day",
    "Ah a day": "A*h/day",
    "kWh": "kW*h",
    "Ah": "A*h",
    "kW": "kW",
    "kg": "kg",
    "W": "W",
    "V": "V",
    "A": "A",
    "K": "K",
    "m": "m",
    "h": "h",
    "l": "l",
    "%": "percent",
}
RESULT = {
    "days": "day",
    "min": "min",
    "h": "h",
    "kWh": "kW*h",
    "W": "W",
    "V": "V",
    "Ah": "A*h",
    "%": "percent",
}
_AMOUNT = re.compile(
    r"(?<![\w.])(\d+(?:\.\d+)?)\s*("
    + "|".join(map(re.escape, sorted(SPELLED, key=len, reverse=True)))
    + r")(?![\w/])"
)


def evaluated(formula: str) -> pint.Quantity:
    """The part of the formula with values put in, worked out with its units."""
    parts = [part for part in formula.split(" = ")[:-1] if re.search(r"\d", part)]
    text = _AMOUNT.sub(lambda found: f"({found[1]}*{SPELLED[found[2]]})", parts[-1])
    text = text.replace("·", "*").replace("−", "-").replace("²", "**2")
    return UNITS.Quantity(UNITS.parse_expression(text))


def in_unit(quantity: pint.Quantity, number: Number) -> float:
    if number.subject == "mass":
        return float(quantity.to("").magnitude)  # kilograms throughout, written once at the end
    if number.id == "battery.usable" or number.unit not in RESULT:
        return float(quantity.to("A*h").magnitude)
    if number.unit == "days" and quantity.check("[]"):
        return float(quantity.to("").magnitude)  # kWh over kWh a day
    return float(quantity.to(RESULT[number.unit]).magnitude)


def test_every_formula_gives_its_value(sheet_with):
    worked = [n for n in sheet_with().numbers if not n.id.startswith("gas.cold")]
    assert len(worked) > 15
    for number in worked:
        assert in_unit(evaluated(number.formula), number) == pytest.approx(number.value, rel=0.01), (
            number.formula
        )


def test_every_formula_ends_with_its_value_and_unit(sheet_with):
    for number in sheet_with().numbers:
        last = re.split(r" = |: ", number.formula)[-1].replace("−", "-")
        assert float(re.match(r"-?[\d.]+", last)[0]) == pytest.approx(number.value, rel=0.02), number.formula
        assert last.endswith(number.unit), number.formula


def test_every_formula_is_of_letters_that_a_reader_knows_and_the_first_typeface_draws(sheet_with):
    for number in sheet_with().numbers:
        assert {face.name for face, _ in runs(number.formula)} == {primary_face("regular").name}, (
            number.formula
        )


def test_every_number_says_what_it_assumes_and_where_it_comes_from(sheet_with):
    for number in sheet_with().numbers:
        assert number.assumptions and number.source and number.title, number.id
        assert number.text[0].isupper() or number.text[0].isdigit() or number.subject in ("gas", "lead"), (
            number.text
        )


def test_ids_are_used_once(sheet_with):
    ids = [n.id for n in sheet_with().numbers]
    assert len(ids) == len(set(ids))
