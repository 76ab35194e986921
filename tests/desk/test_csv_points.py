"""The points as CSV, and back into the file of their vehicle."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen import cli
from guidegen.desk.description_text import description_text
from guidegen.desk.escaping import quoted, unquoted
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Description
from guidegen.vehicle.reading import vehicle_from_source
from guidegen.vehicle.source import Source, read_source

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    shutil.copytree(SAMPLES[0].parent, tmp_path / "yard")
    return tmp_path / "yard"


def to_csv(file: Path) -> Path:
    table = file.with_suffix(".csv")
    assert cli.run(["sheet", str(file), "-o", str(table)]) == 0
    return table


def change(table: Path, old: str, new: str) -> None:
    text = table.read_text("utf-8-sig")
    assert old in text
    table.write_text(text.replace(old, new, 1), "utf-8-sig", newline="")


def test_all_but_the_points_stays_as_it_was_written(yard: Path) -> None:
    file = yard / "sorrel.yaml"
    before = file.read_text().split("\npoints:\n")
    change(to_csv(file), "gas-regulator", "torch")
    assert cli.run(["read", str(file.with_suffix(".csv")), "-o", str(file)]) == 0
    head, points = file.read_text().split("\npoints:\n")
    assert head == before[0]
    assert "\n\nextra_steps:\n" in points
    assert points.partition("\nextra_steps:")[2] == before[1].partition("\nextra_steps:")[2]
    assert "#  - {kind: gas-regulator, " in points  # to be located now


def test_a_column_that_is_gone_takes_nothing_out_of_the_file(
    yard: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = yard / "hazel.yaml"
    before, table = file.read_bytes(), to_csv(file)
    rows = list(csv.reader(io.StringIO(table.read_text("utf-8-sig"))))
    at = rows[0].index("height")
    with table.open("w", encoding="utf-8-sig", newline="") as stream:
        csv.writer(stream).writerows([cell for n, cell in enumerate(row) if n != at] for row in rows)
    capsys.readouterr()
    assert cli.run(["read", str(table), "-o", str(file)]) != 0
    said = capsys.readouterr().err
    assert "the heading “height” is missing" in said and "put the column back" in said
    assert file.read_bytes() == before


def test_a_table_that_was_filled_in_is_kept_when_it_is_made_again(
    yard: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table = to_csv(yard / "hazel.yaml")
    made = table.read_bytes()
    assert "is kept" not in capsys.readouterr().err
    filled = made.replace(b"low", b"floor", 1)
    table.write_bytes(filled)
    to_csv(yard / "hazel.yaml")
    assert "hazel.csv.old" in capsys.readouterr().err
    assert (table.read_bytes(), table.with_name("hazel.csv.old").read_bytes()) == (made, filled)


def test_what_a_table_takes_out_of_the_file_is_told(yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A table that was made before the numbers were frozen knows nothing of them."""
    file = yard / "hazel.yaml"
    table = to_csv(file)
    assert cli.run(["freeze", str(file)]) == 0
    file.write_text(file.read_text() + "  - {kind: torch, id: late, in: passenger-seat}\n")
    capsys.readouterr()
    assert cli.run(["read", str(table), "-o", str(file)]) == 0
    said = capsys.readouterr().err
    assert "27 numbers that were written in the file" in said
    assert "points that the file had and the table has not: late" in said


