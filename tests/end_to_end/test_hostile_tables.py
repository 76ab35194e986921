"""Workbooks and tables that mean harm: cells are never formulas, and what is too much is refused in no time."""

from __future__ import annotations

import io
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
import yaml

from guidegen import cli

FORMULAS = ("=1+1", "+1", "-1+2", "@SUM(A1)", "=HYPERLINK(1)", "=cmd|' /C calc'!A0")


def vehicle(folder: Path) -> Path:
    points = [
        {"kind": "pump-switch", "id": f"switch-{n}", "name": text, "note": text, "x": "2 m", "y": "1 m"}
        for n, text in enumerate(FORMULAS)
    ]
    data = {
        "id": "van",
        "name": "=1+1",
        "owner": "+1",
        "kind": "campervan",
        "steering": "right",
        "layout": "van-short",
        "points": points,
    }
    file = folder / "van.yaml"
    file.write_text(yaml.safe_dump(data))
    return file


def test_no_cell_of_a_workbook_is_a_formula(tmp_path: Path) -> None:
    book = tmp_path / "van.xlsx"
    assert cli.run(["sheet", str(vehicle(tmp_path)), "-o", str(book)]) == 0
    cells = [c for sheet in openpyxl.load_workbook(book) for row in sheet.iter_rows() for c in row]
    assert [c.value for c in cells if c.data_type == "f"] == []
    assert {c.value for c in cells} >= set(FORMULAS)
    back = tmp_path / "back.yaml"
    assert cli.run(["read", str(book), "-o", str(back)]) == 0
    data = yaml.safe_load(back.read_text())
    assert data["name"] == "=1+1"
    assert [p["name"] for p in data["points"]] == list(FORMULAS)


def changed(book: Path, change: Callable[[str, bytes], bytes]) -> bytes:
    """The workbook with the parts of its archive changed."""
    out = io.BytesIO()
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            new.writestr(entry.filename, change(entry.filename, old.read(entry)))
    return out.getvalue()


def bomb(name: str, data: bytes) -> bytes:
    return (
        data.replace(b"</sheetData>", b"<row/>" * 3_000_000 + b"</sheetData>") if "sheet1" in name else data
    )


def endless(name: str, data: bytes) -> bytes:
    rows = b"<row><c t='inlineStr'><is><t>x</t></is></c></row>" * 12_000
    return data.replace(b"</sheetData>", rows + b"</sheetData>") if "sheet1" in name else data


def distant(name: str, data: bytes) -> bytes:
    cell = b"<row r='1048576'><c r='XFD1048576' t='inlineStr'><is><t>x</t></is></c></row></sheetData>"
    return data.replace(b"</sheetData>", cell) if "sheet1" in name else data


def laughing(name: str, data: bytes) -> bytes:
    entities = b'<!DOCTYPE x [<!ENTITY a "' + b"x" * 1000 + b'"><!ENTITY b "' + b"&a;" * 1000 + b'">]>'
    if "sheet1" not in name:
        return data
    head, _, rest = data.partition(b"<worksheet")
    return head + entities + b"<worksheet" + rest.replace(b"</sheetData>", b"&b;</sheetData>")


@pytest.mark.parametrize(
    "change", [bomb, endless, distant, laughing, lambda n, d: d[: len(d) // 2], lambda n, d: b""]
)
def test_workbooks_that_mean_harm_are_refused(
    change: Callable[[str, bytes], bytes], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book, bad, back = tmp_path / "van.xlsx", tmp_path / "bad.xlsx", tmp_path / "back.yaml"
    cli.run(["sheet", str(vehicle(tmp_path)), "-o", str(book)])
    bad.write_bytes(changed(book, change))
    start = time.process_time()
    assert cli.run(["read", str(bad), "-o", str(back)]) in (1, 2)
    assert time.process_time() - start < 5
    assert "bad.xlsx" in capsys.readouterr().err
    assert not back.exists()


def test_macros_and_links_to_other_workbooks_are_passed_over(tmp_path: Path) -> None:
    book, odd = tmp_path / "van.xlsx", tmp_path / "odd.xlsx"
    cli.run(["sheet", str(vehicle(tmp_path)), "-o", str(book)])
    odd.write_bytes(book.read_bytes())
    with zipfile.ZipFile(odd, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0" + bytes(2000))
        archive.writestr("xl/externalLinks/externalLink1.xml", b"<externalLink xmlns='x'/>")
        archive.writestr("xl/externalLinks/_rels/externalLink1.xml.rels", b"<Relationships xmlns='x'/>")
    for one in (book, odd):
        assert cli.run(["read", str(one), "-o", str(tmp_path / f"{one.stem}.back.yaml")]) == 0
    assert (tmp_path / "odd.back.yaml").read_bytes() == (tmp_path / "van.back.yaml").read_bytes()


def test_a_workbook_of_the_old_kind_or_with_a_password_says_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.xlsx").write_bytes(bytes.fromhex("D0CF11E0A1B11AE1") + bytes(5000))
    assert cli.run(["read", str(tmp_path / "a.xlsx")]) == 2
    said = capsys.readouterr().err
    assert "needs a password" in said and "save it as .xlsx" in said


@pytest.mark.parametrize("raw", [b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0" + bytes(500), b"id;name\n1;2\n"])
def test_files_that_are_no_workbook_are_refused(
    raw: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "bad.xlsx"
    bad.write_bytes(raw)
    assert cli.run(["read", str(bad), "-o", str(tmp_path / "back.yaml")]) == 2
    assert "bad.xlsx" in capsys.readouterr().err
