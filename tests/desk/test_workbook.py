"""The workbook: what it holds, what it protects, and that nothing is lost on the way there and back."""

from __future__ import annotations

import datetime
import io
import re
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from guidegen import cli
from guidegen.desk.bringing_back import from_workbook
from guidegen.desk.cells import CannotWriteError, from_cell, to_cell
from guidegen.desk.escaping import unescaped
from guidegen.desk.fields import Field
from guidegen.desk.workbook import workbook_bytes
from guidegen.desk.workbook_look import put
from guidegen.errors import DescriptionError
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Description
from guidegen.vehicle.reading import read_vehicle, vehicle_from_source
from guidegen.vehicle.source import Source, parse_source, read_source

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
SHEETS = ["Vehicle", "Equipment", "Points", "Steps", "Checks", "Plan", "Lists"]


def there_and_back(data: dict[str, Any], folder: Path, tmp_path: Path) -> Description:
    source = Source("x", data, {}, {})
    file = tmp_path / "book.xlsx"
    file.write_bytes(workbook_bytes(source, vehicle_from_source(source, folder), load_trade()))
    return Description.read(parse_source(from_workbook(file, folder).data, "back").data)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
@pytest.mark.usefixtures("without_picture")
def test_samples_come_back_as_they_were(sample: Path, tmp_path: Path) -> None:
    data = read_source(sample).data
    assert there_and_back(data, sample.parent, tmp_path) == Description.read(data)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.usefixtures("without_picture")
def test_any_description_comes_back_as_it_was(
    seed: int, description_by_chance: Callable[[int], dict[str, Any]], tmp_path: Path
) -> None:
    data = description_by_chance(seed)
    assert there_and_back(data, tmp_path, tmp_path) == Description.read(data)


@pytest.mark.bench
@pytest.mark.parametrize("seed", range(1000, 1200))
@pytest.mark.usefixtures("without_picture")
def test_many_descriptions_come_back_as_they_were(
    seed: int, description_by_chance: Callable[[int], dict[str, Any]], tmp_path: Path
) -> None:
    data = description_by_chance(seed)
    assert there_and_back(data, tmp_path, tmp_path) == Description.read(data)


@pytest.mark.bench
@pytest.mark.skipif(not shutil.which("soffice"), reason="an office program is not installed")
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_an_office_program_saves_it_without_a_change_and_its_lists_hold(sample: Path, tmp_path: Path) -> None:
    import subprocess

    file = tmp_path / "book.xlsx"
    assert cli.run(["sheet", str(sample), "-o", str(file)]) == 0
    convert = [
        "soffice",
        "--headless",
        "--convert-to",
        "xlsx",
        "--outdir",
        str(tmp_path / "saved"),
        str(file),
    ]
    subprocess.run(convert, check=True, capture_output=True, timeout=180)
    saved = from_workbook(tmp_path / "saved" / "book.xlsx", sample.parent)
    assert saved.data == from_workbook(file, sample.parent).data
    one, other = load_workbook(file), load_workbook(tmp_path / "saved" / "book.xlsx")
    for name in SHEETS[:5]:
        assert choices_of(other[name]) == choices_of(one[name]), name
        assert other[name].protection.sheet
    assert choices_of(other["Points"])["B3"] and choices_of(other["Points"])["G10"]


@pytest.mark.bench
@pytest.mark.skipif(not shutil.which("soffice"), reason="an office program is not installed")
def test_a_new_file_comes_back_from_an_office_program_to_the_byte(tmp_path: Path) -> None:
    import subprocess

    file, book = tmp_path / "fir.yaml", tmp_path / "fir.xlsx"
    assert cli.run(["new", "Fir", "--layout", "caravan-twin-beds", "-o", str(file)]) == 0
    assert cli.run(["sheet", str(file)]) == 0
    convert = [
        "soffice",
        "--headless",
        "--convert-to",
        "xlsx",
        "--outdir",
        str(tmp_path / "saved"),
        str(book),
    ]
    subprocess.run(convert, check=True, capture_output=True, timeout=180)
    before = file.read_bytes()
    assert cli.run(["read", str(tmp_path / "saved" / "fir.xlsx"), "-o", str(file)]) == 0
    assert file.read_bytes() == before


