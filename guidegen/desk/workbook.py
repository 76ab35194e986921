"""A description as a workbook that people fill in: Vehicle, Equipment, Points, Steps, Checks and a plan."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from guidegen.checks.unchecked import marked_paths
from guidegen.desk import form, lists
from guidegen.desk.cells import as_it_was
from guidegen.desk.checks_form import check_lines
from guidegen.desk.fields import Field
from guidegen.desk.point_lines import how_many
from guidegen.desk.points_table import PLACE, TO_DO, WAS, cells_of, point_fields, said_of, step_fields
from guidegen.desk.workbook_look import Look, finish, put, widths
from guidegen.trade.records import Trade
from guidegen.vehicle.model import ToLocate, Vehicle, sought_mark
from guidegen.vehicle.source import KeyPath, Source

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

VERSION_KEY = "guidegen workbook 1"
VEHICLE, EQUIPMENT, POINTS, STEPS, CHECKS, PLAN = "Vehicle", "Equipment", "Points", "Steps", "Checks", "Plan"
FIRST_ROW = 3  # of a table, below its heading and a line that says how to write
_HINT_PT = 25.0  # two lines
_SPARE_POINTS, _SPARE_STEPS = 40, 15
_LINE_WIDTHS = {"A": 4, "B": 34, "C": 34, "D": 18, "E": 11, "F": 60}
_POINT_WIDTHS = {
    "kind": 26, "serves": 18, "grid": 9, "on": 12, "height": 12, "in": 18, "spot": 20, "from_front": 11,
    "from_nearside": 14, "x": 10, "y": 10, "name": 28, "note": 40, "number": 9, "id": 20, "photo": 22,
    "photo_x": 10, "photo_y": 10, "web": 30,
}  # fmt: skip
_STEP_WIDTHS = {
    "id": 22, "sequence": 14, "text": 50, "at": 20, "before": 22, "after": 22, "check": 34, "web": 30,
}  # fmt: skip


def workbook_bytes(source: Source, vehicle: Vehicle, trade: Trade) -> bytes:
    """The workbook (.xlsx) of a description: `source` is what its file says, `vehicle` what was made of it.

    The same description gives the same bytes. Raises CannotWriteError for a text that no cell can hold.
    """
    from openpyxl import Workbook

    data, marked = source.data, marked_paths(source)
    book = Workbook()
    look = Look(book)
    book.remove(book.active)
    book.properties.creator = "guidegen"
    book.properties.title = vehicle.name
    for title, parts in ((VEHICLE, form.vehicle_parts()), (EQUIPMENT, form.equipment_parts())):
        _lines_sheet(book.create_sheet(title), tuple(form.lines(parts, data)), marked, look)
    _points_sheet(book.create_sheet(POINTS), data, vehicle, marked, look)
    _table_sheet(book.create_sheet(STEPS), step_fields(), _STEP_WIDTHS, data.get("extra_steps") or [], look)
    _checks_sheet(book.create_sheet(CHECKS), tuple(check_lines(data, vehicle, trade)), look)
    _plan_sheet(book.create_sheet(PLAN), vehicle, trade, look)
    lists.add(book, vehicle, trade)
    return _same_on_any_day(book)


def _lines_sheet(
    sheet: Worksheet, lines: Sequence[form.Line], marked: frozenset[KeyPath], look: Look
) -> None:
    titles = ("", "What", "Value", "", "To check", "How to write it")
    for column, title in enumerate(titles, 1):
        put(sheet.cell(1, column), title)
        look.heading(sheet.cell(1, column))
    put(sheet.cell(1, form.KEY), VERSION_KEY)
    for row, line in enumerate(lines, 2):
        _line(sheet, row, line, look)
        if line.path:
            cell = sheet.cell(row, form.MARK)
            look.entry(cell, "choice")
            lists.offer(sheet, cell.coordinate, form.MARK_FIELD)
            if line.path in marked:
                put(cell, form.TO_CHECK)
                values = {cell.column: cell.value for cell in line.cells}
                put(sheet.cell(row, form.WAS), as_it_was(map(values.get, form.SAID)))
    widths(sheet, _LINE_WIDTHS)
    sheet.column_dimensions["A"].hidden = sheet.column_dimensions["G"].hidden = True
    sheet.print_title_rows = "1:1"
    finish(sheet, "C2")


def _line(sheet: Worksheet, row: int, line: form.Line, look: Look) -> None:
    put(sheet.cell(row, form.KEY), line.key)
    for one in line.cells:
        cell = sheet.cell(row, one.column)
        put(cell, one.value)
        if one.field:
            look.entry(cell, one.field.form)
            lists.offer(sheet, cell.coordinate, one.field)
        elif line.kind in ("title", "fitted"):
            look.heading(cell)
        else:
            look.words(cell)
    hint = sheet.cell(row, form.HINT)
    put(hint, line.hint)
    look.words(hint, "soft")


def _points_sheet(
    sheet: Worksheet, data: Mapping[str, Any], vehicle: Vehicle, marked: frozenset[KeyPath], look: Look
) -> None:
    fields = point_fields()
    points = data.get("points") or []
    marks = [form.TO_CHECK if ("points", n) in marked else "" for n in range(len(points))]
    placed = zip(marks, points, vehicle.points, strict=True)
    rows = [(mark, cells_of(p, fields), v.place) for mark, p, v in placed]
    rows += [
        (to_do, cells_of(_wanted(missing), fields), missing.reason) for to_do, missing in _missing(vehicle)
    ]
    rows += [("", cells_of({}, fields), "")] * _SPARE_POINTS
    columns = {TO_DO: 20.0, **{f.label: float(_POINT_WIDTHS[f.key]) for f in fields}, PLACE: 46.0, WAS: 9.0}
    _headings(
        sheet,
        columns,
        ("with its number on the survey sheet", *(_point_hint(f) for f in fields), "not read", ""),
        look,
    )
    for row, (to_do, cells, place) in enumerate(rows, FIRST_ROW):
        put(sheet.cell(row, 1), to_do)
        look.entry(sheet.cell(row, 1), "text")
        put(sheet.cell(row, len(columns) - 1), place)
        look.told(sheet.cell(row, len(columns) - 1))
        if to_do == form.TO_CHECK:
            put(sheet.cell(row, len(columns)), said_of(dict(zip(fields, cells, strict=True))))
        _entries(sheet, row, 2, fields, cells, look)
    last = FIRST_ROW + len(rows) - 1
    for column, one in enumerate(fields, 2):
        letter = sheet.cell(1, column).column_letter
        lists.offer(sheet, f"{letter}{FIRST_ROW}:{letter}{last}", one)
    sheet.column_dimensions[sheet.cell(1, len(columns)).column_letter].hidden = True
    sheet.auto_filter.ref = f"A1:{sheet.cell(1, len(columns)).column_letter}{last}"
    finish(sheet, f"C{FIRST_ROW}")


def _missing(vehicle: Vehicle) -> Iterator[tuple[str, ToLocate]]:
    """What is to be located, with its number on the survey sheet; a line for each of several."""
    counts = how_many(vehicle.equipment)
    for number, missing in enumerate(vehicle.to_locate, 1):
        mark = sought_mark(number, bool(vehicle.points))
        yield from [(f"to be located: {mark}", missing)] * counts.get(missing.kind, 1)


def _wanted(missing: ToLocate) -> dict[str, Any]:
    return {"kind": missing.kind, **({"serves": list(missing.serves)} if missing.serves else {})}


_POINT_HINTS = {
    "kind": "choose", "serves": "of a valve: which appliance", "grid": "its square on the plan, F3",
    "on": "choose when it is outside", "height": "choose, or 0.9 m", "in": "or choose what it is in or at",
    "spot": "where in or at it: front end", "from_front": "with “on”, such as 1.20 m",
    "from_nearside": "with “on”, such as 1.20 m", "x": "or from the front, 3.40 m",
    "y": "and from the nearside, 1.10 m", "name": "when it needs another name", "number": "to pin its number",
    "id": "seldom needed", "photo": "a file beside the vehicle's",
    "photo_x": "its place in it: percent from the left", "photo_y": "percent from the top",
}  # fmt: skip


def _point_hint(field: Field) -> str:
    return _POINT_HINTS.get(field.key, field.hint)


def _table_sheet(
    sheet: Worksheet, fields: Sequence[Field], size: Mapping[str, int], records: Sequence[Any], look: Look
) -> None:
    _headings(sheet, {f.label: float(size[f.key]) for f in fields}, [f.hint for f in fields], look)
    count = len(records) + _SPARE_STEPS
    for n in range(count):
        cells = cells_of(records[n] if n < len(records) else {}, fields)
        _entries(sheet, FIRST_ROW + n, 1, fields, cells, look)
    for column, one in enumerate(fields, 1):
        letter = sheet.cell(1, column).column_letter
        lists.offer(sheet, f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + count - 1}", one)
    finish(sheet, f"B{FIRST_ROW}")


def _headings(sheet: Worksheet, columns: Mapping[str, float], hints: Sequence[str], look: Look) -> None:
    for column, ((title, width), hint) in enumerate(zip(columns.items(), hints, strict=True), 1):
        head, below = sheet.cell(1, column), sheet.cell(2, column)
        put(head, title)
        look.heading(head)
        put(below, hint)
        look.words(below, "soft")
        sheet.column_dimensions[head.column_letter].width = width
    sheet.row_dimensions[2].height = _HINT_PT
    sheet.print_title_rows = "1:2"


def _entries(
    sheet: Worksheet, row: int, first: int, fields: Sequence[Field], cells: Sequence[Any], look: Look
) -> None:
    for column, (one, value) in enumerate(zip(fields, cells, strict=True), first):
        cell = sheet.cell(row, column)
        put(cell, value)
        look.entry(cell, one.form)


def _checks_sheet(sheet: Worksheet, lines: Sequence[form.Line], look: Look) -> None:
    for column, title in enumerate(
        ("", "What", "First check", "At the sale", "Handover", "How to write it"), 1
    ):
        put(sheet.cell(1, column), title)
        look.heading(sheet.cell(1, column))
    put(sheet.cell(1, form.KEY), VERSION_KEY)
    for row, line in enumerate(lines, 2):
        _line(sheet, row, line, look)
    widths(sheet, {"A": 4, "B": 36, "C": 20, "D": 20, "E": 20, "F": 44})
    sheet.column_dimensions["A"].hidden = True
    sheet.print_title_rows = "1:1"
    finish(sheet, "C2")


def _plan_sheet(sheet: Worksheet, vehicle: Vehicle, trade: Trade, look: Look) -> None:
    from openpyxl.drawing.image import Image

    from guidegen.desk.plan_picture import plan_png
    from guidegen.errors import GuidegenError

    put(sheet["A1"], f"{vehicle.layout.name}: the words for “in”, and the grid")
    look.words(sheet["A1"], "bold")
    widths(sheet, {"A": 60})
    try:
        picture = Image(io.BytesIO(plan_png(vehicle, trade)))
    except GuidegenError as error:  # the picture is a help; the workbook can do without
        put(sheet["A3"], str(error))
        look.words(sheet["A3"])
    else:
        width = 1150
        picture.height, picture.width = round(picture.height * width / picture.width), width
        sheet.add_image(picture, "A3")
    finish(sheet, "A2")


def _same_on_any_day(book: Workbook) -> bytes:
    """The file without the time of day, which would make every one different."""
    out, again = io.BytesIO(), io.BytesIO()
    book.save(out)
    with zipfile.ZipFile(out) as old, zipfile.ZipFile(again, "w", zipfile.ZIP_DEFLATED) as new:
        for name, content in _contents(old):
            entry = zipfile.ZipInfo(name)  # dated 1980, the first day that the format knows
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, content)
    return again.getvalue()


def _contents(archive: zipfile.ZipFile) -> Iterator[tuple[str, bytes]]:
    import re

    for info in archive.infolist():
        content = archive.read(info)
        if info.filename == "docProps/core.xml":
            content = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"1980-01-01T00:00:00Z", content)
        yield info.filename, content
