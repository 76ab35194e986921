"""Quantities written as people write them: "7.35 m", "735 cm", "100 Ah", "2 kW", "11 kg".

A plain number is refused, because its unit would be a guess. A decimal comma is understood, but for one that
may part thousands.
"""

from __future__ import annotations

import re

_QUANTITY = re.compile(r"\s*([-+]?\d+(?:[.,]\d+)?)\s*([^\d\s.,+-].*?)?\s*")

_EITHER = r"[1-9]\d{0,2},\d{3}(?!\d)"  # 1,000 is 1000 to some and 1.000 to others

# Factor to the unit that the program keeps: mm, W, kg, l, Ah, A, V, h, mbar, °C.
_UNITS: dict[str, dict[str, float]] = {
    "length": {"mm": 1, "cm": 10, "m": 1000},
    "power": {"W": 1, "kW": 1000},
    "mass": {"kg": 1, "g": 0.001, "t": 1000},
    "volume": {"l": 1, "L": 1, "litre": 1, "litres": 1, "ml": 0.001},
    "charge": {"Ah": 1, "mAh": 0.001},
    "current": {"A": 1, "mA": 0.001},
    "voltage": {"V": 1, "mV": 0.001},
    "time": {"h": 1, "min": 1 / 60},
    "area": {"mm²": 1, "mm2": 1},
    "gas rate": {"g/h": 1, "kg/h": 1000},
    "pressure": {"mbar": 1, "bar": 1000, "hPa": 1, "kPa": 10},
    "temperature": {"°C": 1, "C": 1},
}
_LARGEST = 1e6  # of each of these: no leisure vehicle has a thousandth of it
EXAMPLES = {
    "length": "7.35 m",
    "power": "850 W",
    "mass": "11 kg",
    "volume": "100 l",
    "charge": "100 Ah",
    "current": "16 A",
    "voltage": "12.7 V",
    "time": "3 h",
    "area": "2.5 mm²",
    "gas rate": "160 g/h",
    "pressure": "30 mbar",
    "temperature": "5 °C",
}


def parse_quantity(value: object, dimension: str, *, signed: bool = False) -> float:
    """The value in the program's unit of that dimension.

    Raises ValueError with a message for the writer of the file.
    """
    units, example = _UNITS[dimension], EXAMPLES[dimension]
    if isinstance(value, bool) or not isinstance(value, (str, int, float)):
        raise ValueError(f"a {dimension} is needed, such as “{example}”")
    if not isinstance(value, str):
        raise ValueError(f"{value} has no unit: write the {dimension} with its unit, such as “{example}”")
    found = _QUANTITY.fullmatch(value)
    if not found:
        raise ValueError(f"“{value}” is not a {dimension}: write it like “{example}”")
    unit = found[2]
    if unit is None:
        raise ValueError(f"{value} has no unit: write the {dimension} with its unit, such as “{example}”")
    if unit not in units:
        known = ", ".join(units)
        raise ValueError(f"“{unit}” is not a unit of {dimension}: use one of {known}, such as “{example}”")
    if may_be_thousands(found[1]):
        whole, decimal = found[1].replace(",", ""), found[1].replace(",", ".")
        raise ValueError(f"“{value}” may be {whole} or {decimal} {unit}: write it without a comma")
    result = float(found[1].replace(",", ".")) * units[unit]
    if not abs(result) <= _LARGEST:
        raise ValueError(f"“{value}” is far too much for a {dimension}, such as “{example}”")
    if result < 0 and not signed:
        raise ValueError(f"“{value}” is negative: a {dimension} cannot be")
    return result


def may_be_thousands(figure: str) -> bool:
    """Whether the comma in a figure may part thousands as well as decimals."""
    return bool(re.fullmatch(rf"[-+]?{_EITHER}", figure))


def pattern_of(dimension: str, *, signed: bool = False) -> str:
    """A regular expression for such a quantity as the file holds it."""
    units = "|".join(re.escape(unit) for unit in _UNITS[dimension])
    sign = "[-+]?" if signed else "[+]?"
    return rf"^\s*{sign}(?!{_EITHER})\d+([.,]\d+)?\s*({units})\s*$"
