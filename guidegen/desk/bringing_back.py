"""From a filled-in workbook or CSV file to the text of a vehicle file, judged as any description is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from guidegen.desk.csv_points import in_lines, read_csv, with_points
from guidegen.desk.description_text import description_text
from guidegen.desk.gathering import Gathered, in_cells
from guidegen.desk.keeping import Said, kept
from guidegen.desk.merging_points import Vehicles
from guidegen.desk.workbook_reading import SHEETS, read_workbook
from guidegen.errors import DescriptionError, GuidegenError
from guidegen.trade.load import load_trade
from guidegen.trade.records import Trade
from guidegen.vehicle.description import Description
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.reading import read_vehicle, vehicle_from_source
from guidegen.vehicle.source import parse_source, read_source


@dataclass(frozen=True, slots=True)
class BroughtBack:
    """The bytes of the vehicle file, and the points that were left out since they have no place yet."""

    data: bytes
    vehicle: Vehicle
    left_out: tuple[str, ...]
    kept: bool = True  # whether what stood in the file was kept where nothing is new


def from_workbook(path: Path, folder: Path, into: Path | None = None) -> BroughtBack:
    """The vehicle file that a workbook stands for; `folder` is where its pictures are looked for.

    into: the vehicle file, whose remarks and order are kept when it exists.
    Raises DescriptionError whose findings name sheet and cell.
    """
    trade = load_trade()
    book = read_workbook(path, trade)
    gathered = book.gathered
    vehicle = judged(gathered, folder)
    if into is not None and into.exists():
        said = Said(gathered.data, gathered.to_check, gathered.markable)
        found = _put_into(into, said, vehicle, trade)
        if found is not None:
            return BroughtBack(found, vehicle, book.left_out)
    text = description_text(gathered.data, vehicle, trade, gathered.to_check)
    _must_say_the_same(text, gathered)
    return BroughtBack(text.encode(), vehicle, book.left_out, kept=False)


def judged(gathered: Gathered, folder: Path) -> Vehicle:
    """The vehicle. Raises DescriptionError with all that is wrong, by sheet and cell."""
    faults = (*gathered.faults, *gathered.missing())
    try:
        vehicle = vehicle_from_source(gathered.source, folder)
    except DescriptionError as error:
        others = (f for f in error.findings if not (faults and f.rule == "key-missing"))
        raise DescriptionError(in_cells((*faults, *others), gathered.file, SHEETS)) from None
    if faults:
        raise DescriptionError(in_cells(faults, gathered.file, SHEETS))
    return vehicle


def _put_into(into: Path, said: Said, vehicle: Vehicle, trade: Trade) -> bytes | None:
    """The file with what is new in it; None when it cannot be kept."""
    try:
        before = read_vehicle(into)
    except DescriptionError:
        return None
    return kept(into.read_bytes(), said, Vehicles(before, vehicle, trade))


def _must_say_the_same(text: str, gathered: Gathered) -> None:
    written = parse_source(text.encode(), gathered.file).data
    if Description.model_validate(written) != Description.model_validate(gathered.data):
        raise AssertionError("the text written for the workbook says something else than its cells")


def from_csv(path: Path, into: Path) -> BroughtBack:
    """The vehicle file `into` with the points of the CSV file.

    Raises DescriptionError whose findings name line and column, GuidegenError when there is no such vehicle.
    """
    if not into.exists():
        raise GuidegenError(
            f"{into}: a CSV file holds the points alone, so the vehicle file must exist: "
            "guidegen new makes one, guidegen sheet -o FILE.xlsx a workbook with everything"
        )
    trade, old = load_trade(), read_source(into)
    layout = read_vehicle(into).layout
    table = read_csv(path, layout, trade)
    source = with_points(old, table.records)
    try:
        vehicle = vehicle_from_source(source, into.parent)
    except DescriptionError as error:
        raise DescriptionError(in_lines(error.findings, str(path), table.head)) from None
    points = [("points", number) for number in range(len(table.records))]
    marked = [path for path, record in zip(points, table.records, strict=True) if record.to_check]
    data = _put_into(into, Said(source.data, marked, points), vehicle, trade)
    if data is None:
        raise GuidegenError(f"{into}: its points are written in a way that cannot be changed")
    return BroughtBack(data, vehicle, table.left_out)
