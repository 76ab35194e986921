"""A vehicle becomes a whole pack of files that other programs can open."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pytest

from guidegen import build
from guidegen.documents.registry import DOCUMENTS


def test_pack_holds_one_file_for_each_document_and_format(packs: Path, samples: list[Path]) -> None:
    assert len(samples) > 0
    assert len(DOCUMENTS) > 0
    assert samples[0].stem in {f.name for f in packs.iterdir()} <= {f.stem for f in samples}
    expected = {f"{name}.{suffix}" for name, entry in DOCUMENTS.items() for suffix in entry.formats}
    for pack in packs.iterdir():
        made = {f.name.removeprefix(f"{pack.name}-") for f in pack.iterdir() if f.name[0] != "."}
        assert made == expected, pack.name


def test_pdfs_open_in_an_independent_reader(packs: Path) -> None:
    for file in packs.rglob("*.pdf"):
        with pypdfium2.PdfDocument(file) as document:
            assert len(document) > 0
            assert document.get_metadata_value("Title"), file.name
            assert any(page.get_textpage().count_chars() > 0 for page in document), file.name


def test_svgs_are_well_formed_and_measured_in_mm(packs: Path) -> None:
    for file in packs.rglob("*.svg"):
        root = ElementTree.parse(file).getroot()
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root.get("width", "").endswith("mm")


def test_pngs_have_the_signature_of_iso_15948(packs: Path) -> None:
    for file in packs.rglob("*.png"):
        assert file.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_a_second_run_leaves_everything_alone(guidegen, packs: Path, samples: list[Path]) -> None:  # type: ignore[no-untyped-def]
    before = {f: f.stat().st_mtime_ns for f in packs.rglob("*")}
    done = guidegen("build", samples[0], "-o", packs, "--json")
    assert done.returncode == 0, done.stderr
    assert {r["outcome"] for r in json.loads(done.stdout)} == {"up-to-date"}
    assert {f: f.stat().st_mtime_ns for f in packs.rglob("*")} == before


def test_same_bytes_on_any_computer(samples: list[Path], tmp_path: Path) -> None:
    """Another hash seed, time zone, language, folder and way of naming the file."""
    sample = samples[0]
    runs = {}
    for place, environment in {
        "a": {"PYTHONHASHSEED": "1", "TZ": "Pacific/Auckland", "LANG": "C", "LC_ALL": "C"},
        "ö b": {"PYTHONHASHSEED": "77", "TZ": "America/Anchorage", "LC_ALL": "C.UTF-8"},
    }.items():
        folder = tmp_path / place
        folder.mkdir()
        named = os.path.relpath(sample, folder) if place == "a" else str(sample)
        command = [sys.executable, "-m", "guidegen", "build", named]
        runs[folder / sample.stem] = subprocess.Popen(command, cwd=folder, env={**os.environ, **environment})
    assert [run.wait() for run in runs.values()] == [0, 0]
    first, second = ({f.name: f.read_bytes() for f in pack.iterdir()} for pack in runs)
    assert len(first) > len(DOCUMENTS)
    assert first == second


def test_date_of_the_build_environment_is_printed_when_the_file_has_none(
    guidegen,  # type: ignore[no-untyped-def]
    samples: list[Path],
    tmp_path: Path,
) -> None:
    lines = [li for li in samples[0].read_text().splitlines(True) if not li.startswith("printed:")]
    vehicle = tmp_path / "undated.yaml"
    vehicle.write_text("".join(lines))
    built = {}
    for epoch in ("1700000000", "1800000000"):
        done = guidegen("build", vehicle, "-o", tmp_path / epoch, "--only", "card", SOURCE_DATE_EPOCH=epoch)
        assert done.returncode == 0, done.stderr
        pack = tmp_path / epoch / samples[0].stem
        built[epoch] = {f.name: f.read_bytes() for f in pack.iterdir()}
    assert built["1700000000"].keys() == built["1800000000"].keys()
    assert built["1700000000"] != built["1800000000"]


def test_disk_that_takes_no_more_leaves_nothing(samples: list[Path], tmp_path: Path) -> None:
    """A limit on the size of files stands for the full disk."""
    resource = pytest.importorskip("resource")

    def limit() -> None:
        import signal

        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    command = [sys.executable, "-B", "-m", "guidegen", "build", str(samples[0]), "--only", "card"]
    command += ["-o", str(tmp_path / "out")]
    done = subprocess.run(command, capture_output=True, text=True, preexec_fn=limit)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert samples[0].stem in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_file_that_is_only_begun_makes_a_whole_pack(tmp_path: Path) -> None:
    """Four lines, no equipment and no point: every document is made of it or says that there is nothing."""
    file = tmp_path / "bare.yaml"
    file.write_text("id: bare\nname: Bare\nkind: campervan\nlayout: van-transverse-bed\n")
    report = build(file, tmp_path)
    assert report.outcome == "built", report.message
    left_out = {note.split()[0].removeprefix("bare-") for note in report.notes}
    made = {name for name in DOCUMENTS if (tmp_path / "bare" / f"bare-{name}.pdf").exists()}
    assert made == DOCUMENTS.keys() - left_out
    assert {"guide", "plan", "card"} <= made
