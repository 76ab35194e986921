"""A new clerk's day: begin a file, fill in the workbook with a few slips, read it, check it, build it."""

from __future__ import annotations

import datetime
import random
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from guidegen import cli
from guidegen.pipeline import inspect
from guidegen.vehicle.source import read_source


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, without_picture: None) -> Path:
    """A folder with a new vehicle file and its workbook."""
    monkeypatch.chdir(tmp_path)
    new = [
        "new",
        "Fir 541",
        "--layout",
        "van-short",
        "--equipment",
        "hob:mains,fresh-water,hook-up,heating:diesel",
    ]
    assert cli.run(new) == 0
    assert cli.run(["sheet", "fir-541.yaml", "-o", "fir.xlsx"]) == 0
    return tmp_path


class Clerk:
    """Writes into cells by what stands beside them, as a person does."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.book: Workbook = load_workbook(file)

    def line(self, sheet: str, what: str, value: Any, after: str = "") -> str:
        """The line of that name, below the heading `after`; returns the cell written in."""
        below = not after
        for row in self.book[sheet].iter_rows(min_col=2, max_col=3):
            below = below or row[0].value == after
            if below and row[0].value == what:
                row[1].value = value
                return str(row[1].coordinate)
        raise AssertionError(f"no line “{what}”")

    def point(self, kind: str, **cells: Any) -> dict[str, str]:
        """The line of that kind, or the first blank one; returns the cells written in."""
        sheet = self.book["Points"]
        columns = {cell.value: cell.column for cell in sheet[1]}
        rows = range(3, sheet.max_row + 1)
        wanted = [r for r in rows if sheet.cell(r, columns["kind"]).value == kind]
        free = [r for r in rows if not any(sheet.cell(r, c).value for c in range(2, len(columns) + 1))]
        row = wanted[0] if wanted else free[0]
        cells = {"kind": kind, **cells}
        for name, value in cells.items():
            cell = sheet.cell(row, columns[name.replace("_", " ")])
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"  # as the cell's text format makes of whatever is typed
        return {name: sheet.cell(row, columns[name.replace("_", " ")]).coordinate for name in cells}

    def save(self) -> None:
        self.book.save(self.file)


def read(file: str = "fir.xlsx", into: str = "fir-541.yaml") -> int:
    return cli.run(["read", file, "-o", into])


def test_fill_in_read_check_build(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.line("Vehicle", "Stock number", 417)
    clerk.line("Vehicle", "MTPLM", "3300 kg")
    clerk.line("Equipment", "On 230 V", "1,5 kW", after="Hob")
    clerk.point("pump-switch", **{"in": "sliding-door", "spot": "rear end", "height": "Ceiling"})
    clerk.point("Consumer unit", **{"in": "dinette bench", "note": "=press the test button"})  # printed names
    clerk.point("hookup-inlet", on="offside", from_front="3,85 m", height="0.7 m")
    clerk.point("torch", grid="F3")
    clerk.line("Checks", "Done by", "A. Sample")
    clerk.line("Checks", "On the day", "2026-03-20")
    clerk.save()
    capsys.readouterr()
    assert read() == 0
    said = capsys.readouterr().err
    assert "still to be located: " in said and "fresh-drain" in said
    data = read_source(desk / "fir-541.yaml").data
    assert data["stock_number"] == "417"
    assert data["equipment"]["hob"]["mains"] == "1.5 kW"
    points = {p["kind"]: p for p in data["points"]}
    assert set(points) == {"pump-switch", "consumer-unit", "hookup-inlet", "torch"}
    assert points["consumer-unit"] == {
        "kind": "consumer-unit", "in": "dinette-seat", "note": "=press the test button",
    }  # fmt: skip
    assert points["pump-switch"]["height"] == "ceiling"
    assert data["checks"]["first"] == {"by": "A. Sample", "on": "2026-03-20"}
    review = inspect(desk / "fir-541.yaml")
    assert not review.has_errors
    assert "fresh-drain" in {m.kind for m in review.vehicle.to_locate}  # type: ignore[union-attr]
    assert cli.run(["build", "fir-541.yaml", "-o", "print", "--only", "plan"]) == 0
    assert (desk / "print" / "fir-541" / "fir-541-plan.pdf").exists()


def slips(clerk: Clerk) -> list[tuple[str, str, str]]:
    """Makes slips; sheet, cell and words of the message that each must give."""
    pump = clerk.point("pump-switch", **{"in": "sliding-dor", "height": "cieling"})
    inlet = clerk.point("hookup-inlet", on="ofside", from_front="3.85", number="twelve")
    torch = clerk.point("torsh", grid="Z9")
    socket = clerk.point("usb-socket", id="USB 1", x="3 m")
    return [
        ("Vehicle", clerk.line("Vehicle", "Name", None), "“name” is blank"),
        ("Vehicle", clerk.line("Vehicle", "Length", 5.41), "no unit"),
        ("Vehicle", clerk.line("Vehicle", "Seats", "many"), "a whole number is needed"),
        ("Vehicle", clerk.line("Vehicle", "Printed", "14.3.2026"), "a date is needed"),
        ("Equipment", clerk.line("Equipment", "On 230 V", "800 V", after="Hob"), "not a unit of power"),
        ("Equipment", clerk.line("Equipment", "Inlet", None), "“inlet” (hook up) is blank"),
        ("Equipment", clerk.line("Equipment", "Pump", "presure"), "is not known for “pump”"),
        ("Equipment", clerk.line("Equipment", "Filter", "perhaps"), "neither yes nor no"),
        ("Points", pump["height"], "is not a height"),
        ("Points", inlet["on"], "“ofside” is not known"),
        ("Points", inlet["from_front"], "no unit"),
        ("Points", inlet["number"], "a whole number is needed"),
        ("Points", socket["id"], "is not an id"),
        ("Points", torch["grid"], ""),
        ("Checks", clerk.line("Checks", "On the day", "yesterday"), "a date is needed"),
    ]


def test_every_slip_names_its_sheet_and_cell_and_nothing_is_written(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    expected = [slip for slip in slips(clerk) if slip[2]]
    clerk.save()
    before = (desk / "fir-541.yaml").read_bytes()
    capsys.readouterr()
    assert read() == 2
    told = capsys.readouterr().err
    for sheet, cell, words in expected:
        found = [line for line in told.splitlines() if f"sheet {sheet}, cell {cell}: " in line]
        assert any(words in line for line in found), (sheet, cell, words, told)
    assert (desk / "fir-541.yaml").read_bytes() == before
    assert "Traceback" not in told


def test_places_and_kinds_that_do_not_exist_say_what_was_meant(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    pump = clerk.point("pump-switch", **{"in": "sliding-dor"})
    torch = clerk.point("torhc", grid="F3")
    lamp = clerk.point("lights-switch", grid="Z9")
    bare = clerk.point("torch", note="somewhere")
    clerk.save()
    capsys.readouterr()
    assert read() == 2
    said = capsys.readouterr().err
    assert f"sheet Points, cell {pump['in']}: " in said and "“sliding-door”" in said
    assert f"sheet Points, cell {torch['kind']}: " in said and "did you mean “torch”?" in said
    assert f"sheet Points, cell {lamp['grid']}: " in said
    assert f"sheet Points, cell {bare['kind']}: no place is said" in said


def test_what_is_to_be_checked_stays_marked_until_the_clerk_says_so(desk: Path) -> None:
    before = to_check(desk / "fir-541.yaml")
    assert {"sizes", "hob", "fresh_water", "hook_up", "heating", "lead_length"} <= before
    assert read() == 0
    assert to_check(desk / "fir-541.yaml") == before
    clerk = Clerk(desk / "fir.xlsx")
    for row in clerk.book["Equipment"].iter_rows():
        if str(row[0].value).startswith("equipment.hob."):
            row[4].value = None
    clerk.save()
    assert read() == 0
    assert to_check(desk / "fir-541.yaml") == before - {"hob"}


def to_check(file: Path) -> set[str]:
    """The keys of the lines that are marked."""
    lines = file.read_text().splitlines()
    return {line.split(":")[0].strip() for line in lines if line.endswith("# to check") and line[0] != "#"}


def test_who_writes_another_value_has_looked(desk: Path) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.line("Vehicle", "Lead length", "20 m")
    clerk.save()
    before = to_check(desk / "fir-541.yaml")
    for _ in range(2):  # the same workbook may be read again
        assert read() == 0
        assert to_check(desk / "fir-541.yaml") == before - {"lead_length"}
        assert "lead_length: 20 m\n" in (desk / "fir-541.yaml").read_text()
    into = "other.yaml"  # nor does it need the file
    assert read(into=into) == 0
    assert "lead_length" not in to_check(desk / into)


def test_a_place_that_is_corrected_is_checked(desk: Path) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.point("torch", grid="F3")
    clerk.point("pump-switch", grid="E2")
    clerk.save()
    assert read() == 0
    assert cli.run(["new", "Fir 542", "--like", "fir-541.yaml"]) == 0
    assert cli.run(["sheet", "fir-542.yaml"]) == 0
    clerk = Clerk(desk / "fir-542.xlsx")
    clerk.point("torch", grid="D3")
    sheet = clerk.book["Points"]
    for row in sheet.iter_rows():  # moved columns are no correction
        row[3].value, row[12].value = row[12].value, row[3].value
    clerk.save()
    for _ in range(2):
        assert cli.run(["read", "fir-542.xlsx"]) == 0
        lines = (desk / "fir-542.yaml").read_text().splitlines()
        assert [n.strip() for n in lines if n.startswith("  - {kind")] == [
            "- {kind: pump-switch, grid: E2}  # to check", "- {kind: torch, grid: D3}",
        ]  # fmt: skip


def test_places_taken_over_stay_marked_by_workbook_and_csv(desk: Path) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.point("torch", grid="F3")
    clerk.point("pump-switch", grid="E2")
    clerk.save()
    assert read() == 0
    assert cli.run(["new", "Fir 542", "--like", "fir-541.yaml"]) == 0
    marked = [n for n in (desk / "fir-542.yaml").read_text().splitlines() if "kind: torch" in n]
    assert marked[0].endswith("# to check")
    for table in ("b.xlsx", "b.csv"):
        assert cli.run(["sheet", "fir-542.yaml", "-o", table]) == 0
        assert cli.run(["read", table, "-o", "fir-542.yaml"]) == 0
        text = (desk / "fir-542.yaml").read_text().splitlines()
        assert sum(n.endswith("# to check") for n in text if n.startswith("  - {kind")) == 2


def test_the_file_before_is_kept(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (desk / "fir-541.yaml").read_bytes()
    assert read() == 0
    assert (desk / "fir-541.yaml").read_bytes() == before
    assert not (desk / "fir-541.yaml.old").exists()
    clerk = Clerk(desk / "fir.xlsx")
    clerk.line("Vehicle", "Seats", 4)
    clerk.save()
    assert read() == 0
    assert "fir-541.yaml.old" in capsys.readouterr().err
    assert (desk / "fir-541.yaml.old").read_bytes() == before
    after = (desk / "fir-541.yaml").read_bytes()
    assert read() == 0  # nothing new: what is kept stays the file of before
    assert (desk / "fir-541.yaml").read_bytes() == after
    assert (desk / "fir-541.yaml.old").read_bytes() == before


def test_a_formula_without_a_result_is_not_lost_without_a_word(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    cell = clerk.line("Vehicle", "Owner", "=A1+1")
    clerk.save()
    assert read() == 2
    assert f"sheet Vehicle, cell {cell}: holds a formula without a result" in capsys.readouterr().err


def test_lines_that_were_deleted_leave_the_file_as_it_is(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = desk / "fir-541.yaml"
    file.write_text(file.read_text().replace("owner:", "owner: A. Owner"))
    clerk = Clerk(desk / "fir.xlsx")
    for name, words in (
        ("Vehicle", "owner"),
        ("Vehicle", "lead_length"),
        ("Equipment", "equipment.hob.mains"),
    ):
        sheet = clerk.book[name]
        sheet.delete_rows(next(row[0].row for row in sheet.iter_rows() if row[0].value == words))
    clerk.save()
    before = file.read_text()
    capsys.readouterr()
    assert read() == 0
    said = capsys.readouterr().err
    assert "the line “owner” (owner) is missing" in said and "what the file says of it stays" in said
    assert file.read_text() == before


def test_lines_that_were_deleted_do_not_bring_back_what_is_not_fitted(desk: Path) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.line("Equipment", "Hob", "no")
    sheet = clerk.book["Equipment"]
    sheet.delete_rows(next(row[0].row for row in sheet.iter_rows() if row[0].value == "equipment.hob.mains"))
    clerk.save()
    assert read() == 0
    assert "hob" not in read_source(desk / "fir-541.yaml").data["equipment"]


def test_a_line_without_which_there_is_no_vehicle_is_missed(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    sheet = clerk.book["Vehicle"]
    sheet.delete_rows(next(row[0].row for row in sheet.iter_rows() if row[0].value == "layout"))
    row = next(row for row in sheet.iter_rows() if row[0].value == "owner")
    row[0].value, row[2].value = None, "A. Owner"  # its key is lost, and what it says with it
    clerk.save()
    assert read() == 2
    said = capsys.readouterr().err
    assert "the line “layout” is missing" in said
    assert "the line “owner” (owner) has lost its key" in said


def test_a_heading_that_was_changed_is_told(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    head = next(c for c in clerk.book["Points"][1] if c.value == "height")
    head.value = "hieght"
    clerk.save()
    assert read() == 2
    said = capsys.readouterr().err
    assert f"sheet Points, cell {head.coordinate}: “hieght” is no heading here" in said
    assert "did you mean “height”?" in said


def test_rows_may_be_sorted_and_columns_moved(desk: Path) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.point("pump-switch", **{"in": "sliding-door"})
    sheet = clerk.book["Points"]
    for row in sheet.iter_rows():  # the last two columns change places
        row[-2].value, row[-3].value = row[-3].value, row[-2].value
    vehicle = clerk.book["Vehicle"]
    rows = [[c.value for c in row] for row in vehicle.iter_rows(min_row=2)]
    for number, values in enumerate(sorted(rows, key=lambda r: str(r[1])), 2):
        for column, value in enumerate(values, 1):
            vehicle.cell(number, column).value = value
    clerk.save()
    assert read() == 0
    data = read_source(desk / "fir-541.yaml").data
    assert data["name"] == "Fir 541"
    assert data["points"] == [{"kind": "pump-switch", "in": "sliding-door"}]


@pytest.mark.bench
@pytest.mark.parametrize("seed", range(100))
def test_whatever_is_typed_anywhere_is_read_or_refused_with_its_cell(
    seed: int, desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rng = random.Random(seed)
    values = [
        "x", "=1+1", "#REF!", "yes", "no", "-1", "0", 0, -3, 1e300, 3.5, True, "7,35 m", "99 km", "[a", "{b: c}",
        "&a", "*b", "\u202e", "😀", "a" * 700, datetime.date(1800, 1, 1), datetime.time(3, 4), "to check", " ",
    ]  # fmt: skip
    clerk = Clerk(desk / "fir.xlsx")
    for _ in range(rng.randint(1, 30)):
        sheet = clerk.book[rng.choice(["Vehicle", "Equipment", "Points", "Steps", "Checks"])]
        row, column = rng.randint(1, sheet.max_row), rng.randint(1, sheet.max_column)
        sheet.cell(row, column).value = rng.choice(values)
    clerk.save()
    before = (desk / "fir-541.yaml").read_bytes()
    capsys.readouterr()
    code = read()
    said = capsys.readouterr().err
    assert "Traceback" not in said and "fault of guidegen" not in said
    assert code in (0, 2)
    if code:
        assert (desk / "fir-541.yaml").read_bytes() == before
        errors = [line for line in said.splitlines() if line.startswith("error: ")]
        assert errors and all("sheet " in line or "column A" in line for line in errors), said


def test_places_are_told_together_with_what_the_schema_refuses(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    length = clerk.line("Vehicle", "Length", 5.41)
    pump = clerk.point("pump-switch", **{"in": "sliding-dor", "height": "cieling"})
    torch = clerk.point("torhc", grid="F3")
    lamp = clerk.point("lights-switch", grid="Z9")
    clerk.save()
    capsys.readouterr()
    assert read() == 2
    said = capsys.readouterr().err
    cells = [("Vehicle", length), *(("Points", pump[key]) for key in ("in", "height"))]
    for sheet, cell in (*cells, ("Points", torch["kind"]), ("Points", lamp["grid"])):
        assert said.count(f"sheet {sheet}, cell {cell}: ") == 1
    assert "5 errors; nothing was written" in said


def test_what_is_not_fitted_takes_its_figures_with_it(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    cell = clerk.line("Equipment", "Heating", "no")
    clerk.save()
    assert read() == 0
    assert f"cell {cell}: “Heating” is not fitted: its figures are left out" in capsys.readouterr().err
    text = (desk / "fir-541.yaml").read_text()
    assert "heating" not in read_source(desk / "fir-541.yaml").data["equipment"]
    assert "space-heater" not in text.split("\npoints:")[1]


def test_what_a_check_finds_is_told_by_its_cell(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clerk = Clerk(desk / "fir.xlsx")
    clerk.point("torch", grid="F3", number=7)
    cells = clerk.point("lights-switch", grid="D3", number=7)
    clerk.save()
    capsys.readouterr()
    assert read() == 1  # written, but nothing can be printed of it
    said = capsys.readouterr().err
    assert f"sheet Points, cell {cells['kind']}: " in said and "[number-twice]" in said
    assert "kind: torch" in (desk / "fir-541.yaml").read_text()


def test_remarks_by_hand_stay_and_another_vehicle_is_told(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = desk / "fir-541.yaml"
    file.write_text(file.read_text() + "# sold with the spare key\n")
    clerk = Clerk(desk / "fir.xlsx")
    clerk.line("Vehicle", "Id", "fir-542")
    clerk.point("torch", grid="F3")
    clerk.save()
    assert read() == 0
    assert "was of “fir-541”; it is of “fir-542” now" in capsys.readouterr().err
    assert file.read_text().endswith("# sold with the spare key\n")
    assert "# Whatever stands after a # is a remark." in file.read_text()


def test_files_have_usual_names(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sheet", "fir-541.yaml"]) == 0
    assert "guidegen read fir-541.xlsx\n" in capsys.readouterr().err
    clerk = Clerk(desk / "fir-541.xlsx")
    clerk.point("torch", grid="f 3")
    clerk.save()
    assert cli.run(["read", "fir-541.xlsx"]) == 0
    assert "- {kind: torch, grid: F3}" in (desk / "fir-541.yaml").read_text()
    assert cli.run(["survey", "fir-541.yaml"]) == 0
    assert (desk / "fir-541-survey.pdf").exists()


def test_what_an_older_workbook_puts_back_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], without_picture: None
) -> None:
    """Else nobody sees that what was written into the file meanwhile is gone."""
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "hazel.yaml"
    file.write_bytes((Path(__file__).parents[2] / "sample_vehicles" / "hazel.yaml").read_bytes())
    assert cli.run(["sheet", "hazel.yaml"]) == 0
    newer = (
        file.read_text()
        .replace("length: 5.41 m", "length: 5.45 m")
        .replace("capacity: 65 l", "capacity: 70 l")
    )
    file.write_text(newer.replace("from_front: 3.55 m", "from_front: 3.65 m"))
    capsys.readouterr()
    assert cli.run(["read", "hazel.xlsx"]) == 0
    told = capsys.readouterr().err
    assert "Sizes: length: 5.45 m in the file before, 5.41 m now" in told
    assert "Fridge: capacity: 70 l in the file before, 65 l now" in told
    assert "3.65, 2.05, 0.65 m) in the file before" in told
    assert cli.run(["read", "hazel.xlsx"]) == 0
    assert "in the file before" not in capsys.readouterr().err
