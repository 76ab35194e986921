"""A batch killed at any moment leaves whole files only, and the next run completes it."""

from __future__ import annotations

import json
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


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="POSIX")
def test_killed_batches_leave_whole_files_and_a_rerun_completes_them(tmp_path: Path) -> None:
    folder, out = tmp_path / "Wohnmobile für Łódź", tmp_path / "out put"
    folder.mkdir()
    text = (SAMPLES / "fern.yaml").read_text()
    for pictures in (f for f in SAMPLES.iterdir() if f.is_dir()):
        shutil.copytree(pictures, folder / pictures.name)
    for n in range(3):
        (folder / f"van {n}.yaml").write_text(text.replace("id: fern", f"id: van-{n}"))
    command = [
        sys.executable,
        "-m",
        "guidegen",
        "build",
        str(folder),
        "-o",
        str(out),
        "--only",
        "card,survey",
    ]
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    longest = time.perf_counter() - start
    shutil.rmtree(out)
    chance = random.Random(1)
    for _ in range(KILLED):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            process.wait(chance.uniform(0.2, 1.0) * longest)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
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