def test_a_link_to_the_vehicle_file_stays_one(yard: Path) -> None:
    file, link = yard / "hazel.yaml", yard / "link.yaml"
    link.symlink_to(file.name)
    change(to_csv(file), "low", "floor")
    assert cli.run(["read", str(file.with_suffix(".csv")), "-o", str(link)]) == 0
    assert link.is_symlink() and "height: floor" in file.read_text()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_separators_of_other_countries(separator: str, yard: Path) -> None:
    file = yard / "hazel.yaml"
    table = to_csv(file)
    rows = list(csv.reader(io.StringIO(table.read_text("utf-8-sig"), newline="")))
    with table.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, delimiter=separator).writerows(rows)
    before = read_source(file).data
    assert cli.run(["read", str(table), "-o", str(file)]) == 0
    assert Description.read(read_source(file).data) == Description.read(before)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("pump-switch,", "pump-swich,", "column “kind”: “pump-swich” is not a kind of service point"),
        ("sliding-door", "sliding-dor", "column “in”: this layout has no furniture"),
        (",height,", ",hight,", "column “hight”: “hight” is no heading here"),
        ("3.55 m", "3.55", "column “from front”: 3.55 has no unit"),
    ],
)
def test_slips_name_line_and_column(
    old: str, new: str, says: str, yard: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = yard / "hazel.yaml"
    table = to_csv(file)
    change(table, old, new)
    line = next(n for n, text in enumerate(table.read_text("utf-8-sig").splitlines(), 1) if new in text)
    before = file.read_bytes()
    assert cli.run(["read", str(table), "-o", str(file)]) == 2
    said = capsys.readouterr().err
    assert f"hazel.csv:{line}: {says}" in said
    assert file.read_bytes() == before


@pytest.mark.parametrize("content", [b"\xff\xfe\x00", b'kind,in\n"unclosed', b"", b"a,b\n1,2\n"])
def test_a_file_that_is_no_table(content: bytes, yard: Path) -> None:
    (yard / "a.csv").write_bytes(content)
    before = (yard / "hazel.yaml").read_bytes()
    assert cli.run(["read", str(yard / "a.csv"), "-o", str(yard / "hazel.yaml")]) == 2
    assert (yard / "hazel.yaml").read_bytes() == before


def test_needs_the_vehicle(yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table = to_csv(yard / "hazel.yaml")
    assert cli.run(["read", str(table), "-o", str(yard / "none.yaml")]) == 1
    assert "guidegen new" in capsys.readouterr().err


def test_a_new_file_takes_its_points(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.run(["new", "Fir", "--layout", "van-short", "--equipment", "hook-up"]) == 0
    assert cli.run(["sheet", "fir.yaml", "-o", "fir.csv"]) == 0
    text = Path("fir.csv").read_text("utf-8-sig").splitlines()
    columns = text[0].split(",")
    lines = []
    for line in text:
        cells = next(csv.reader([line]))
        if cells[1] == "consumer-unit":
            cells[columns.index("in")] = "dinette-seat"
        lines.append(",".join(f'"{c}"' for c in cells))
    Path("fir.csv").write_text("\n".join(lines))
    assert cli.run(["read", "fir.csv", "-o", "fir.yaml"]) == 0
    written = Path("fir.yaml").read_text()
    assert read_source(Path("fir.yaml")).data["points"] == [{"kind": "consumer-unit", "in": "dinette-seat"}]
    assert written.count("kind: consumer-unit") == 1
    assert written.count("kind: hookup-inlet") == 2  # one of the examples, one to be located
    assert "# checks:" in written


@settings(max_examples=200, deadline=None)
@given(st.text())
def test_no_cell_can_be_run_and_every_text_comes_back(text: str) -> None:
    # OWASP, CSV Injection: = + - @, tab and carriage return at the start of a cell.
    assert quoted(text)[:1] not in tuple("=+-@\t\r")
    assert unquoted(quoted(text)) == text


@pytest.mark.bench
@pytest.mark.parametrize("seed", range(2000, 2200))
def test_many_vehicles_come_back_to_the_byte(
    seed: int, description_by_chance: Callable[[int], dict[str, Any]], tmp_path: Path
) -> None:
    data = description_by_chance(seed)
    vehicle = vehicle_from_source(Source("x", data, {}, {}), tmp_path)
    file = tmp_path / "van.yaml"
    file.write_text(description_text(data, vehicle, load_trade()), newline="")
    before = file.read_bytes()
    assert cli.run(["read", str(to_csv(file)), "-o", str(file)]) in (0, 1)  # a check may find errors
    assert file.read_bytes() == before
