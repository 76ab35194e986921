"""How fast: the commands from a cold start, and a fleet on one core and on two."""

from __future__ import annotations

import os
import re
import resource
import shutil
import statistics
import subprocess
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pytest

from guidegen import build_many

pytestmark = pytest.mark.bench

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "larch.yaml"
FLEET = int(os.environ.get("GUIDEGEN_FLEET", "1000"))


def seconds(*arguments: str, cwd: Path, runs: int = 7) -> tuple[float, float]:
    """The median times of a command from a cold start: by the clock, and of the processor.

    Its bytecode is there already, as it is where a package is installed.
    """
    variables = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    variables["PYTHONPYCACHEPREFIX"] = str(cwd / "bytecode")
    clock, processor = [], []
    for run in range(runs + 1):
        used, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        command = [sys.executable, "-m", "guidegen", *arguments]
        subprocess.run(command, check=True, capture_output=True, cwd=cwd, env=variables)
        if run:  # the first one writes the bytecode
            now = resource.getrusage(resource.RUSAGE_CHILDREN)
            clock.append(time.perf_counter() - start)
            processor.append(now.ru_utime + now.ru_stime - used.ru_utime - used.ru_stime)
    return statistics.median(clock), statistics.median(processor)


@pytest.mark.parametrize(
    ("command", "more", "bar_s"),
    [("check", [], 0.3), ("card", ["-o", "card.pdf"], 0.4), ("build", ["--force"], 0.8)],
)
def test_cold_start(command: str, more: list[str], bar_s: float, tmp_path: Path) -> None:
    took, processor = seconds(command, str(SAMPLE), *more, cwd=tmp_path)
    print(f"\n{command}: {took:.2f} s by the clock, {processor:.2f} s of the processor; bar {bar_s} s")
    assert took <= bar_s


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("fleet")
    for pictures in (f for f in SAMPLE.parent.iterdir() if f.is_dir()):
        shutil.copytree(pictures, folder / pictures.name)
    texts = [file.read_text() for file in sorted(SAMPLE.parent.glob("*.yaml"))]
    files = [folder / f"van-{n}.yaml" for n in range(FLEET)]
    for n, file in enumerate(files):
        text = re.sub(r"^id: .*", f"id: van-{n}", texts[n % len(texts)], count=1, flags=re.MULTILINE)
        file.write_text(moved(text, n // len(texts)))
    return files


def moved(text: str, turn: int) -> str:
    """One point of the vehicle moved by a few centimetres, another one each turn, so that no plan repeats."""
    places = list(re.finditer(r"from_front: (\d+\.\d+) m", text))
    if not places or not turn:
        return text
    place = places[turn % len(places)]
    return f"{text[: place.start(1)]}{float(place[1]) + 0.01 * (turn % 9 + 1):.2f}{text[place.end(1) :]}"


def test_fleet_on_two_cores(fleet: list[Path], tmp_path: Path) -> None:
    """At least 1.8 times as fast as on one."""
    few = fleet[: max(18, len(fleet) // 10)]
    start = time.perf_counter()
    assert not any(r.failed for r in build_many(few, tmp_path / "one"))
    one = (time.perf_counter() - start) / len(few)
    start = time.perf_counter()
    with ProcessPoolExecutor(2) as pool:
        assert not any(r.failed for r in build_many(fleet, tmp_path / "two", executor=pool))
    two = (time.perf_counter() - start) / len(fleet)
    print(f"\n{'workers':>8} {'vehicles':>9} {'s each':>8} {'ratio':>6}")
    print(f"{1:>8} {len(few):>9} {one:>8.3f} {1.0:>6.2f}")
    print(f"{2:>8} {len(fleet):>9} {two:>8.3f} {one / two:>6.2f}")
    assert one / two >= 1.8


def test_memory_is_flat_after_the_fiftieth(fleet: list[Path], tmp_path: Path) -> None:
    """The memory held by one process while it builds one vehicle after another."""
    held: list[tuple[int, float]] = []
    for number, report in enumerate(build_many(fleet, tmp_path), 1):
        assert not report.failed, report.message
        if number == 1 or number % 25 == 0:
            held.append((number, held_mb()))
    print("\nvehicles built: MB held")
    print("  ".join(f"{number}: {mb:.0f}" for number, mb in held))
    fiftieth = next(mb for number, mb in held if number >= 50)
    assert max(mb for number, mb in held if number >= 50) <= fiftieth * 1.1


def held_mb() -> float:
    """Resident memory now (proc(5), field 2 of statm)."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 1e6
