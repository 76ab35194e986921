"""500 random vehicles of 20 to 90 points, drawn whole: faults, lengths, order and time, as a table.

Run with: pytest -m bench tests/bench/test_plans_bench.py -s
The drawings are left in the folder that is printed, so that any other audit can read them.
"""

from __future__ import annotations

import os
import statistics
import time
from pathlib import Path
from types import ModuleType

import pytest
from msgspec.structs import replace

from guidegen.drawing.svg import write_svg
from guidegen.plan import arrange
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.numbering import numbered
from guidegen.plan.sheet import PlanOptions, plan_sheet
from guidegen.trade.load import load_trade
from guidegen.vehicle.model import Vehicle

pytestmark = pytest.mark.bench

COUNTS = (20, 40, 60, 75, 90)
VEHICLES = int(os.environ.get("GUIDEGEN_PLANS", "100"))  # of each count
A3 = PlanOptions(420.0, 297.0)
BAR_MS = {60: 30.0, 90: 80.0}  # median; told, since the machine may be shared


def random_vehicle(chance: ModuleType, seed: int, count: int) -> Vehicle:
    vehicle = chance.random_vehicle(1000 * seed + count, points=count)
    return replace(vehicle, points=tuple(replace(p, number=0, pinned=False) for p in vehicle.points))


def test_500_random_vehicles(
    vehicles_by_chance: ModuleType, plan_judge: ModuleType, callout_judge: ModuleType, tmp_path: Path
) -> None:
    trade = load_trade()
    print(
        f"\n{tmp_path}\npoints  faults  ratio median  worst  order median  least  ms median  worst  insets  1:"
    )
    ratios: list[float] = []
    larger = 0
    for count in COUNTS:
        rows = []
        for seed in range(VEHICLES):
            vehicle = random_vehicle(vehicles_by_chance, seed, count)
            arrange._arranged.cache_clear()
            begun = time.process_time()
            vehicle = numbered(vehicle)
            spent_ms = (time.process_time() - begun) * 1000
            try:
                drawn = plan_sheet(vehicle, trade)
            except SheetTooSmallError:  # which advises the next sheet
                drawn, larger = plan_sheet(vehicle, trade, A3), larger + 1
            svg = write_svg(drawn.sheet)
            (tmp_path / f"{count}-{seed}.svg").write_text(svg)
            plan = plan_judge.read(svg)
            assert len(plan.callouts) == count
            away = plan_judge.distances(plan)
            length = sum(row[k] for k, row in enumerate(away))
            rows.append(
                (
                    plan_judge.faults(plan),
                    length / callout_judge.cheapest(away),
                    plan_judge.order_share(plan),
                    spent_ms,
                    len(drawn.arrangement.details),
                    drawn.arrangement.ratio,
                )
            )
        faults, ratio, order, spent, insets, scale = zip(*rows, strict=True)
        ratios += ratio
        wrong = [f"{count}-{seed}: {f}" for seed, found in enumerate(faults) for f in found]
        print(
            f"{count:6} {len(wrong):7} {statistics.median(ratio):13.3f} {max(ratio):6.3f}"
            f" {statistics.median(order):13.3f} {min(order):6.3f} {statistics.median(spent):10.1f}"
            f" {max(spent):6.0f} {statistics.mean(insets):7.1f} {statistics.mean(scale):3.0f}"
        )
        assert not wrong
        assert min(order) >= 0.95
    print(f"{larger} on A3")
    assert larger <= len(ratios) / 200
    assert statistics.median(ratios) <= 1.03
    assert max(ratios) <= 1.15


@pytest.mark.parametrize("count", [60, 90])
def test_a_sheet_that_is_too_small_is_refused_at_once(vehicles_by_chance: ModuleType, count: int) -> None:
    """A5 and A6: each is drawn or refused within 0.3 s."""
    trade, spent = load_trade(), []
    for seed in range(10):
        vehicle = numbered(random_vehicle(vehicles_by_chance, seed, count))
        for width, height in ((210.0, 148.0), (148.0, 210.0), (148.0, 105.0), (105.0, 148.0)):
            begun = time.process_time()
            try:
                plan_sheet(vehicle, trade, PlanOptions(width, height))
            except SheetTooSmallError as error:
                assert "--paper A4" in str(error)
            spent.append(time.process_time() - begun)
    print(f"\n{count} points: median {statistics.median(spent):.3f} s, worst {max(spent):.3f} s")
    assert statistics.median(spent) <= 0.3