def choices_of(sheet: Any) -> dict[str, tuple[str, ...]]:
    """What each cell offers to choose from, by its coordinate."""
    found: dict[str, tuple[str, ...]] = {}
    for rule in sheet.data_validations.dataValidation:
        if rule.type != "list":
            continue
        listed = re.fullmatch(r"=?\$?Lists\.?!?\$?([A-Z])\$?(\d+):\$?[A-Z]\$?(\d+)", rule.formula1)
        if listed:
            cells = sheet.parent["Lists"][f"{listed[1]}{listed[2]}:{listed[1]}{listed[3]}"]
            words = tuple(cell.value for row in cells for cell in row if cell.value)
        else:
            words = tuple(rule.formula1.strip('"').split(","))
        for area in rule.sqref.ranges:
            for row in sheet[area.coord] if ":" in area.coord else ((sheet[area.coord],),):
                found |= {cell.coordinate: words for cell in row}
    return found


@pytest.fixture(scope="module")
def larch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("book") / "larch.xlsx"
    sample = next(s for s in SAMPLES if s.stem == "larch")
    assert cli.run(["sheet", str(sample), "-o", str(file)]) == 0
    return file


@pytest.fixture(scope="module")
def book(larch: Path) -> Workbook:
    return load_workbook(larch)


class TestTheBook:
    def test_sheets(self, book: Workbook) -> None:
        assert book.sheetnames == SHEETS
        assert [s.title for s in book if s.sheet_state == "hidden"] == ["Lists"]

    def test_headings_are_locked_without_a_password_and_entries_are_open(self, book: Workbook) -> None:
        for sheet in book:
            assert sheet.protection.sheet
            assert not sheet.protection.password
        points = book["Points"]
        assert all(cell.protection.locked for row in points["A1:S2"] for cell in row)
        assert not any(cell.protection.locked for row in points["B3:R120"] for cell in row)
        assert points.freeze_panes == "C3"

    def test_lists_to_choose_from_name_what_there_is(self, book: Workbook) -> None:
        rules = {str(r.sqref): r for r in book["Points"].data_validations.dataValidation}
        kinds = next(rule for cells, rule in rules.items() if cells.startswith("B3:"))
        assert kinds.formula1 == "=Lists!$A$2:$A$400" or kinds.formula1 == "Lists!$A$2:$A$400"
        listed = {row[0] for row in book["Lists"].iter_rows(min_row=2, max_col=1, values_only=True)}
        assert listed - {None} == set(load_trade().kinds)
        parts = {row[0] for row in book["Lists"].iter_rows(min_row=2, min_col=2, max_col=2, values_only=True)}
        assert {"island-bed", "bedroom", "garage-door", "gas-locker"} <= parts

    def test_a_cell_never_holds_a_formula(self, book: Workbook) -> None:
        for sheet in book:
            assert not [c.coordinate for row in sheet.iter_rows() for c in row if c.data_type == "f"]

    def test_the_plan_is_a_picture(self, book: Workbook) -> None:
        (picture,) = book["Plan"]._images
        assert picture.width > 800

    def test_points_to_be_located_have_a_line(self, tmp_path: Path) -> None:
        sample = next(s for s in SAMPLES if s.stem == "sorrel")
        assert cli.run(["sheet", str(sample), "-o", str(tmp_path / "b.xlsx")]) == 0
        rows = load_workbook(tmp_path / "b.xlsx")["Points"].iter_rows(values_only=True)
        wanted = [row for row in rows if "to be located" in str(row[0])]
        assert [row[1] for row in wanted] == [m.kind for m in read_vehicle(sample).to_locate]
        assert [row[0] for row in wanted] == ["to be located: ?1"]  # as on the survey sheet

    def test_a_printed_sheet_is_as_wide_as_its_page_and_says_whose_it_is(self, book: Workbook) -> None:
        for sheet in book:
            if sheet.sheet_state == "hidden":
                continue
            setup = sheet.page_setup
            assert (setup.orientation, setup.fitToWidth, setup.fitToHeight) == ("landscape", 1, 0)
            assert sheet.sheet_properties.pageSetUpPr.fitToPage
            footer = (sheet.oddFooter.left.text, sheet.oddFooter.right.text)
            assert footer == ("&F", "&A, page &P of &N"), "file, sheet and page (ECMA-376, 18.3.1.46)"
            assert sheet.page_margins.left * 25.4 >= 5

    def test_same_bytes_on_any_day(
        self, larch: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
    ) -> None:
        class Later(datetime.datetime):
            @classmethod
            def now(cls, tz: datetime.tzinfo | None = None) -> Later:
                return cls(2031, 5, 6, 7, 8, 9, tzinfo=tz)

        later = SimpleNamespace(datetime=Later, timezone=datetime.timezone)
        monkeypatch.setattr("openpyxl.writer.excel.datetime", later)
        sample = next(s for s in SAMPLES if s.stem == "larch")
        assert cli.run(["sheet", str(sample), "-o", str(tmp_path / "again.xlsx")]) == 0
        assert (tmp_path / "again.xlsx").read_bytes() == larch.read_bytes()
        with zipfile.ZipFile(larch) as archive:
            assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=60)


