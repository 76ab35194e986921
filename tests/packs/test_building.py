"""A pack: built once, left alone while nothing changed, untouched when something fails."""

from __future__ import annotations

import gc
import json
import sys
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.documents.context import Options
from guidegen.errors import GuidegenError
from guidegen.packs.building import build

pytestmark = pytest.mark.usefixtures("tiny_documents")

FILES = {"alder-note.pdf", "alder-sketch.pdf", "alder-sketch.svg"}


def contents(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_pack_is_the_folder_named_after_the_id(alder: Path, tmp_path: Path) -> None:
    report = build(alder, tmp_path / "out")
    assert (report.outcome, report.exit_code, report.id) == ("built", 0, "alder")
    assert report.folder == tmp_path / "out" / "alder"
    assert set(report.written) == FILES
    made = contents(tmp_path / "out" / "alder")
    assert made.keys() == FILES | {".guidegen.json"}
    assert made["alder-note.pdf"].startswith(b"%PDF-")
    assert b"Alder 735" in made["alder-sketch.svg"]


def test_second_build_changes_nothing(alder: Path, tmp_path: Path) -> None:
    build(alder, tmp_path)
    before = {f: f.stat().st_mtime_ns for f in (tmp_path / "alder").iterdir()}
    report = build(alder, tmp_path)
    assert (report.outcome, report.written, report.kept) == ("up-to-date", (), ("note", "sketch"))
    assert {f: f.stat().st_mtime_ns for f in (tmp_path / "alder").iterdir()} == before


def test_force_builds_again(alder: Path, tmp_path: Path) -> None:
    build(alder, tmp_path)
    assert set(build(alder, tmp_path, force=True).written) == FILES


def test_only_builds_what_is_named_and_the_rest_later(alder: Path, tmp_path: Path) -> None:
    assert build(alder, tmp_path, only=["note"]).written == ("alder-note.pdf",)
    report = build(alder, tmp_path)
    assert report.kept == ("note",)
    assert set(report.written) == {"alder-sketch.pdf", "alder-sketch.svg"}


def test_unknown_document_names_those_that_are(alder: Path) -> None:
    with pytest.raises(ValueError, match="“poster”; there are: note, sketch"):
        build(alder, only=["poster"])


@pytest.mark.parametrize(
    "change",
    [
        lambda file, pack: file.write_text(file.read_text().replace("Alder 735", "Alder 736")),
        lambda file, pack: (pack / "alder-note.pdf").write_bytes(b"damaged"),
        lambda file, pack: (pack / "alder-note.pdf").unlink(),
        lambda file, pack: (pack / ".guidegen.json").unlink(),
        lambda file, pack: (pack / ".guidegen.json").write_text("[]"),
        lambda file, pack: (pack / ".guidegen.json").write_text("[" * 100_000),
    ],
    ids=["the description", "a damaged file", "a lost file", "the state", "a strange state", "a deep state"],
)
def test_a_change_is_noticed(change, alder: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    build(alder, tmp_path)
    change(alder, tmp_path / "alder")
    assert "alder-note.pdf" in build(alder, tmp_path).written
    assert build(alder, tmp_path).outcome == "up-to-date"


def test_other_printing_options_and_another_program_make_it_stale(
    alder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(alder, tmp_path)
    assert build(alder, tmp_path, options=Options(duplex="long")).outcome == "built"
    monkeypatch.setattr("guidegen.packs.freshness.program_hash", lambda: "another version")
    assert build(alder, tmp_path, options=Options(duplex="long")).outcome == "built"


def test_a_changed_photo_makes_it_stale(alder: Path, tmp_path: Path) -> None:
    photo = alder.parent / "pump switch.png"
    photo.write_bytes(b"\x89PNG\r\n\x1a\nfirst")
    alder.write_text("photo: pump switch.png\n" + alder.read_text())
    build(alder, tmp_path)
    assert build(alder, tmp_path).outcome == "up-to-date"
    photo.write_bytes(b"\x89PNG\r\n\x1a\nsecond")
    assert build(alder, tmp_path).outcome == "built"


def test_state_names_no_place_of_this_computer(alder: Path, tmp_path: Path) -> None:
    build(alder, tmp_path)
    state = (tmp_path / "alder" / ".guidegen.json").read_text()
    assert set(json.loads(state)["documents"]) == {"note", "sketch"}
    assert str(tmp_path) not in state


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (GuidegenError("shorten the name of point 7"), 1, "shorten the name of point 7"),
        (OSError(28, "x", "alder-note.pdf"), 2, "disk is full"),
        (ZeroDivisionError(), 3, "please report"),
    ],
)
def test_failure_in_one_document_leaves_the_old_pack(
    error: Exception,
    code: int,
    words: str,
    alder: Path,
    tmp_path: Path,
    tiny_documents: ModuleType,
) -> None:
    build(alder, tmp_path)
    before = contents(tmp_path / "alder")
    alder.write_text(alder.read_text().replace("Alder 735", "Alder 736"))
    calls = []

    def fail_second(context: object) -> object:
        calls.append(context)
        if len(calls) > 1:
            raise error
        return compose(context)

    compose, tiny_documents.compose = tiny_documents.compose, fail_second
    report = build(alder, tmp_path)
    assert (report.outcome, report.exit_code) == ("failed", code)
    assert words in report.message
    assert len(calls) == 2
    assert contents(tmp_path / "alder") == before


def test_failure_of_a_first_build_leaves_no_folder(
    alder: Path, tmp_path: Path, tiny_documents: ModuleType
) -> None:
    def fail(context: object) -> None:
        raise GuidegenError("no")

    tiny_documents.compose = fail
    assert build(alder, tmp_path / "out").failed
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("usual", "fails"), [(700, False), (700, True), (0, False), (10**6, False)])
def test_rubbish_is_looked_for_seldom_while_a_pack_is_built_and_then_as_before(
    usual: int, fails: bool, alder: Path, tmp_path: Path, tiny_documents: ModuleType
) -> None:
    compose, before, within = tiny_documents.compose, gc.get_threshold(), []

    def watched(context: object) -> object:
        within.append(gc.get_threshold()[0])
        if fails:
            raise ZeroDivisionError
        return compose(context)

    tiny_documents.compose = watched
    try:
        gc.set_threshold(usual, 10, 10)
        assert build(alder, tmp_path).failed is fails
        assert gc.get_threshold() == (usual, 10, 10)
    finally:
        gc.set_threshold(*before)
    assert within and all(seen == 0 if usual == 0 else seen >= 50_000 for seen in within)


