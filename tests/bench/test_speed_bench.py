"""How fast: the commands from a cold start, and a fleet on one core and on two."""

from __future__ import annotations

import os
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


def seconds(*arguments: str, cwd: Path, runs: int = 7) -> float:
    """The median time of a command from a cold start."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        command = [sys.executable, "-m", "guidegen", *arguments]
        subprocess.run(command, check=True, capture_output=True, cwd=cwd)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


@pytest.mark.parametrize(
    ("command", "more", "bar_s"),
    [("check", [], 0.3), ("card", ["-o", "card.pdf"], 0.4), ("build", ["--force"], 0.8)],
)
def test_cold_start(command: str, more: list[str], bar_s: float, tmp_path: Path) -> None:
    took = seconds(command, str(SAMPLE), *more, cwd=tmp_path)
    print(f"\n{command}: {took:.2f} s")
    assert took <= bar_s


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("fleet")
    for pictures in (f for f in SAMPLE.parent.iterdir() if f.is_dir()):
        shutil.copytree(pictures, folder / pictures.name)
    text = SAMPLE.read_text()
    files = [folder / f"van-{n}.yaml" for n in range(FLEET)]
    for n, file in enumerate(files):
        file.write_text(text.replace("id: larch", f"id: van-{n}", 1).replace("MH-", f"MH-{n}", 1))
    return files


def test_fleet_on_two_cores(fleet: list[Path], tmp_path: Path) -> None:
    """At least 1.8 times as fast as on one."""
    few = fleet[: max(20, len(fleet) // 10)]
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
