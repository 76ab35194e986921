"""A filled-in workbook back into the data of a description; every mistake names its sheet and cell."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from guidegen.desk import form
from guidegen.desk.cells import CellError, as_it_was, as_read, from_cell, word_for
from guidegen.desk.checks_form import READING, check_fields
from guidegen.desk.escaping import unescaped
from guidegen.desk.fields import Field, Part, Table, all_fields
from guidegen.desk.form import FITTED, KEY, MARK, PAIR, ROW, TO_CHECK, VALUE, WHAT
from guidegen.desk.gathering import Gathered
from guidegen.desk.lists import parts_of as parts_of_layout
from guidegen.desk.points_table import Record, located, point_fields, read_records, step_fields
from guidegen.desk.workbook import (
    CHECKS,
    EQUIPMENT,
    FIRST_ROW,
    POINTS,
    STEPS,
    VEHICLE,
    VERSION_KEY,
)
from guidegen.errors import DescriptionError, Finding, Mark
from guidegen.trade.records import Trade
from guidegen.vehicle.description import CHECK_NAMES
from guidegen.vehicle.layout_reading import LayoutError, read_layout

if TYPE_CHECKING:
    from openpyxl import Workbook

SHEETS = (VEHICLE, EQUIPMENT, POINTS, STEPS, CHECKS)
_MAX_BYTES, _MAX_UNPACKED = 30_000_000, 12_000_000
_MAX_ROWS = 2_000
_OLD = bytes.fromhex("D0CF11E0A1B11AE1")  # compound file, MS-CFB 2.2
_MAX_SHEET = 10_000, 300  # rows and columns
Row = Sequence[Any]


class WorkbookData(Struct, frozen=True):
    """What a workbook says, and the kinds of points that it names without a place."""

    gathered: Gathered
    left_out: tuple[str, ...]


def read_workbook(path: FilePath, trade: Trade) -> WorkbookData:
    """The workbook's data, not yet judged by the schema; cells that cannot be read are among its faults.

    Raises DescriptionError for a file that is no such workbook.
    """
    book = _opened(path)
    gathered = Gathered(str(path))
    results = _results(path, book)
    rows = {name: _rows(book, name, results, gathered) for name in SHEETS}
    _lines(rows[VEHICLE], VEHICLE, form.vehicle_parts(), gathered)
    _lines(rows[EQUIPMENT], EQUIPMENT, form.equipment_parts(), gathered)
    left_out = _points(rows[POINTS], gathered, trade)
    _steps(rows[STEPS], gathered)
    _checks(rows[CHECKS], gathered)
    return WorkbookData(gathered, left_out)


def _opened(path: FilePath) -> Workbook:
    file = str(path)
    try:
        with path.open("rb") as stream:
            if stream.read(len(_OLD)) == _OLD:
                hint = "open it and save it as .xlsx, without a password"
                raise _unlike(file, "is a workbook of the old kind (.xls), or needs a password", hint)
        if path.stat().st_size > _MAX_BYTES:
            raise _unlike(file, "is too large for a vehicle's workbook")
        with zipfile.ZipFile(path) as archive:
            parts = [info for info in archive.infolist() if info.filename.endswith((".xml", ".rels"))]
            if sum(info.file_size for info in parts) > _MAX_UNPACKED:
                raise _unlike(file, "is too large for a vehicle's workbook")
        book = _loaded(path)
    except zipfile.BadZipFile:
        raise _unlike(file, "is not a workbook", "save it as .xlsx") from None
    lost = [name for name in SHEETS if name not in book.sheetnames]
    if lost:
        hint = "make it anew with guidegen sheet, or give the sheet its name back"
        raise _unlike(file, f"has no sheet “{lost[0]}”", hint)
    for sheet in (book[name] for name in SHEETS):
        if sheet.max_row > _MAX_SHEET[0] or sheet.max_column > _MAX_SHEET[1]:
            hint = "delete what stands far below or beside the tables"
            raise _unlike(file, f"has cells far outside the tables of the sheet “{sheet.title}”", hint)
    return book


def _loaded(path: FilePath, results: bool = False) -> Workbook:
    """The workbook; with the results of formulas in place of the formulas when asked."""
    from openpyxl import load_workbook

    try:
        return load_workbook(path, data_only=results)
    except OSError:
        raise
    except Exception as error:  # the library lets through whatever a damaged file makes it stumble over
        raise _unlike(str(path), "is damaged, or not a workbook (.xlsx)", "save it again as .xlsx") from error


def _unlike(file: str, message: str, hint: str = "") -> DescriptionError:
    return DescriptionError((Finding("error", "workbook", message, hint, Mark(file)),))


def _results(path: FilePath, book: Workbook) -> Workbook | None:
    """The workbook with the results of formulas, where somebody has put in any."""
    cells = (cell for name in SHEETS for row in book[name].iter_rows() for cell in row)
    return _loaded(path, results=True) if any(cell.data_type == "f" for cell in cells) else None


def _rows(book: Workbook, name: str, results: Workbook | None, gathered: Gathered) -> list[Row]:
    def value(cell: Any) -> Any:
        found = cell.value
        if cell.data_type == "f":
            found = results[name][cell.coordinate].value if results else None
            if found is None:
                mark = Mark(name, cell.row, cell.column)
                gathered.fault("holds a formula without a result", "write the value itself", mark)
        elif cell.data_type == "e":
            mark = Mark(name, cell.row, cell.column)
            gathered.fault(f"holds an error ({found})", "write the value itself", mark)
            return None
        return unescaped(found) if isinstance(found, str) else found

    rows = islice(book[name].iter_rows(), _MAX_ROWS)
    return [tuple(value(cell) for cell in row) for row in rows]


# Vehicle and Equipment


def _lines(rows: list[Row], sheet: str, parts: tuple[Part, ...], gathered: Gathered) -> None:
    if not rows or not rows[0] or rows[0][KEY - 1] != VERSION_KEY:
        gathered.fault(
            "column A, which is hidden, has lost its keys", "make the workbook anew with guidegen sheet",
            Mark(sheet, 1, 1),
        )  # fmt: skip
        return
    fields = {form.key_of(f.path): f for f in all_fields(parts)}
    tables = {form.key_of(t.path): t for t in _tables(parts)}
    refusals: list[tuple[tuple[str, ...], Mark]] = []
    lost = set(fields)
    for number, row in enumerate(rows[1:], 2):
        key = str(_at(row, KEY) or "")
        lost.discard(key)
        if key in fields:
            _field(fields[key], row, number, sheet, gathered)
        elif key.endswith(FITTED):
            path = tuple(key.removesuffix(FITTED).split("."))
            if _fitted(path, row, number, sheet, gathered) is False:
                refusals.append((path, Mark(sheet, number, VALUE)))
        elif key.endswith(ROW) and key.removesuffix(ROW) in tables:
            _table_row(tables[key.removesuffix(ROW)], row, number, sheet, gathered)
        elif key.endswith(PAIR) and key.removesuffix(PAIR) in tables:
            _pair(tables[key.removesuffix(PAIR)], row, number, sheet, gathered)
        elif not key:
            _stray(row, number, sheet, gathered)
    keyless = {str(as_read(_at(row, WHAT))).lower() for row in rows[1:] if not _at(row, KEY)}
    for key in sorted(lost):
        _lost(fields[key], key, fields[key].label.lower() in keyless, sheet, gathered)
    for path, mark in refusals:
        if form.value_at(gathered.data, path) is not None:
            gathered.take_out(path)
            message = f"“{form.title_of(path)}” is not fitted: its figures are left out"
            gathered.remark(message, "if it is fitted, write yes and read it again", mark)


def _lost(field: Field, key: str, there: bool, sheet: str, gathered: Gathered) -> None:
    """A line whose key is not in the workbook any more; there: a line of its name still is."""
    mark, anew = Mark(sheet, 1, KEY), "make the workbook anew with guidegen sheet"
    if there:
        message = f"the line “{field.label}” ({key}) has lost its key in column A, which is hidden"
        gathered.fault(message, anew, mark)
    elif field.required and len(field.path) == 1:
        gathered.fault(f"the line “{field.label}” is missing", anew, mark)
    else:
        gathered.silent.add(field.path)
        gathered.remark(
            f"the line “{field.label}” ({key}) is missing", "what the file says of it stays", mark
        )


def _tables(parts: tuple[Part, ...]) -> Iterator[Table]:
    for part in parts:
        if isinstance(part, Table):
            yield part
        elif not isinstance(part, Field):
            yield from _tables(part.parts)


def _at(row: Row, column: int) -> Any:
    return row[column - 1] if len(row) >= column else None


def _stray(row: Row, number: int, sheet: str, gathered: Gathered) -> None:
    """A value in a line that is about nothing would be lost without a word."""
    for column in range(VALUE, MARK):
        value = as_read(_at(row, column))
        if value and not as_read(_at(row, WHAT)):
            gathered.fault(
                f"“{value}” stands in a line that has no name", "write it in a line of the form",
                Mark(sheet, number, column),
            )  # fmt: skip


def _value(field: Field, row: Row, mark: Mark, gathered: Gathered) -> Any:
    try:
        return from_cell(field, _at(row, mark.column))
    except CellError as error:
        gathered.fault(f"“{field.label}”: {error}", field.hint, mark)
        return None


def _field(field: Field, row: Row, number: int, sheet: str, gathered: Gathered) -> None:
    mark = Mark(sheet, number, VALUE)
    value = _value(field, row, mark, gathered)
    gathered.marks[field.path] = mark
    if value is not None:
        gathered.put(field.path, value, mark)
        gathered.mark(field.path, _to_check(row))


def _to_check(row: Row) -> bool:
    """Whether the line is marked and still says what it said then; who has written something has looked."""
    was = _at(row, form.WAS)
    same = was is None or was == as_it_was(_at(row, column) for column in form.SAID)
    return same and str(as_read(_at(row, MARK))).lower() == TO_CHECK


def _fitted(path: tuple[str, ...], row: Row, number: int, sheet: str, gathered: Gathered) -> Any:
    mark = Mark(sheet, number, VALUE)
    answer = _value(Field((*path, "fitted"), "yes-no", False), row, mark, gathered)
    gathered.marks[path] = mark
    if answer:
        gathered.put(path, form.value_at(gathered.data, path) or {}, mark)
    return answer


def _table_row(table: Table, row: Row, number: int, sheet: str, gathered: Gathered) -> None:
    marks = {f.key: Mark(sheet, number, form.column_of(f, table)) for f in table.columns}
    read = {f.key: _value(f, row, marks[f.key], gathered) for f in table.columns}
    record = {key: value for key, value in read.items() if value is not None}
    if not record:
        return
    for lost in (f for f in table.columns if f.required and f.key not in record):
        gathered.fault(f"“{lost.label}” is blank", f"fill it in: {lost.hint}", marks[lost.key], "key-missing")
    path = gathered.append(table.path, record, marks, Mark(sheet, number, WHAT))
    gathered.mark(path, _to_check(row))


def _pair(table: Table, row: Row, number: int, sheet: str, gathered: Gathered) -> None:
    left, right = form.pair_fields(table.path)
    word = _value(left, row, Mark(sheet, number, WHAT), gathered)
    value = _value(right, row, Mark(sheet, number, VALUE), gathered)
    if word is None and value is None:
        return
    blank = WHAT if word is None else VALUE
    if word is None or value is None:
        gathered.fault("this cell is blank", "fill it in, or clear its line", Mark(sheet, number, blank))
    elif word in (form.value_at(gathered.data, table.path) or {}):
        gathered.fault(f"“{word}” stands twice", "keep one of them", Mark(sheet, number, WHAT))
    else:
        gathered.put((*table.path, word), value, Mark(sheet, number, VALUE))


# Points and steps


def _points(rows: list[Row], gathered: Gathered, trade: Trade) -> tuple[str, ...]:
    records = _records(rows, POINTS, point_fields(), gathered)
    said, blank = located(records)
    parts = _parts(gathered)
    kinds = tuple((kind.id, kind.name) for kind in trade.kinds.values())
    for record in said:
        if "kind" not in record.data and "kind" in record.marks:
            gathered.fault("“kind” is blank", "choose one of the list", record.marks["kind"], "key-missing")
        for key, names in (("kind", kinds), ("in", parts)):
            if key in record.data:
                record.data[key] = word_for(str(record.data[key]), names)
        path = gathered.append(("points",), record.data, record.marks, record.mark)
        gathered.mark(path, record.to_check)
    return tuple(str(record.data["kind"]) for record in blank)


def _parts(gathered: Gathered) -> tuple[tuple[str, str], ...]:
    """The parts of the layout with their names; none while the layout is not right."""
    changes = gathered.data.get("layout_changes")
    try:
        layout = read_layout(str(gathered.data.get("layout")), changes if isinstance(changes, dict) else None)
    except LayoutError:
        return ()
    return parts_of_layout(layout)


def _steps(rows: list[Row], gathered: Gathered) -> None:
    fields = step_fields()
    for record in _records(rows, STEPS, fields, gathered):
        for lost in (f for f in fields if f.required and f.key not in record.data):
            mark = record.marks.get(lost.key, record.mark)
            hint = f"fill it in: {lost.hint}" if lost.hint else "fill it in"
            gathered.fault(f"“{lost.label}” is blank", hint, mark, "key-missing")
        gathered.append(("extra_steps",), record.data, record.marks, record.mark)


def _records(
    rows: list[Row], sheet: str, fields: tuple[Field, ...], gathered: Gathered
) -> tuple[Record, ...]:
    head = rows[0] if rows else ()
    body = enumerate(rows[FIRST_ROW - 1 :], FIRST_ROW)
    found = read_records(head, body, fields, lambda line, column: Mark(sheet, line, column))
    gathered.faults += found.faults
    return tuple(found.found)


# Checks


def _checks(rows: list[Row], gathered: Gathered) -> None:
    if not rows or not rows[0] or rows[0][KEY - 1] != VERSION_KEY:
        hint = "make the workbook anew with guidegen sheet"
        gathered.fault("column A, which is hidden, has lost its keys", hint, Mark(CHECKS, 1, 1))
        return
    fields = {f.key: f for f in check_fields()}
    for number, row in enumerate(rows[1:], 2):
        key = str(_at(row, KEY) or "")
        for column, name in enumerate(CHECK_NAMES, VALUE):
            mark = Mark(CHECKS, number, column)
            if key in fields:
                gathered.marks[("checks", name, key)] = mark
                value = _value(fields[key], row, mark, gathered)
                if value is not None:
                    gathered.put(("checks", name, key), value, mark)
            elif key == READING:
                _reading(name, row, mark, gathered)


def _reading(name: str, row: Row, mark: Mark, gathered: Gathered) -> None:
    value = as_read(_at(row, mark.column))
    if value is None or value == "":
        return
    title = as_read(_at(row, WHAT))
    if not title:
        gathered.fault("this reading has no name", "write what was read", Mark(CHECKS, mark.line, WHAT))
        return
    known = form.value_at(gathered.data, ("checks", name, "readings")) or {}
    if str(title) in known:
        gathered.fault(f"“{title}” stands twice", "keep one of them", Mark(CHECKS, mark.line, WHAT))
        return
    if isinstance(value, str) and value.lower() in ("yes", "no"):
        value = value.lower() == "yes"
    gathered.put(("checks", name, "readings", str(title)), value, mark)
