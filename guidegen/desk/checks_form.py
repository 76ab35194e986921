"""The Checks sheet as lines: who, when, readings and remarks of the three checks side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from guidegen.desk.cells import plain, to_cell, writable
from guidegen.desk.fields import Field, fields_of
from guidegen.desk.form import VALUE, WHAT, Cell, Line, value_at
from guidegen.trade.records import Reading, Trade
from guidegen.vehicle.description import CHECK_NAMES, Check
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.readings import readings_of

READING = "reading"  # the key of a line with a reading
_SPARE = 8
_LABELS = {"by": "Done by", "on": "On the day"}


def check_fields() -> tuple[Field, ...]:
    """What each check has besides its readings."""
    return fields_of(Check)


def reading_field(name: str) -> Field:
    return Field(("checks", name, "readings"), "text", False)


def check_lines(data: Mapping[str, Any], vehicle: Vehicle, trade: Trade) -> Iterator[Line]:
    """The lines, filled in from the file's data."""
    head, *rest = check_fields()
    for one in (head, *rest):
        if one.key != "remarks":
            cells = (
                Cell(c, to_cell(one, value_at(data, ("checks", n, one.key))), one) for c, n in _columns()
            )
            label = _LABELS.get(one.key, one.label)
            yield Line("field", one.key, (Cell(WHAT, label), *cells), _hint_of(one))
    yield Line("title", "", (Cell(WHAT, "Readings"),))
    yield from _readings(data, readings_of(vehicle.facts, trade))
    cells = (
        Cell(c, to_cell(rest[-1], value_at(data, ("checks", n, "remarks"))), rest[-1]) for c, n in _columns()
    )
    yield Line("field", "remarks", (Cell(WHAT, "Remarks"), *cells))


def _columns() -> Iterator[tuple[int, str]]:
    return ((VALUE + n, name) for n, name in enumerate(CHECK_NAMES))


def _hint_of(field: Field) -> str:
    return "who looked" if field.key == "by" else field.hint


def _readings(data: Mapping[str, Any], wanted: tuple[Reading, ...]) -> Iterator[Line]:
    known = {reading.name: reading for reading in wanted}
    written = [name for n in CHECK_NAMES for name in value_at(data, ("checks", n, "readings")) or ()]
    own = [name for name in dict.fromkeys(written) if name not in known]
    names: tuple[str | None, ...] = (*known, *own, *[None] * _SPARE)
    for name in names:
        values = (
            Cell(c, _value(value_at(data, ("checks", n, "readings", name or ""))), reading_field(n))
            for c, n in _columns()
        )
        title = Field(("reading",), "text", False) if name is None or name in own else None
        label = Cell(WHAT, writable(name) if name else None, title)
        yield Line("field", READING, (label, *values), hint_of(known[name]) if name in known else "")


def _value(value: Any) -> Any:
    """A number stays a number; all else is text."""
    if value is None or (isinstance(value, (int, float)) and not isinstance(value, bool)):
        return value
    return writable(plain(value))


def hint_of(reading: Reading) -> str:
    """How to write a reading: its unit and what is usual."""
    if not reading.unit:
        return "yes or no" if reading.answer else ""
    usual = f", usually {reading.usual[0]:g} to {reading.usual[1]:g}" if reading.usual else ""
    also = f", {reading.also} … {reading.also_unit}" if reading.also else ""
    answer = "; or yes or no" if reading.answer else ""
    return f"in {reading.unit}{usual}{also}{answer}"
