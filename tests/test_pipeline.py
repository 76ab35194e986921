"""What a check of one description brings together: its rules, its characters, and its own orders and steps."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from guidegen import build, inspect

SAMPLE = (Path(__file__).parents[1] / "sample_vehicles" / "fern.yaml").read_text()


@pytest.mark.parametrize(
    ("block", "words"),
    [
        ("orders: {leave: [cylinder-close]}", "leaves out"),
        ("extra_steps: [{id: own, sequence: arrive, text: Look., before: [lead-stow]}]", "no step of arrive"),
        (
            "extra_steps: [{id: own, sequence: leave, text: Look., before: [drive], after: [drive]}]",
            "cannot come before",
        ),
        ("extra_steps: [{id: drive, sequence: leave, text: Look.}]", "drive"),
    ],
)
def test_orders_and_steps_that_cannot_be_are_errors_at_their_block(
    block: str, words: str, tmp_path: Path
) -> None:
    file = tmp_path / "fern.yaml"
    key = block.partition(":")[0]
    kept = [line for line in SAMPLE.splitlines() if not line.startswith(f"{key}:")]
    file.write_text("\n".join([*kept, block, ""]))
    errors = [f for f in inspect(file).findings if f.severity == "error"]
    assert errors, "an error"
    assert words in errors[0].message
    assert errors[0].mark.line >= len(kept) + 1


def test_findings_of_an_unreadable_file_and_its_characters_come_in_the_order_of_lines(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_text("id: a\nname: 名\nkind: boat\nowner: 名\n")
    review = inspect(file)
    assert not review.readable
    rules = [f.rule for f in review.findings if f.mark.line > 1]
    assert rules == ["character-undrawable", "value-unknown", "character-undrawable"]
    assert [f.mark.line for f in review.findings] == sorted(f.mark.line for f in review.findings)


def test_of_very_many_faults_the_first_are_listed_and_the_rest_counted(tmp_path: Path) -> None:
    file = tmp_path / "a.yaml"
    file.write_text("".join(f"key-{n}: 1\n" for n in range(5000)))
    findings = inspect(file).findings
    assert 100 < len(findings) < 1000
    assert "more faults" in " ".join(f.message for f in findings)


def test_what_is_too_large_for_its_place_is_shown_in_the_file(tmp_path: Path) -> None:
    file = tmp_path / "fern.yaml"
    word = "Donaudampfschifffahrt" * 9
    file.write_text(re.sub("^name: .*", f"name: {word}", SAMPLE, flags=re.MULTILINE))
    assert word in file.read_text()
    report = build(file, tmp_path / "out", only=["card"])
    assert report.exit_code == 1
    (finding,) = (f for f in report.findings if f.severity == "error")
    assert "shorten" in finding.message
    assert file.read_text().splitlines()[finding.mark.line - 1].startswith("name:")
    assert finding.mark.file == str(file)


@pytest.mark.parametrize(
    ("line", "name", "data", "words"),
    [
        ("photo: van.png", "van.png", b"\x89PNG\r\n\x1a\n and no more", "van.png"),
        (
            "dealer: {name: Firm, logo: l.svg}",
            "l.svg",
            b"<svg xmlns='http://www.w3.org/2000/svg'/>",
            "no shapes",
        ),
    ],
)
def test_a_picture_that_cannot_be_printed_is_shown_in_the_file(
    line: str, name: str, data: bytes, words: str, tmp_path: Path
) -> None:
    without = re.sub(r"(?m)^dealer:\n(?:  .*\n)+", "", SAMPLE)
    file = tmp_path / "fern.yaml"
    file.write_text(re.sub(r", photo: [^,}]*|, photo_[xy]: \d+", "", without) + line + "\n")
    (tmp_path / name).write_bytes(data)
    report = build(file, tmp_path / "out", only=["guide"])
    (finding,) = [f for f in report.findings if f.severity == "error"]
    assert finding.rule == "picture-unusable"
    assert words in finding.message
    assert finding.mark.line == len(file.read_text().splitlines())
    assert not (tmp_path / "out").exists()
