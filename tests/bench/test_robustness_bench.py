"""Broken descriptions and killed runs: no fault of the program, no partial file."""

from __future__ import annotations

import hashlib
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from guidegen import build, inspect
from guidegen.packs.report import EXIT_FAULT

pytestmark = pytest.mark.bench

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
FUZZED = int(os.environ.get("GUIDEGEN_FUZZED", "10000"))
KILLED = int(os.environ.get("GUIDEGEN_KILLED", "60"))
BUILT_ONE_IN = 20

NASTY = (
    "", "~", "no", "-1", "0", "1e999", ".nan", ".inf", "9" * 40, "'", '"', "[", "{", "]", "}", "- ", ": ",
    "#", "&a", "*a", "!!python/object:os.system", "|", ">", "%YAML 9.9", "---", "...", "\t", "\x00",
    "\x1b[31m", "\ufeff", "\u202e", "𝕏", "名前", "ﷺ", "é", "a" * 5000, "[" * 400, "{a: " * 200,
    "../../etc/passwd", "/dev/zero", "0 m", "-5 m", "1e9 m", "735", "7,35 m", "7.35 km", "99999 W",
    "0.0001 kW", "2026-02-30", "roof", "nearside", "Z99", "A1", "water-heater", "cab", "true", "null",
    "0x10", "1_000", "12:30:45", "http://", "C:\\van.jpg",
)  # fmt: skip


def mutants(count: int) -> Iterator[tuple[int, bytes]]:
    """Samples with one to six passages broken, by lines, by words and by bytes."""
    texts = [file.read_bytes() for file in sorted(SAMPLES.glob("*.yaml"))]
    for seed in range(count):
        chance = random.Random(seed)
        data = chance.choice(texts)
        for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
            data = chance.choice((_line, _word, _value, _byte, _number, _number, _number))(data, chance)
        yield seed, data


def _line(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True) or [b"\n"]
    at = chance.randrange(len(lines))
    other = lines[chance.randrange(len(lines))]
    change = chance.randrange(4)
    if change == 0:
        del lines[at]
    elif change == 1:
        lines.insert(at, other)
    elif change == 2:
        lines[at] = b" " * chance.randrange(1, 4) + lines[at]
    else:
        lines[at] = other
    return b"".join(lines)


def _word(data: bytes, chance: random.Random) -> bytes:
    words = list(re.finditer(rb"[\w.-]+", data))
    if not words:
        return data
    old, new = chance.choice(words), chance.choice(words)
    return data[: old.start()] + new.group() + data[old.end() :]


def _value(data: bytes, chance: random.Random) -> bytes:
    values = list(re.finditer(rb"(?<=: )[^,}\n]+", data))
    if not values:
        return data
    old = chance.choice(values)
    return data[: old.start()] + chance.choice(NASTY).encode() + data[old.end() :]


def _number(data: bytes, chance: random.Random) -> bytes:
    """A figure that is wrong, though not written wrongly."""
    old = chance.choice(list(re.finditer(rb"(?<=[ {\[])\d+(\.\d+)?(?= )", data)) or [re.match(b"", data)])
    factor = chance.choice((0, 0.1, 0.5, 0.9, 1.1, 2, 10, 1000))
    new = f"{float(old.group() or 1) * factor:.3g}".encode()
    return data[: old.start()] + new + data[old.end() :]


def _byte(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + chance.randrange(3) :]


def test_no_fault_of_the_program_in_fuzzed_descriptions(tmp_path: Path) -> None:
    """Every mutant is read and checked; one in twenty of the sound ones is built as well."""
    work, out = tmp_path / "work", tmp_path / "out"
    work.mkdir()
    for folder in (f for f in SAMPLES.iterdir() if f.is_dir()):
        shutil.copytree(folder, work / folder.name)
    file = work / "vehicle.yaml"
    faults: list[str] = []
    sound = built = 0
    for seed, data in mutants(FUZZED):
        file.write_bytes(data)
        try:
            review = inspect(file)
        except Exception as error:
            faults.append(f"seed {seed}: {type(error).__name__}: {error}")
            continue
        assert review.readable or review.findings, seed
        if review.readable and not review.has_errors:
            sound += 1
            if sound % BUILT_ONE_IN == 0:
                built += 1
                report = build(file, out, force=True)
                if report.exit_code == EXIT_FAULT:
                    faults.append(f"seed {seed}: {report.message}")
                assert not list(out.rglob(".guidegen-*")), seed
    print(f"\n{FUZZED} mutants, {sound} sound, {built} built, {len(faults)} faults")
    assert faults == []
    assert sound > FUZZED // 20
    assert sound < FUZZED * 0.9


def test_killed_runs_leave_whole_files_only(tmp_path: Path) -> None:
    """A build is killed at a random moment; what stands in the pack is the old or the new file, whole."""
    vehicle, out = tmp_path / "alder.yaml", tmp_path / "out"
    texts = [(SAMPLES / "alder.yaml").read_text()]
    texts.append(texts[0].replace("name: Alder", "name: Changed"))
    assert texts[0] != texts[1]
    whole: set[str] = set()
    started = time.perf_counter()
    for text in texts:
        vehicle.write_text(text)
        assert not build(vehicle, out).failed
        whole |= hashes(out / "alder")
    longest = time.perf_counter() - started
    chance = random.Random(1)
    command = [sys.executable, "-m", "guidegen", "build", str(vehicle), "-o", str(out), "--force"]
    killed = 0
    for turn in range(KILLED):
        vehicle.write_text(texts[turn % 2])
        process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
        try:
            process.wait(chance.uniform(0.3, 1.0) * longest)
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            process.wait()
            killed += 1
        assert hashes(out / "alder") <= whole, turn
    assert killed > KILLED // 4
    vehicle.write_text(texts[0])
    assert not build(vehicle, out).failed
    assert build(vehicle, out).outcome == "up-to-date"
    print(f"\n{killed} of {KILLED} runs killed")


def hashes(pack: Path) -> set[str]:
    return {
        hashlib.sha256(file.read_bytes()).hexdigest()
        for file in pack.iterdir()
        if not file.name.startswith(".guidegen")
    }
