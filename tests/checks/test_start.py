"""A cold check pays only for what it uses: parts of the trade, and libraries of paper."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

from guidegen.checks import check
from guidegen.trade.load import load_trade
from guidegen.trade.records import Trade
from guidegen.vehicle.reading import read_vehicle

LARCH = Path(__file__).parents[2] / "sample_vehicles" / "larch.yaml"
HEAVY = (
    "reportlab",
    "fontTools",
    "PIL",
    "pypdf",
    "openpyxl",
    "rich",
    "guidegen.drawing.primitives",
    "guidegen.paper",
)


def test_a_part_of_the_trade_is_read_once_when_it_is_asked_for():
    asked: list[str] = []

    def read(part: str) -> Any:
        asked.append(part)
        return getattr(load_trade(), part)

    trade = Trade(read)
    assert asked == []
    assert trade.kinds is trade.kinds is load_trade().kinds
    assert asked == ["kinds"]


def test_the_rules_read_no_steps_where_the_file_names_none():
    asked: list[str] = []

    def read(part: str) -> Any:
        asked.append(part)
        return getattr(load_trade(), part)

    check(read_vehicle(LARCH), Trade(read))
    assert set(asked) == {"kinds", "requirements", "readings"}


def test_a_check_loads_nothing_that_draws():
    program = (
        "import sys; from guidegen.cli import run; "
        f"run(['check', {str(LARCH)!r}]); print(*[m for m in {HEAVY!r} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["no findings", ""]
