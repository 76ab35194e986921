"""The points alone as a CSV file (RFC 4180, UTF-8), and back into the file of their vehicle."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from guidegen.checks.unchecked import marked_paths
from guidegen.desk.cells import word_for
from guidegen.desk.escaping import quoted, unquoted
from guidegen.desk.form import TO_CHECK
from guidegen.desk.lists import parts_of
from guidegen.desk.points_table import (
    PLACE,
    TO_DO,
    Record,
    cells_of,
    located,
    point_fields,
    read_records,
)
from guidegen.errors import DescriptionError, Finding, Mark
from guidegen.trade.records import Trade
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.source import MAX_BYTES, Source


def csv_bytes(source: Source, vehicle: Vehicle) -> bytes:
    """The points, and lines for those to be located; with the mark that spreadsheets know UTF-8 by."""
    fields, marked = point_fields(), marked_paths(source)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([TO_DO, *(f.label for f in fields), PLACE])
    points = source.data.get("points") or []
    for number, (point, placed) in enumerate(zip(points, vehicle.points, strict=True)):
        mark = TO_CHECK if ("points", number) in marked else ""
        writer.writerow([mark, *map(_text, cells_of(point, fields)), placed.place])
    for missing in vehicle.to_locate:
        wanted = {"kind": missing.kind, "serves": list(missing.serves) or None}
        reason = f"to be located: {missing.reason}"
        writer.writerow([reason, *map(_text, cells_of(wanted, fields)), ""])
    return out.getvalue().encode("utf-8-sig")


def _text(value: str | int | date | None) -> str:
    return "" if value is None else quoted(str(value))


class CsvPoints(Struct, frozen=True):
    """The headings, the points with a place, and the kinds of those without."""

    head: tuple[str, ...]
    records: tuple[Record, ...]
    left_out: tuple[str, ...]


def read_csv(path: Path, layout: Layout, trade: Trade) -> CsvPoints:
    """The table of the file.

    Raises DescriptionError for a file that is no such table or has cells that cannot be read.
    """
    file = str(path)
    rows = list(_rows(path))
    head = tuple(rows[0][1]) if rows else ()
    found = read_records(head, rows[1:], point_fields(), lambda line, column: Mark(file, line, column))
    said, blank = located(found.found)
    kinds = tuple((kind.id, kind.name) for kind in trade.kinds.values())
    for record in said:
        if "kind" not in record.data and "kind" in record.marks:
            mark = record.marks["kind"]
            found.faults.append(
                Finding("error", "key-missing", "“kind” is blank", "guidegen list kinds", mark)
            )
        for key, names in (("kind", kinds), ("in", parts_of(layout))):
            if key in record.data:
                record.data[key] = word_for(str(record.data[key]), names)
    if found.faults:
        raise DescriptionError(in_lines(found.faults, file, head))
    return CsvPoints(head, said, tuple(str(record.data["kind"]) for record in blank))


def in_lines(findings: Sequence[Finding], file: str, head: Sequence[str]) -> tuple[Finding, ...]:
    """The findings with their column's heading in the message; a mark's column counts cells until now."""
    labels = dict(enumerate(head, 1))
    found = []
    for f in findings:
        if f.mark.file != file:
            found.append(f)
            continue
        label = labels.get(f.mark.column, "")
        key = f"“{label.replace(' ', '_')}”: "  # the message may begin with it
        message = f"column “{label}”: {f.message.removeprefix(key)}" if label else f.message
        found.append(Finding(f.severity, f.rule, message, f.hint, Mark(file, f.mark.line)))
    return tuple(sorted(dict.fromkeys(found), key=lambda f: f.mark.line))


def _rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    raw = path.read_bytes()
    if len(raw) > MAX_BYTES:
        raise _unlike(path, "is too large for the points of a vehicle")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _unlike(path, "is not UTF-8 text", "save it as “CSV UTF-8”") from None
    first = text.partition("\n")[0]
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    start = 1
    try:
        for row in reader:
            yield start, [unquoted(cell) for cell in row]
            start = reader.line_num + 1
    except csv.Error as error:
        raise _unlike(path, f"is not a CSV table: {error}", line=reader.line_num) from None


def _unlike(path: Path, message: str, hint: str = "", line: int = 0) -> DescriptionError:
    return DescriptionError((Finding("error", "csv", message, hint, Mark(str(path), line)),))


def with_points(source: Source, records: Sequence[Record]) -> Source:
    """The vehicle's source with the points of the table in place of its own."""
    data = {**source.data, "points": [r.data for r in records]}
    marks = {path: mark for path, mark in source.values.items() if path[:1] != ("points",)}
    for n, record in enumerate(records):
        marks[("points", n)] = record.mark
        marks |= {("points", n, key): mark for key, mark in record.marks.items()}
    return Source(source.file, data, source.keys, marks, source.text)
