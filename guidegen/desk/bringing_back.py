"""From a filled-in workbook or CSV file to the text of a vehicle file, judged as any description is."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from guidegen.desk.comparing import Difference, overwritten
from guidegen.desk.csv_points import in_lines, read_csv, with_points
from guidegen.desk.description_text import description_text
from guidegen.desk.gathering import Gathered, in_cells
from guidegen.desk.judging import judged, remarks
from guidegen.desk.keeping import Said, kept
from guidegen.desk.merging_points import Vehicles
from guidegen.desk.points_table import lost_columns
from guidegen.desk.workbook import POINTS
from guidegen.desk.workbook_reading import SHEETS, read_workbook
from guidegen.errors import DescriptionError, Finding, GuidegenError, Mark
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Description
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.reading import read_vehicle
from guidegen.vehicle.source import parse_source, read_source


class BroughtBack(Struct, frozen=True):
    """The bytes of the vehicle file, and the kinds of points that have no place yet and were left out."""

    data: bytes
    vehicle: Vehicle
    left_out: tuple[str, ...]
    remarks: tuple[Finding, ...]  # what the checks say of it, by cell
    kept: bool = True  # whether what stood in the file was kept where nothing is new
    id_before: str = ""  # of the vehicle that the file was of, when that was another one
    gone: tuple[str, ...] = ()  # points of the file that are no more
    numbers_gone: int = 0  # of points of the file that had one written and have none now
    changed: tuple[Difference, ...] = ()  # what the file said otherwise


def _gone(before: Vehicle | None, after: Vehicle) -> tuple[tuple[str, ...], int]:
    """The points that are no more, and how many have lost their written number."""
    if before is None or before.id != after.id:
        return (), 0
    now = {point.id: point for point in after.points}
    gone = tuple(point.id for point in before.points if point.id not in now)
    numbers = sum(p.pinned and p.id in now and not now[p.id].pinned for p in before.points)
    return gone, numbers


def _changed(
    held: Mapping[str, Any], before: Vehicle | None, written: bytes, after: Vehicle
) -> tuple[Difference, ...]:
    """What the file said otherwise; nothing of another vehicle's."""
    if before is None or before.id != after.id:
        return ()
    return overwritten((held, before), (parse_source(written, "").data, after))


def from_workbook(path: Path, folder: Path, into: Path | None = None) -> BroughtBack:
    """The vehicle file that a workbook stands for; `folder` is where its pictures are looked for.

    into: the vehicle file, whose remarks and order are kept when it exists.
    Raises DescriptionError whose findings name sheet and cell.
    """
    trade, held = load_trade(), dict[str, Any]()
    book = read_workbook(path, trade)
    gathered = book.gathered
    if into is not None and into.exists():
        held = _data_before(into)
        gathered.keep(held)
        columns = {str(path[2]) for path in gathered.marks if len(path) == 3 and path[0] == "points"}
        gathered.faults += lost_columns(held.get("points") or (), columns, Mark(POINTS, 1, 1))
    vehicle = _judged(gathered, folder)
    said_of_it = in_cells((*gathered.remarks, *remarks(vehicle, trade)), gathered.file, SHEETS)
    id_before = ""
    if into is not None and into.exists():
        said = Said(gathered.data, gathered.to_check, gathered.markable)
        before = _vehicle_before(into)
        id_before = before.id if before and before.id != vehicle.id else ""
        found = before and kept(into.read_bytes(), said, Vehicles(before, vehicle, trade))
        if found:
            gone = _gone(before, vehicle)
            changed = _changed(held, before, found, vehicle)
            return BroughtBack(found, vehicle, book.left_out, said_of_it, True, id_before, *gone, changed)
    text = description_text(gathered.data, vehicle, trade, gathered.to_check)
    _must_say_the_same(text, gathered)
    return BroughtBack(text.encode(), vehicle, book.left_out, said_of_it, False, id_before)


def _judged(gathered: Gathered, folder: Path) -> Vehicle:
    """The vehicle. Raises DescriptionError with all that is wrong, by sheet and cell."""
    faults = (*gathered.faults, *gathered.missing())
    try:
        vehicle = judged(gathered.source, folder, POINTS)
    except DescriptionError as error:
        others = (f for f in error.findings if not (faults and f.rule == "key-missing"))
        raise DescriptionError(in_cells((*faults, *others), gathered.file, SHEETS)) from None
    if faults:
        raise DescriptionError(in_cells(faults, gathered.file, SHEETS))
    return vehicle


def _data_before(into: Path) -> dict[str, Any]:
    try:
        return read_source(into).data
    except DescriptionError:
        return {}


def _vehicle_before(into: Path) -> Vehicle | None:
    try:
        return read_vehicle(into)
    except DescriptionError:
        return None


def _must_say_the_same(text: str, gathered: Gathered) -> None:
    written = parse_source(text.encode(), gathered.file).data
    if Description.read(written) != Description.read(gathered.data):
        raise AssertionError("the text written for the workbook says something else than its cells")


def from_csv(path: Path, into: Path) -> BroughtBack:
    """The vehicle file `into` with the points of the CSV file.

    Raises DescriptionError whose findings name line and column, GuidegenError when there is no such vehicle.
    """
    if not into.exists():
        raise GuidegenError(
            f"{into}: a CSV file holds the points alone, so the vehicle file must exist: name it with -o "
            "(guidegen new makes one; a workbook, guidegen sheet VEHICLE, holds everything)"
        )
    trade, old = load_trade(), read_source(into)
    before = read_vehicle(into)
    table = read_csv(path, before.layout, trade)
    columns = {key for record in table.records for key in record.marks}
    if lost := lost_columns(old.data.get("points") or (), columns, Mark(str(path), 1, 1)):
        raise DescriptionError(in_lines(lost, str(path), table.head))
    source = with_points(old, table.records)
    try:
        vehicle = judged(source, into.parent, str(path))
    except DescriptionError as error:
        raise DescriptionError(in_lines(error.findings, str(path), table.head)) from None
    points = [("points", number) for number in range(len(table.records))]
    marked = [path for path, record in zip(points, table.records, strict=True) if record.to_check]
    data = kept(into.read_bytes(), Said(source.data, marked, points), Vehicles(before, vehicle, trade))
    if data is None:
        raise GuidegenError(f"{into}: its points are written in a way that cannot be changed")
    said_of_it = in_lines(remarks(vehicle, trade), str(path), table.head)
    changed = _changed(old.data, before, data, vehicle)
    return BroughtBack(data, vehicle, table.left_out, said_of_it, True, "", *_gone(before, vehicle), changed)
