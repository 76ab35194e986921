"""Quantities as people write them. Factors between units: SI Brochure, checked with the library pint."""

from __future__ import annotations

import re
from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from guidegen.vehicle.units import parse_quantity, pattern_of

UNITS = pint.UnitRegistry()
# dimension: the unit that the program keeps, and what may be written, each as pint writes it
KEPT = {
    "length": ("mm", {"mm": "mm", "cm": "cm", "m": "m"}),
    "power": ("W", {"W": "W", "kW": "kW"}),
    "mass": ("kg", {"kg": "kg", "g": "g", "t": "metric_ton"}),
    "volume": ("l", {"l": "l", "L": "l", "litre": "l", "litres": "l", "ml": "ml"}),
    "charge": ("A*h", {"Ah": "A*h", "mAh": "mA*h"}),
    "current": ("A", {"A": "A", "mA": "mA"}),
    "voltage": ("V", {"V": "V", "mV": "mV"}),
    "time": ("h", {"h": "h", "min": "min"}),
    "area": ("mm**2", {"mm²": "mm**2", "mm2": "mm**2"}),
    "gas rate": ("g/h", {"g/h": "g/h", "kg/h": "kg/h"}),
    "pressure": ("mbar", {"mbar": "mbar", "bar": "bar", "hPa": "hPa", "kPa": "kPa"}),
}
WAYS = [(dimension, unit) for dimension, (_, units) in KEPT.items() for unit in units]
numbers = st.decimals(0, 1_000, places=3)


@given(
    way=st.sampled_from(WAYS), number=numbers, blanks=st.sampled_from(["", " ", "  "]), comma=st.booleans()
)
def test_what_is_printed_is_read_back(
    way: tuple[str, str], number: Decimal, blanks: str, comma: bool
) -> None:
    dimension, unit = way
    kept, units = KEPT[dimension]
    text = f"{number:.2f}".replace(".", ",") if comma else str(number)
    expected = UNITS.Quantity(float(text.replace(",", ".")), units[unit]).to(kept).magnitude
    assert parse_quantity(f"{text}{blanks}{unit}", dimension) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "said"),
    [
        ("1,000 W", "power", "“1,000 W” may be 1000 or 1.000 W: write it without a comma"),
        ("3,600 mm", "length", "3600 or 3.600 mm"),
        ("12,500kg", "mass", "12500 or 12.500 kg"),
    ],
)
def test_a_comma_that_may_part_thousands_is_refused(text: str, dimension: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        parse_quantity(text, dimension)
    assert not re.search(pattern_of(dimension), text)


@pytest.mark.parametrize(("text", "mm"), [("0,735 m", 735), ("7,35 m", 7350), ("1,0005 m", 1000.5)])
def test_any_other_comma_is_a_decimal_one(text: str, mm: float) -> None:
    assert parse_quantity(text, "length") == pytest.approx(mm)
    assert re.search(pattern_of("length"), text)


@given(way=st.sampled_from(WAYS), number=numbers.filter(bool))
def test_below_nothing_only_where_it_can_be(way: tuple[str, str], number: Decimal) -> None:
    dimension, unit = way
    with pytest.raises(ValueError, match="negative"):
        parse_quantity(f"-{number} {unit}", dimension)
    assert parse_quantity(f"-{number} {unit}", dimension, signed=True) == -parse_quantity(
        f"{number} {unit}", dimension
    )


@given(way=st.sampled_from(WAYS), other=st.sampled_from(WAYS), number=numbers)
def test_unit_of_another_dimension_is_refused(
    way: tuple[str, str], other: tuple[str, str], number: Decimal
) -> None:
    if other[1] not in KEPT[way[0]][1]:
        with pytest.raises(ValueError, match="is not a unit of"):
            parse_quantity(f"{number} {other[1]}", way[0])


@given(st.one_of(st.integers(), st.floats(), numbers.map(str)))
def test_a_number_alone_is_a_guess_and_refused(number: object) -> None:
    with pytest.raises(ValueError, match="has no unit"):
        parse_quantity(number, "length")


@given(st.one_of(st.none(), st.booleans(), st.lists(st.text()), st.text()), st.sampled_from(list(KEPT)))
def test_anything_else_is_a_message_that_shows_how(value: object, dimension: str) -> None:
    """Whatever stands in the file: a value, or a message for the writer; nothing else."""
    try:
        assert parse_quantity(value, dimension) >= 0
    except ValueError as error:
        assert "“" in str(error)


def test_temperature() -> None:
    assert parse_quantity("-5 °C", "temperature", signed=True) == -5
