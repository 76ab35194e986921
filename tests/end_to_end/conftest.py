"""Runs the installed command as a person would, and builds every sample once."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
ALL_SAMPLES = bool(os.environ.get("GUIDEGEN_ALL_SAMPLES"))
Run = Callable[..., subprocess.CompletedProcess[str]]


def _run(*arguments: object, cwd: Path | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "guidegen", *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=cwd,
        env={**os.environ, **environment},
        timeout=600 if ALL_SAMPLES else 120,
    )


@pytest.fixture(scope="session")
def guidegen() -> Run:
    """guidegen("build", file, cwd=…, LANG=…): the finished process."""
    return _run


@pytest.fixture(scope="session")
def samples() -> list[Path]:
    return sorted(SAMPLES.glob("*.yaml"))


@pytest.fixture(scope="session")
def packs(samples: list[Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the packs of one motorhome, one campervan and one caravan, built by one command.

    With GUIDEGEN_ALL_SAMPLES in the environment, of all samples.
    """
    folder = tmp_path_factory.mktemp("packs")
    kinds = {sample.read_text().split("kind: ")[1].split()[0]: sample for sample in reversed(samples)}
    assert len(kinds) == 3
    done = _run("build", *(samples if ALL_SAMPLES else kinds.values()), "-o", folder)
    assert done.returncode == 0, done.stderr
    return folder
