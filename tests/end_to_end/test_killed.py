"""A batch killed at any moment leaves whole files only, and the next run completes it."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pypdf
import pytest

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
KILLED = 4


pytestmark = pytest.mark.skipif(not hasattr(os, "killpg"), reason="POSIX")


def building(place: Path, out: Path) -> list[str]:
    only = ("--only", "card,survey")
    return [sys.executable, "-m", "guidegen", "build", str(place), "-o", str(out), "--jobs", "2", *only]


def kill_after(seconds: float, command: list[str]) -> None:
    """Kills the first process of the command outright, and waits until its workers have ended too."""
    process = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
    until = time.monotonic() + 20
    while time.monotonic() < until:
        try:
            os.killpg(process.pid, 0)
        except ProcessLookupError:
            return
        time.sleep(0.05)
    os.killpg(process.pid, signal.SIGKILL)
    pytest.fail("workers outlive the process that they work for")


def test_killed_batches_leave_whole_files_and_a_rerun_completes_them(tmp_path: Path) -> None:
    folder, out = tmp_path / "Wohnmobile für Łódź", tmp_path / "out put"
    folder.mkdir()
    text = (SAMPLES / "fern.yaml").read_text()
    for pictures in (f for f in SAMPLES.iterdir() if f.is_dir()):
        shutil.copytree(pictures, folder / pictures.name)
    for n in range(3):
        (folder / f"van {n}.yaml").write_text(text.replace("id: fern", f"id: van-{n}"))
    command = building(folder, out)
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    longest = time.perf_counter() - start
    shutil.rmtree(out)
    chance = random.Random(1)
    for _ in range(KILLED):
        kill_after(chance.uniform(0.3, 1.0) * longest, command)
        for file in out.rglob("*.*"):
            if file.suffix == ".pdf":
                assert len(pypdf.PdfReader(file, strict=True).pages) > 0
            elif file.name == ".guidegen.json":
                json.loads(file.read_text())
        if chance.random() < 0.5:
            shutil.rmtree(out, ignore_errors=True)
    subprocess.run(command, check=True, capture_output=True)
    made = {file.name for file in out.rglob("*.pdf")}
    assert made == {f"van-{n}-{name}.pdf" for n in range(3) for name in ("card", "survey")}


def test_the_fork_of_a_single_build_ends_with_it(tmp_path: Path) -> None:
    command = building(SAMPLES / "fern.yaml", tmp_path)
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    longest = time.perf_counter() - start
    for share in (0.6, 0.8, 0.9):
        kill_after(share * longest, [*command, "--force"])
