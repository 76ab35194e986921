"""Building again on every save: what goes wrong in between is told, and the watching goes on."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.cli import run

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "alder.yaml"
Saved = Callable[[], object]


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Has the library of watching see each of the changes in its turn, then be interrupted."""

    def see(*changes: tuple[str, Saved]) -> None:
        def watch(
            *folders: Path, watch_filter: Callable[[object, str], bool], **_: object
        ) -> Iterator[set[object]]:
            for name, change in changes:
                change()
                if any(watch_filter("modified", str(folder / name)) for folder in folders):
                    yield {("modified", name)}
            raise KeyboardInterrupt

        library = ModuleType("watchfiles")
        library.watch = watch  # type: ignore[attr-defined]
        monkeypatch.setitem(sys.modules, "watchfiles", library)

    return see


def lines_of(folder: Path, output: Path, capsys: pytest.CaptureFixture[str]) -> list[str]:
    assert run(["build", str(folder), "-o", str(output), "--only", "survey", "--jobs", "1", "--watch"]) == 130
    said = capsys.readouterr()
    return [line.split()[0] for line in (said.out + said.err).splitlines() if line.strip() and line[0] != " "]


def test_each_save_builds_again_whatever_became_of_the_last_one(
    watched: Callable[..., None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, text = tmp_path / "vans", SAMPLE.read_text()
    folder.mkdir()
    file = folder / "alder.yaml"
    file.write_text(text)
    watched(
        (file.name, lambda: file.write_text(text.replace("name: ", "name: New ", 1))),
        (file.name, lambda: file.write_text(text + "points: [")),
        (file.name, file.unlink),
        (file.name, lambda: file.write_text(text)),
    )
    told = lines_of(folder, tmp_path / "out", capsys)
    assert told == ["built", "watching", "built", "failed", "error:", "guidegen:", "built", "guidegen:"]


def test_only_what_a_pack_is_made_from_counts(
    watched: Callable[..., None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "vans"
    folder.mkdir()
    (folder / "alder.yaml").write_text(SAMPLE.read_text())
    others = ("notes.txt", "alder/alder-plan.svg", "alder.yaml.swp")
    inputs = ("logo.svg", "photo.JPG", "photo.webp")
    watched(*((name, lambda: None) for name in others + inputs))
    told = lines_of(folder, folder, capsys)
    assert told == ["built", "watching", *["up-to-date"] * len(inputs), "guidegen:"]
