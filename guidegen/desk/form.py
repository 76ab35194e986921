"""The Vehicle and Equipment sheets as lines: each with a hidden key, so that a line says what it is about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from msgspec import Struct

from guidegen.desk.cells import to_cell, writable
from guidegen.desk.fields import Block, Field, Part, Path, Table, parts_of
from guidegen.trade.records import SEQUENCES
from guidegen.vehicle.description import Description, Figures
from guidegen.vehicle.source import KeyPath

KEY, WHAT, VALUE, MORE, MARK, HINT, WAS = 1, 2, 3, 4, 5, 6, 7  # columns
SAID = (WHAT, VALUE, MORE)
TO_CHECK = "to check"
MARK_FIELD = Field(("to check",), "choice", False, choices=(TO_CHECK,))
FITTED, ROW, PAIR = " ?", " +", " ="  # what stands after a key's path
_SPARE: dict[Path, int] = {("equipment", "gas", "cylinders"): 3, ("dealer", "emergency"): 5}
_SPARE_ROWS = 8  # of other tables: the least number of rows there are
_ELSEWHERE = {"guidegen", "equipment", "points", "extra_steps", "orders", "checks"}
_LAST = ("layout_changes",)
_TITLES: dict[Path, str] = {("dealer",): "Dealer", ("sizes",): "Sizes", ("masses",): "Masses"}

Kind = Literal["title", "fitted", "field", "row", "pair"]


class Cell(Struct, frozen=True):
    """What stands in one column: a value to fill in when it has a field, else a word."""

    column: int
    value: Any
    field: Field | None = None


class Line(Struct, frozen=True):
    """One line of a sheet."""

    kind: Kind
    key: str
    cells: tuple[Cell, ...]
    hint: str = ""
    path: KeyPath = ()  # of what it says, where it can be marked "to check"


def vehicle_parts() -> tuple[Part, ...]:
    """What the Vehicle sheet holds: identity first, then figures, then what is seldom needed."""
    own = [p for p in parts_of(Description) if p.path[0] not in {*Figures.__struct_fields__, *_ELSEWHERE}]
    figures = [p for p in parts_of(Description) if p.path[0] in Figures.__struct_fields__]
    last = [p for p in own if p.path[0] in _LAST]
    orders = Block(("orders",), False, tuple(Field(("orders", name), "words", False) for name in SEQUENCES))
    return (*(p for p in own if p not in last), *figures, orders, *last)


def equipment_parts() -> tuple[Part, ...]:
    """What the Equipment sheet holds."""
    (block,) = (p for p in parts_of(Description) if p.path == ("equipment",))
    assert isinstance(block, Block)
    return block.parts


def lines(parts: tuple[Part, ...], data: Mapping[str, Any]) -> Iterator[Line]:
    """The lines for the parts, filled in from the file's data."""
    for part in parts:
        if isinstance(part, Field):
            yield _field(part, value_at(data, part.path))
        elif isinstance(part, Block):
            yield _heading(part, data)
            yield from lines(part.parts, data)
        elif part.pairs:
            yield from _pairs(part, value_at(data, part.path) or {})
        else:
            yield from _rows(part, value_at(data, part.path) or [])


def value_at(data: Mapping[str, Any], path: Path) -> Any:
    """The file's value at a path; None where it says nothing."""
    found: Any = data
    for key in path:
        found = found.get(key) if isinstance(found, Mapping) else None
    return found


def title_of(path: Path) -> str:
    """The name of a block or a table on a sheet."""
    words = path[-1].replace("_", " ").replace("dc loads", "12 V loads").replace("mains loads", "230 V loads")
    return _TITLES.get(path) or words[:1].upper() + words[1:]


def key_of(path: Path, suffix: str = "") -> str:
    return ".".join(path) + suffix


def _field(field: Field, value: Any) -> Line:
    label = field.label[:1].upper() + field.label[1:]
    cells = (Cell(WHAT, label), Cell(VALUE, to_cell(field, value), field))
    return Line("field", key_of(field.path), cells, field.hint, field.path)


def _heading(block: Block, data: Mapping[str, Any]) -> Line:
    title = Cell(WHAT, title_of(block.path))
    if block.path[0] != "equipment":
        hint = "order of steps by hand: their ids, in a row" if block.path == ("orders",) else ""
        return Line("title", "", (title,), hint)
    fitted = "yes" if value_at(data, block.path) is not None else None
    answer = Field((*block.path, "fitted"), "yes-no", False)
    return Line(
        "fitted", key_of(block.path, FITTED), (title, Cell(VALUE, fitted, answer)), "fitted: yes or no"
    )


def column_of(field: Field, table: Table) -> int:
    """Where a table's field stands: its names under What, the others from Value on."""
    named = any(c.key == "name" for c in table.columns)
    return WHAT + table.columns.index(field) + (0 if named else 1)


def _rows(table: Table, records: list[Any]) -> Iterator[Line]:
    heads = tuple(Cell(column_of(f, table), f.label) for f in table.columns)
    labels = {cell.column for cell in heads}
    title = () if WHAT in labels else (Cell(WHAT, title_of(table.path)),)
    if WHAT in labels:
        yield Line("title", "", (Cell(WHAT, title_of(table.path)),))
    hint = "; ".join(f"{f.label} {f.hint}" for f in table.columns if f.hint)
    yield Line("title", "", (*title, *heads), hint)
    for number in range(max(len(records) + 2, _SPARE.get(table.path, _SPARE_ROWS))):
        record = records[number] if number < len(records) else {}
        cells = tuple(Cell(column_of(f, table), to_cell(f, record.get(f.key)), f) for f in table.columns)
        label = () if WHAT in labels else (Cell(WHAT, f"    {number + 1}"),)
        yield Line("row", key_of(table.path, ROW), (*label, *cells), "", (*table.path, number))


def _pairs(table: Table, words: Mapping[str, Any]) -> Iterator[Line]:
    title = title_of(table.path)
    yield Line("title", "", (Cell(WHAT, f"{title}: name"), Cell(VALUE, "number or text")))
    left, right = pair_fields(table.path)
    known = list(words.items())
    for number in range(max(len(known) + 2, _SPARE.get(table.path, _SPARE_ROWS))):
        word, value = known[number] if number < len(known) else (None, None)
        cells = (
            Cell(WHAT, writable(word) if word else None, left),
            Cell(VALUE, to_cell(right, value), right),
        )
        yield Line("pair", key_of(table.path, PAIR), cells)


def pair_fields(path: Path) -> tuple[Field, Field]:
    """The two texts of a word with its value."""
    return Field((*path, "name"), "text", True), Field((*path, "value"), "text", True)
