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
    """At least 1.8 times as fast as on one; the memory of a worker does not grow with the fleet."""
    few = fleet[: max(20, len(fleet) // 10)]
    start = time.perf_counter()
    assert not any(r.failed for r in build_many(few, tmp_path / "one"))
    one = (time.perf_counter() - start) / len(few)
    early = peak_mb(resource.RUSAGE_SELF)
    start = time.perf_counter()
    with ProcessPoolExecutor(2) as pool:
        assert not any(r.failed for r in build_many(fleet, tmp_path / "two", executor=pool))
    two = (time.perf_counter() - start) / len(fleet)
    late = peak_mb(resource.RUSAGE_CHILDREN)
    print(f"\n{one:.3f} s a vehicle on one core, {two:.3f} s on two: {one / two:.2f} times as fast")
    print(
        f"peak memory {early:.0f} MB after {len(few)} vehicles, {late:.0f} MB after {len(fleet)} in workers"
    )
    assert one / two >= 1.8
    assert late <= early * 1.15


def peak_mb(who: int) -> float:
    return resource.getrusage(who).ru_maxrss / 1024
