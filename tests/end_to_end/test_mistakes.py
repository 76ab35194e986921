"""A person's mistakes end with a plain message, the right code, and no half-made file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest


def broken(sample: Path, folder: Path, old: str, new: str) -> Path:
    """A copy of the sample with one passage changed, in a folder with blanks and accents."""
    text = sample.read_text()
    assert old in text
    folder = folder / "Müllers Wagen"
    folder.mkdir(exist_ok=True)
    file = folder / "my van.yaml"
    file.write_text(text.replace(old, new, 1))
    return file


@pytest.mark.parametrize(
    ("old", "new", "code", "words"),
    [
        ("length: 7.35 m", "length: 735", 2, ["no unit", "^^^"]),
        ("kind: motorhome", "kind: motorhme", 2, ["motorhome"]),
        ("equipment:", "equipmint:", 2, ["hint:", "equipment"]),
        ("kind: fresh-filler", "kind: fresh-filer", 2, ["fresh-filler"]),
        ("layout: coachbuilt-rear-lounge", "layout: coachbuilt-rear-lunge", 2, ["coachbuilt-rear-lounge"]),
        ("id: alder", "id: @alder", 2, ["YAML"]),
        ("hob: {burners: 3, gas: 5.2 kW,", "hob: {burners: 3,", 1, ["hob"]),
    ],
)
def test_mistake_in_a_description(
    guidegen,  # type: ignore[no-untyped-def]
    samples: list[Path],
    tmp_path: Path,
    old: str,
    new: str,
    code: int,
    words: list[str],
) -> None:
    sample = next(s for s in samples if s.stem == "alder")
    file = broken(sample, tmp_path, old, new)
    checked = guidegen("check", file)
    assert checked.returncode == code, checked.stderr
    assert all(word in checked.stdout for word in words), checked.stdout
    line = next(n for n, text in enumerate(file.read_text().splitlines(), 1) if new in text)
    assert re.search(rf"^error: .*my van\.yaml:{line}:\d+: ", checked.stdout, re.MULTILINE), checked.stdout
    assert checked.stderr == ""

    built = guidegen("build", file, "-o", tmp_path / "out")
    assert built.returncode == code
    assert "Traceback" not in built.stderr
    assert not (tmp_path / "out").exists()


def test_one_broken_description_does_not_stop_the_others(
    guidegen,  # type: ignore[no-untyped-def]
    samples: list[Path],
    tmp_path: Path,
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("id: bad\n")
    done = guidegen(
        "build", bad, samples[0], tmp_path / "none.yaml", "-o", tmp_path / "out", "--only", "card"
    )
    assert done.returncode == 2
    assert done.stderr.count("failed") >= 2
    assert "3 vehicles in" in done.stderr
    assert [f.name for f in (tmp_path / "out").iterdir()] == [samples[0].stem]


@pytest.mark.parametrize("command", ["check", "build", "numbers"])
def test_unreadable_files(guidegen, command: str, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    binary = tmp_path / "photo.yaml"
    binary.write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00")
    for path in (tmp_path / "no such file.yaml", tmp_path / "photo.yaml"):
        done = guidegen(command, path)
        assert done.returncode == 2
        assert path.name in done.stdout + done.stderr
        assert "Traceback" not in done.stderr


def test_output_that_cannot_be_a_folder(guidegen, samples: list[Path], tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    (tmp_path / "out").write_text("mine")
    done = guidegen("build", samples[0], "-o", tmp_path / "out")
    assert done.returncode == 2
    assert "not a folder" in done.stderr
    assert (tmp_path / "out").read_text() == "mine"


def test_no_colour_where_nobody_sees_it(guidegen, samples: list[Path]) -> None:  # type: ignore[no-untyped-def]
    for variables in ({}, {"NO_COLOR": "1"}, {"LC_ALL": "C", "PYTHONIOENCODING": "ascii"}):
        done = guidegen("check", samples[0], **variables)
        assert done.returncode == 0, done.stderr
        assert "\x1b" not in done.stdout + done.stderr
