"""Broken descriptions and killed runs: no fault of the program, no partial file."""

from __future__ import annotations

import hashlib
import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from types import ModuleType

import pytest

from guidegen import build, inspect
from guidegen.packs.report import EXIT_FAULT
from guidegen.vehicle.layout_reading import read_layout

pytestmark = pytest.mark.bench

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
FUZZED = int(os.environ.get("GUIDEGEN_FUZZED", "10000"))
FIRST_SEED = int(os.environ.get("GUIDEGEN_FIRST_SEED", "0"))
KILLED = int(os.environ.get("GUIDEGEN_KILLED", "200"))
BUILT = int(os.environ.get("GUIDEGEN_BUILT", "500"))
NAMES = ("Fern", "Changed")
FEW = "card,survey,check-sheet,stickers"  # so that killing hits the writing more often than a long guide
LONGEST_S = 5.0  # of processor time, for one description


def test_no_fault_of_the_program_in_fuzzed_descriptions(
    descriptions_by_chance: ModuleType, tmp_path: Path
) -> None:
    """Every seed is read and checked; the first sound ones are built as whole packs."""
    work, out = tmp_path / "work", tmp_path / "out"
    work.mkdir()
    list(descriptions_by_chance.pictures(work))
    file = work / "vehicle.yaml"
    faults: list[str] = []
    took: list[tuple[float, str]] = []
    refusals: Counter[str] = Counter()
    sound = built = 0
    for seed in range(FIRST_SEED, FIRST_SEED + FUZZED):
        if seed % 500 == 0:  # for whoever stops a long run
            print(f"seed {seed}: {sound} sound, {built} built, faults: {faults}", flush=True)
        file.write_bytes(descriptions_by_chance.by_chance(seed))
        start = time.process_time()
        try:
            review = inspect(file)
        except Exception as error:
            faults.append(f"seed {seed}: {type(error).__name__}: {error}")
            continue
        took.append((time.process_time() - start, f"check of seed {seed}"))
        if not review.readable and not review.has_errors:
            faults.append(f"seed {seed}: unreadable without a finding")
        if not review.readable or review.has_errors:
            continue
        sound += 1
        if built == BUILT:
            continue
        built += 1
        start = time.process_time()
        report = build(file, out, force=True)
        took.append((time.process_time() - start, f"build of seed {seed}"))
        if report.exit_code == EXIT_FAULT:
            faults.append(f"seed {seed}: {report.message}")
        elif report.failed:
            refusals[re.sub(r"[\d.]+|“.*?”", "…", report.message)[:100]] += 1
        if list(out.rglob("*.tmp")):
            faults.append(f"seed {seed}: a partial file")
        shutil.rmtree(out, ignore_errors=True)
    took.sort(reverse=True)
    print(
        f"\nseeds {FIRST_SEED} to {FIRST_SEED + FUZZED - 1}: {sound} sound, {built} built, {len(faults)} faults"
    )
    print("slowest:", "; ".join(f"{what} {seconds:.1f} s" for seconds, what in took[:5]))
    for message, count in refusals.most_common():
        print(f"{count:5} refused: {message}")
    assert faults == []
    assert FUZZED // 20 < sound < FUZZED * 0.9
    assert took[0][0] <= LONGEST_S, f"{sum(s > LONGEST_S for s, _ in took)} took longer"


@pytest.mark.parametrize("spread", ["anywhere", "on furniture", "in crowds"])
def test_no_number_of_points_takes_long(spread: str, tmp_path: Path) -> None:
    """Packs of 84 to 400 points, the most that a description holds: built, or refused in words; no time for more."""
    layout = read_layout("coachbuilt-rear-lounge")
    file, text, took = tmp_path / "vehicle.yaml", (SAMPLES / "alder.yaml").read_text().rstrip(), []
    room = 400 - text.count("  - {kind")
    for count in (10, 30, 60, 100, 140, 180, 220, 260, 300, room):
        chance = random.Random(f"{spread} {count}")
        middles = [chance.choice(layout.furniture).area.centre for _ in range(1 + count // 8)]
        lines = [text]
        for n in range(count):
            x, y = chance.uniform(0, layout.length), chance.uniform(0, layout.width)
            if spread == "on furniture":
                area = chance.choice(layout.furniture).area
                x, y = area.x + chance.random() * area.length, area.y + chance.random() * area.width
            elif spread == "in crowds":
                x, y = (c + chance.gauss(0, 120) for c in middles[n % len(middles)])
            x, y = min(max(x, 50), layout.length - 50), min(max(y, 50), layout.width - 50)
            lines.append(f"  - {{kind: torch, id: more-{n}, x: {x:.0f} mm, y: {y:.0f} mm, height: low}}")
        file.write_text("\n".join(lines) + "\n")
        start = time.process_time()
        report = build(file, tmp_path / "out", force=True)
        took.append((time.process_time() - start, count))
        assert report.outcome == "built" or report.exit_code == 1 and "points are too many" in report.message
    print(f"\n{spread}:", "; ".join(f"{count} points {seconds:.1f} s" for seconds, count in took))
    assert max(took)[0] <= LONGEST_S


def test_killed_batches_leave_whole_files_only(tmp_path: Path) -> None:
    """A batch is killed at a random moment; every file is the old or the new one, whole; a rerun completes."""
    folder, out = tmp_path / "fleet", tmp_path / "out"
    folder.mkdir()
    text = (SAMPLES / "fern.yaml").read_text()
    for pictures in (f for f in SAMPLES.iterdir() if f.is_dir()):
        shutil.copytree(pictures, folder / pictures.name)

    def described(name: str) -> None:
        for n in range(3):
            renamed = re.sub("^name: .*", f"name: {name}", text, flags=re.MULTILINE)
            (folder / f"van-{n}.yaml").write_text(renamed.replace("id: fern", f"id: van-{n}"))

    command = [
        sys.executable,
        "-m",
        "guidegen",
        "build",
        str(folder),
        "-o",
        str(out),
        "--only",
        FEW,
        "--force",
    ]
    whole: set[str] = set()
    for name in NAMES:
        described(name)
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        longest = time.perf_counter() - start
        whole |= hashes(out)
    chance = random.Random(1)
    killed = 0
    for turn in range(KILLED):
        described(NAMES[turn % 2])
        start = time.perf_counter()
        process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
        try:
            process.wait(chance.uniform(0.3, 1.0) * longest)
            longest = time.perf_counter() - start
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            process.wait()
            killed += 1
        assert hashes(out) <= whole, turn
    assert killed > KILLED // 2
    described(NAMES[0])
    done = subprocess.run([*command, "--json"], check=True, capture_output=True, text=True)
    assert {report["outcome"] for report in json.loads(done.stdout)} == {"built"}
    done = subprocess.run([*command[:-1], "--json"], check=True, capture_output=True, text=True)
    assert {report["outcome"] for report in json.loads(done.stdout)} == {"up-to-date"}
    print(f"\n{killed} of {KILLED} batches killed, each file whole after each")


def hashes(folder: Path) -> set[str]:
    """Of all files but the hidden ones, which a worker may still be writing."""
    return {
        hashlib.sha256(file.read_bytes()).hexdigest()
        for file in folder.rglob("*.*")
        if not file.name.startswith(".guidegen") and file.is_file()
    }
