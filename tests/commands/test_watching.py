"""Building again on every save: what goes wrong in between is told, and the watching goes on."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.cli import run
from guidegen.commands import building

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "alder.yaml"
Saved = Callable[[], object]


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Has the library of watching see each of the changes in its turn, then be interrupted."""

    def see(*changes: tuple[str, Saved]) -> None:
        def watch(
            *folders: Path, watch_filter: Callable[[object, str], bool], **_: object
        ) -> Iterator[set[object]]:
            yield set()
            for name, change in changes:
                change()
                yield set()
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


def test_a_save_during_the_first_build_is_not_lost(
    watched: Callable[..., None],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The watching has begun before the first build has."""
    folder = tmp_path / "vans"
    folder.mkdir()
    (folder / "alder.yaml").write_text(SAMPLE.read_text())
    begun: list[str] = []
    watched(("alder.yaml", lambda: begun.append("watching")))
    real = building.run
    monkeypatch.setattr(building, "run", lambda job: begun.append("build") or real(job))
    lines_of(folder, tmp_path / "out", capsys)
    assert begun == ["build", "watching", "build"]


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_real_saves_and_a_real_interruption(tmp_path: Path) -> None:
    """With the library itself: a save over a rename as editors do it, then Ctrl-C in the midst of a batch."""
    pytest.importorskip("watchfiles")
    folder, text = tmp_path / "vans", SAMPLE.read_text()
    folder.mkdir()
    for n in range(3):
        (folder / f"van-{n}.yaml").write_text(text.replace("id: alder", f"id: van-{n}"))
    command = [sys.executable, "-m", "guidegen", "build", str(folder), "-o", str(folder / "print")]
    options = ["--only", "survey", "--jobs", "2", "--watch"]
    with subprocess.Popen(
        [*command, *options], stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        assert process.stderr
        said = iter(process.stderr.readline, "")
        assert any("watching" in line for line in said)
        new = folder / ".van-0.yaml.new"
        new.write_text((folder / "van-0.yaml").read_text().replace("Alder 735", "Alder 736"))
        os.replace(new, folder / "van-0.yaml")
        assert "built" in next(line for line in said if "van-0" in line)
        assert any("3 vehicles" in line for line in said)
        for n in range(3):
            file = folder / f"van-{n}.yaml"
            file.write_text(file.read_text().replace("Alder 73", "Alder 74"))
        assert any("van-" in line for line in said)
        os.killpg(process.pid, signal.SIGINT)
        assert [line for line in said if "Traceback" in line or "Interrupt" in line] == []
    assert process.returncode == 130
    for pack in (folder / "print").iterdir():
        assert sorted(f.name for f in pack.iterdir()) == [".guidegen.json", f"{pack.name}-survey.pdf"]


def test_a_folder_that_is_not_there_is_not_watched(
    watched: Callable[..., None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    watched()
    assert run(["build", str(tmp_path / "none" / "alder.yaml"), "-o", str(tmp_path), "--watch"]) == 2
    assert f"{tmp_path / 'none'}: there is no such" in capsys.readouterr().err
