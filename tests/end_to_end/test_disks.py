"""Disks that are full or read-only: a plain message, and what was there stays whole."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "fern.yaml"


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Callable[[str], Path]]:
    """disk("size=64k"): an empty file system in memory, or the same one remounted. Needs the right to mount."""
    place = tmp_path / "disk"
    place.mkdir()

    def mounted(options: str) -> Path:
        command = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)]
        if not shutil.which("mount") or subprocess.run(command, capture_output=True).returncode:
            pytest.skip("no right to mount a file system here")
        return place

    yield mounted
    subprocess.run(["umount", str(place)], capture_output=True)


def test_a_full_disk_leaves_nothing_behind(guidegen, disk: Callable[[str], Path]) -> None:  # type: ignore[no-untyped-def]
    place = disk("size=16k")
    done = guidegen("build", SAMPLE, "-o", place / "print", "--only", "survey")
    assert done.returncode == 2
    assert "the disk is full" in done.stderr
    assert "Traceback" not in done.stderr
    assert list(place.iterdir()) == []


def test_a_disk_that_fills_up_leaves_the_old_pack_whole(guidegen, disk: Callable[[str], Path]) -> None:  # type: ignore[no-untyped-def]
    place = disk("size=200k")
    arguments = ("build", SAMPLE, "-o", place, "--only", "survey")
    assert guidegen(*arguments).returncode == 0
    before = {f: f.read_bytes() for f in place.rglob("*.*") if f.is_file()}
    filling = place / "filling"
    with filling.open("wb", buffering=0) as stream, pytest.raises(OSError, match="No space"):
        while True:
            stream.write(bytes(1024))
    done = guidegen(*arguments, "--force")
    assert done.returncode == 2
    assert "the disk is full" in done.stderr
    filling.unlink()
    assert {f: f.read_bytes() for f in place.rglob("*.*") if f.is_file()} == before


def test_a_read_only_folder_is_said(guidegen, disk: Callable[[str], Path]) -> None:  # type: ignore[no-untyped-def]
    place = disk("size=64k,ro")
    for arguments in (
        ("build", SAMPLE, "-o", place, "--only", "survey"),
        ("build", SAMPLE, "-o", place / "new" / "deep", "--only", "survey"),
        ("survey", SAMPLE, "-o", place / "survey.pdf"),
    ):
        done = guidegen(*arguments)
        assert done.returncode == 2, done
        assert "read-only" in done.stderr
        assert str(place) in done.stderr
        assert "Traceback" not in done.stderr