@settings(max_examples=6, deadline=None)
@given(
    st.lists(
        st.builds("{}{}".format, st.sampled_from(["", "=", "+", "-", "@", "'", "_x0041_"]), TEXT),
        max_size=300,
    )
)
def test_text_stays_text_whatever_it_begins_with(texts: list[str]) -> None:
    book = Workbook()
    for row, text in enumerate(texts, 1):
        put(book.active.cell(row, 1), text)
    out = io.BytesIO()
    book.save(out)
    cells = [row[0] for row in load_workbook(out).active.iter_rows(max_row=max(1, len(texts)), max_col=1)]
    assert [unescaped(cell.value) for cell in cells if cell.value is not None] == texts
    assert all(cell.data_type != "f" for cell in cells)


FORMS = ["text", "quantities", "words", "data", "height", "quantity"]


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(FORMS), TEXT.map(str.strip).filter(bool))
@example("quantities", "0T")
def test_a_text_in_any_cell_comes_back(form: Any, text: str) -> None:
    field = Field(("x",), form, False)
    value = [text, "b"] if form in ("quantities", "words") else {text: text} if form == "data" else text
    back = from_cell(field, to_cell(field, value))
    if form in ("quantities", "quantity") and any(map(str.isdigit, text)):  # "0T" is spelled "0 t", once
        value, back = back, from_cell(field, to_cell(field, back))
    assert back == value


@pytest.mark.parametrize(
    ("form", "typed", "meant"),
    [
        ("quantities", "500 W,1000 W", ["500 W", "1000 W"]),
        ("quantities", "1,5 kW; 2 kW", ["1.5 kW", "2 kW"]),
        ("quantities", "1,5 kW, 2,5 kW", ["1.5 kW", "2.5 kW"]),
        ("quantity", "3,5KG", "3.5 kg"),
        ("quantity", "2,5 mm2 ", "2.5 mm²"),
        ("quantity", "7.35", "7.35"),
        ("quantity", "3 kWh", "3 kWh"),
        ("height", "0,9m", "0.9 m"),
        ("yes-no", "Yes", True),
        ("yes-no", False, False),
        ("number", "4", 4),
        ("number", 4.0, 4),
        ("number", 4.5, 4.5),
        ("date", datetime.datetime(2026, 3, 14), "2026-03-14"),
        ("text", 417, "417"),
        ("text", "  blanks ", "blanks"),
        ("text", "   ", None),
        ("quantity", 7.35, 7.35),
        ("data", "{a: 1}", {"a": 1}),
    ],
)
def test_what_people_type(form: Any, typed: Any, meant: Any) -> None:
    assert from_cell(Field(("x",), form, False), typed) == meant


def test_capitals_in_a_choice_are_forgiven() -> None:
    field = Field(("x",), "choice", False, choices=("under-floor", "low"))
    assert from_cell(field, "Under floor") == "under-floor"
    assert from_cell(field, "lwo") == "lwo"


@pytest.mark.parametrize("text", ["bell\a", "x" * 40_000])
def test_a_text_that_no_cell_can_hold_is_refused(text: str) -> None:
    with pytest.raises(CannotWriteError):
        to_cell(Field(("x",), "text", False), text)


@pytest.mark.parametrize("content", [b"", b"no zip at all", b"PK\x03\x04 broken"])
def test_a_file_that_is_no_workbook(content: bytes, tmp_path: Path) -> None:
    file = tmp_path / "a.xlsx"
    file.write_bytes(content)
    with pytest.raises(DescriptionError, match="workbook"):
        from_workbook(file, tmp_path)


def test_a_workbook_of_another_kind(tmp_path: Path) -> None:
    Workbook().save(tmp_path / "a.xlsx")
    with pytest.raises(DescriptionError, match="has no sheet “Vehicle”"):
        from_workbook(tmp_path / "a.xlsx", tmp_path)