def test_errors_of_the_description_stop_its_printing(alder: Path, tmp_path: Path) -> None:
    alder.write_text(alder.read_text().replace("gas: 5.2 kW, ", ""))  # a hob with no energy
    report = build(alder, tmp_path / "out")
    assert (report.outcome, report.exit_code) == ("failed", 1)
    assert any(f.severity == "error" and f.mark.line for f in report.findings)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("text", ["", "- a list", "id: [", "id: x\x00", "\xff\xfe"])
def test_unreadable_description(text: str, alder: Path, tmp_path: Path) -> None:
    alder.write_bytes(text.encode("latin-1"))
    report = build(alder, tmp_path / "out")
    assert (report.outcome, report.exit_code) == ("failed", 2)
    assert report.findings
    assert not (tmp_path / "out").exists()


def test_missing_description_and_a_folder_in_its_place(tmp_path: Path) -> None:
    for path in (tmp_path / "none.yaml", tmp_path):
        report = build(path, tmp_path / "out")
        assert (report.outcome, report.exit_code) == ("failed", 2)


def test_document_with_nothing_to_print_is_left_out_and_that_is_remembered(
    alder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from guidegen.documents.registry import DOCUMENTS, Entry
    from guidegen.errors import NothingToPrint

    empty = ModuleType("empty_document")

    def nothing(context: object) -> None:
        raise NothingToPrint("there is no point")

    empty.compose = nothing  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "empty_document", empty)
    monkeypatch.setitem(DOCUMENTS, "sketch", Entry("empty_document", ""))  # type: ignore[arg-type]
    report = build(alder, tmp_path)
    assert (report.outcome, report.exit_code, report.written) == ("built", 0, ("alder-note.pdf",))
    assert report.notes == ("alder-sketch was left out: there is no point",)
    assert build(alder, tmp_path).outcome == "up-to-date"
