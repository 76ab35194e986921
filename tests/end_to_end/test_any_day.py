"""The same file makes the same bytes on any day: dates come from the file or SOURCE_DATE_EPOCH."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "fern.yaml"
ONLY = "card,plan"
CLOCK = shutil.which("faketime")


@pytest.mark.skipif(not CLOCK, reason="faketime is not installed")
def test_packs_and_workbooks_of_two_days_are_the_same(tmp_path: Path) -> None:
    made = []
    for day in ("1999-12-31 23:59:59", "2031-07-01 12:00:00"):
        folder = tmp_path / day[:4]
        folder.mkdir()
        variables = {k: v for k, v in os.environ.items() if k != "SOURCE_DATE_EPOCH"}
        program = [str(CLOCK), "-f", f"@{day}", sys.executable, "-m", "guidegen"]
        for arguments in (
            ["build", SAMPLE, "-o", folder / "out", "--only", ONLY],
            ["sheet", SAMPLE, "-o", folder / "a.xlsx"],
        ):
            command = [*program, *map(str, arguments)]
            subprocess.run(command, check=True, capture_output=True, env=variables)
        made.append({f.relative_to(folder): f.read_bytes() for f in folder.rglob("*.*") if f.is_file()})
    assert len(made[0]) >= 5
    assert made[0] == made[1]
