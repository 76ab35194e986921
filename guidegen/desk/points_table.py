"""Tables with one record a line, such as the points: headings, and lines back into records."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from guidegen.desk.cells import CellError, as_it_was, as_read, from_cell, to_cell
from guidegen.desk.fields import Field, fields_of
from guidegen.desk.form import TO_CHECK
from guidegen.errors import Finding, Mark
from guidegen.vehicle.description import ExtraStep, PointEntry
from guidegen.vehicle.explain import closest

TO_DO, PLACE, WAS = "to do", "place, as last read", "as it was"
SHOWN = (TO_DO, PLACE, WAS)  # columns that tell something and are not read
_ORDER = (
    "kind", "serves", "grid", "on", "height", "in", "spot", "from_front", "from_nearside", "x", "y", "name",
    "note", "number", "id", "photo", "photo_x", "photo_y", "web",
)  # fmt: skip


def point_fields() -> tuple[Field, ...]:
    """The columns of the points, in the order in which one fills them in."""
    return tuple(sorted(fields_of(PointEntry), key=lambda f: _ORDER.index(f.key)))


def step_fields() -> tuple[Field, ...]:
    """The columns of a dealer's own steps."""
    return fields_of(ExtraStep)


def cells_of(record: Mapping[str, Any], fields: Sequence[Field]) -> tuple[Any, ...]:
    """One record as the cells of its line."""
    return tuple(to_cell(f, record.get(f.key)) for f in fields)


class Record(Struct, frozen=True):
    """One line that was read: its values by key, and where each stands."""

    data: dict[str, Any]
    marks: dict[str, Mark]
    mark: Mark
    to_check: bool = False


class Records(Struct):
    """All lines of a table, and what is wrong with its cells."""

    found: list[Record] = field(default_factory=list)
    faults: list[Finding] = field(default_factory=list)


MarkAt = Callable[[int, int], Mark]  # line and column, from 1


def read_records(
    heading: Sequence[Any], rows: Iterable[tuple[int, Sequence[Any]]], fields: Sequence[Field], mark: MarkAt
) -> Records:
    """The records of the rows, given with their line numbers; blank rows are passed over."""
    result = Records()
    columns = dict(_columns(heading, fields, mark, result.faults))
    to_do, was = ({as_read(cell): n for n, cell in enumerate(heading)}.get(name) for name in (TO_DO, WAS))
    for line, row in rows:
        record = _record(line, row, columns, mark, result.faults)
        if str(as_read(_cell(row, to_do))).lower() == TO_CHECK and _as_it_was(row, was, columns):
            record = replace(record, to_check=True)
        if record.data or any(f.mark.line == line for f in result.faults):
            result.found.append(record)
    return result


def lost_columns(
    before: Iterable[Mapping[str, Any]], there: Iterable[str], mark: Mark
) -> tuple[Finding, ...]:
    """A fault for each column that a table has no more, though points of the file have something in it.

    before: the points of the file. there: the keys of the columns. Blank cells would take it out of the file.
    """
    used = Counter(key for point in before for key in point)
    found = set(there)
    return tuple(
        _fault(
            f"the heading “{f.label}” is missing, and {used[f.key]} points of the file have it",
            "put the column back, from a new sheet if need be",
            mark,
        )
        for f in point_fields()
        if used[f.key] and f.key not in found
    )


def _cell(row: Sequence[Any], place: int | None) -> Any:
    return row[place] if place is not None and len(row) > place else None


def _as_it_was(row: Sequence[Any], was: int | None, columns: Mapping[int, Field]) -> bool:
    """Whether the line says what it said when it was marked; who has written something has looked."""
    before = _cell(row, was)
    now = said_of({field: _cell(row, column - 1) for column, field in columns.items()})
    return before is None or before == now


def said_of(cells: Mapping[Field, Any]) -> str:
    """All that the cells of a line say, in an order of its own."""
    return as_it_was(cells[field] for field in sorted(cells, key=lambda field: field.key))


def _columns(
    heading: Sequence[Any], fields: Sequence[Field], mark: MarkAt, faults: list[Finding]
) -> Iterator[tuple[int, Field]]:
    known = {name: f for f in fields for name in (f.label, f.key)}
    seen: set[str] = set()
    for column, cell in enumerate(heading, 1):
        word = str(as_read(cell) or "").lower()
        if word in known and known[word].key not in seen:
            seen.add(known[word].key)
            yield column, known[word]
        elif word in known:
            faults.append(_fault(f"the heading “{word}” stands twice", "delete one column", mark(1, column)))
        elif word and word not in SHOWN:
            hint = closest(word, tuple(f.label for f in fields))
            faults.append(_fault(f"“{word}” is no heading here", hint, mark(1, column)))
    for lost in (f for f in fields if f.required and f.key not in seen):
        faults.append(
            _fault(f"the heading “{lost.label}” is missing", "put it back in the first line", mark(1, 1))
        )


def _record(
    line: int, row: Sequence[Any], columns: Mapping[int, Field], mark: MarkAt, faults: list[Finding]
) -> Record:
    data: dict[str, Any] = {}
    marks: dict[str, Mark] = {}
    for column, one in columns.items():
        marks[one.key] = mark(line, column)
        try:
            value = from_cell(one, row[column - 1] if column <= len(row) else None)
        except CellError as error:
            faults.append(_fault(f"“{one.label}”: {error}", one.hint, marks[one.key]))
            continue
        if value is not None:
            single = one.form == "words" and len(value) == 1
            data[one.key] = value[0] if single else value
    return Record(data, marks, mark(line, next(iter(columns), 1)))


def _fault(message: str, hint: str, mark: Mark) -> Finding:
    return Finding("error", "cell", message, hint, mark)


def located(records: Iterable[Record]) -> tuple[tuple[Record, ...], tuple[Record, ...]]:
    """The records with something to say, and those of points that nobody has found yet."""
    said: list[Record] = []
    blank: list[Record] = []
    for record in records:
        only_wanted = set(record.data) <= {"kind", "serves"} and "kind" in record.data
        (blank if only_wanted else said).append(record)
    return tuple(said), tuple(blank)
