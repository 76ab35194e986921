"""Between a value of the description's file and the cell of a workbook or CSV file where people write it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Any

from guidegen.desk.fields import Field
from guidegen.desk.yaml_text import flow
from guidegen.errors import DescriptionError, GuidegenError
from guidegen.vehicle.source import parse_source
from guidegen.vehicle.units import may_be_thousands

# Between the items of a list: a semicolon, or a comma that is no decimal comma.
_BETWEEN = re.compile(r"\s*;\s*|(?<!\d)\s*,\s*|\s*,\s+|\s*,(?!\d)")
_PLAIN_ITEM = re.compile(r"[^,;\[\]{}\"'\n]+")
# Of capitals and small letters alone no two units differ.
_QUANTITY = re.compile(r"([-+]?\d+(?:[.,]\d+)?)\s*([a-zA-Z/²°]+2?)")
_UNITS = {unit.lower(): unit for unit in (
    "mm", "cm", "m", "W", "kW", "kg", "g", "t", "l", "ml", "Ah", "mAh", "A", "mA", "V", "h", "min", "mm²",
    "g/h", "kg/h",
)} | {"mm2": "mm²"}  # fmt: skip
_TRUTH = {"yes": True, "no": False, "true": True, "false": False, "y": True, "n": False}
_FIRST_DATE = date(1901, 1, 1)  # before it spreadsheets do not agree on the calendar
# What a spreadsheet keeps, and XML 1.0 can carry.
_FORBIDDEN = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
MAX_TEXT = 32_767


class CellError(ValueError):
    """A cell that cannot be read; the text says what is wrong with it."""


class CannotWriteError(GuidegenError):
    """A text that no spreadsheet can hold."""

    exit_code = 2


def to_cell(field: Field, value: Any) -> str | int | date | None:
    """The value as a cell shows it: text as it stands in the file, or a number or a date of its own."""
    if value is None:
        return None
    if field.form == "number" and isinstance(value, int) and not isinstance(value, bool):
        return value
    if field.form == "date":
        return _as_date(str(value))
    if field.form in ("quantities", "words"):
        return writable(_as_items(value))
    if field.form == "data":
        return writable(flow(value)) if value else None
    return writable(plain(value))


def plain(value: Any) -> str:
    """A scalar as people write it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else flow(value)


def writable(text: str) -> str:
    """The text; raises CannotWriteError when a cell cannot hold it."""
    found = _FORBIDDEN.search(text)
    if found:
        raise CannotWriteError(f"a text holds a control character (U+{ord(found[0]):04X}): {text[:40]!r}")
    if len(text) > MAX_TEXT:
        raise CannotWriteError(f"a text has {len(text)} characters; a cell holds {MAX_TEXT}: {text[:40]!r}…")
    return text


def _as_date(text: str) -> str | date:
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return text
    return found if found >= _FIRST_DATE and found.isoformat() == text else text


def _as_items(value: Any) -> str:
    items = [value] if isinstance(value, str) else list(value)
    texts = [item for item in items if isinstance(item, str)]
    if len(texts) == len(items) and all(_PLAIN_ITEM.fullmatch(t) and t.strip() == t for t in texts):
        return ", ".join(texts)
    return flow(items)


def from_cell(field: Field, value: Any) -> Any:
    """What the file would hold for this cell; None for a blank one.

    Raises CellError. What is well written but wrong, such as 7 kW of length, is left to the schema.
    """
    value = as_read(value)
    if value is None or value == "":
        return None
    if field.form == "yes-no":
        return _truth(value)
    if field.form == "number":
        return _number(value)
    if field.form in ("quantities", "words"):
        return _items(field, value)
    if field.form == "data":
        return _data(str(value))
    if field.form in ("quantity", "height") and not isinstance(value, (str, bool)):
        return value  # the schema says that the unit is missing
    text = plain(value)
    if field.form in ("choice", "height"):
        text = _choice(text, field.choices)
    if field.form in ("quantity", "height"):
        return as_quantity(text)
    return text.replace(" ", "").upper() if field.key == "grid" else text


def as_read(value: Any) -> Any:
    """The cell's value without the blanks around it; dates as text, whole numbers without a fraction."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, datetime) and value.time() == time():
        return value.date().isoformat()
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return int(value)
    return value


def as_it_was(values: Iterable[Any]) -> str:
    """Values of cells as one text, to tell later whether somebody has written another one."""
    read = (as_read(value) for value in values)
    return " | ".join("" if value is None else str(value) for value in read)


def _truth(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    found = _TRUTH.get(str(value).lower())
    if found is None:
        raise CellError(f"“{value}” is neither yes nor no")
    return found


def _number(value: Any) -> Any:
    text = str(value)
    return int(text) if re.fullmatch(r"[-+]?\d{1,9}", text) else value


def _items(field: Field, value: Any) -> list[Any]:
    text = str(value)
    if text.startswith("["):
        found = _data(text)
        return found if isinstance(found, list) else [text]
    items = [item for item in _BETWEEN.split(text) if item]
    return [as_quantity(item) for item in items] if field.form == "quantities" else items


def as_quantity(text: str) -> str:
    """A quantity as the file writes it, "3,5KG" as "3.5 kg"; any other text as it is."""
    found = _QUANTITY.fullmatch(text)
    if not found or found[2].lower() not in _UNITS or may_be_thousands(found[1]):
        return text
    return f"{found[1].replace(',', '.')} {_UNITS[found[2].lower()]}"


def _choice(text: str, choices: Iterable[str]) -> str:
    """The choice that is meant where only capitals, hyphens or blanks differ."""
    same = {_folded(choice): choice for choice in choices}
    return same.get(_folded(text), text)


def _folded(text: str) -> str:
    return re.sub(r"[\s_-]+", "", text.lower())


def word_for(text: str, names: Iterable[tuple[str, str]]) -> str:
    """The id for an id or a printed name, as (id, name) pairs; the text itself when neither is known."""
    known = tuple(names)
    by_id = _choice(text, (id for id, _ in known))
    if by_id != text or any(id == text for id, _ in known):
        return by_id
    return next((id for id, name in known if _folded(name) == _folded(text)), text)


def _data(text: str) -> Any:
    try:
        return parse_source(f"value: {text}".encode(), "").data["value"]
    except (DescriptionError, UnicodeEncodeError):
        raise CellError("is not written as in a vehicle file, such as {hatches: {…}} or [a, b]") from None
