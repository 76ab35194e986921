"""500 random vehicles: faults, length, order and time of callout placement, as a table; and their drawings.

Run with: pytest -m bench tests/bench/test_callouts_bench.py -s
The drawings are left in the folder that is printed, so that any other audit can read them.
"""

from __future__ import annotations

import statistics
import time
from pathlib import Path
from types import ModuleType

import pytest
from shapely import Polygon

from guidegen.plan.callouts import CannotPlace, Placement, Task, clockwise, place

COUNTS = (20, 40, 60, 75, 90)
VEHICLES = 100  # of each count


@pytest.mark.bench
def test_500_random_vehicles(callout_tasks: ModuleType, callout_judge: ModuleType, tmp_path: Path) -> None:
    print(
        f"\n{tmp_path}\npoints  faults  ratio median  worst  order worst  ms median  worst  two rings  refused"
    )
    ratios: list[float] = []
    for count in COUNTS:
        rows, refused = [], 0
        for seed in range(1000, 1000 + VEHICLES):
            task = callout_tasks.random_task(seed, count)
            begun = time.process_time()
            try:
                placement = place(task)
            except CannotPlace:  # said, not drawn wrongly; a plan then makes insets
                refused += 1
                continue
            spent = (time.process_time() - begun) * 1000
            centre = Polygon(task.body[0]).centroid.coords[0]
            numbers = {key: n for n, key in enumerate(clockwise(placement, centre), start=1)}
            (tmp_path / f"{count}-{seed}.svg").write_text(_svg(task, placement, numbers))
            rows.append(
                (
                    len(callout_judge.faults(task, placement)),
                    callout_judge.length_ratio(task, placement),
                    callout_judge.order_share(centre, placement, numbers),
                    spent,
                    placement.rings > 1,
                )
            )
        faults, ratio, order, spent_ms, rings = zip(*rows, strict=True)
        ratios += ratio
        print(
            f"{count:6} {sum(faults):7} {statistics.median(ratio):13.3f} {max(ratio):6.3f} {min(order):12.3f}"
            f" {statistics.median(spent_ms):10.1f} {max(spent_ms):6.0f} {sum(rings):10} {refused:8}"
        )
        assert sum(faults) == 0
        # 90 callouts all on the plan fill two rings: where a few are refused, a plan makes insets instead.
        assert refused <= (VEHICLES // 10 if count > 80 else 0)
        assert min(order) >= 0.95
    assert statistics.median(ratios) <= 1.03
    assert max(ratios) <= 1.15


def _svg(task: Task, placement: Placement, numbers: dict[str, int]) -> str:
    """The placement as a bare plan: body, leaders, markers, badges, numbers."""
    out = [
        '<svg xmlns="http://www.w3.org/2000/svg" width="297mm" height="210mm" viewBox="0 0 297 210">',
        *(
            f'<polygon class="body" fill="none" stroke="#222" stroke-width="0.7" points="{_pairs(polygon)}"/>'
            for polygon in task.body
        ),
    ]
    for site, callout in zip(task.sites, placement.callouts, strict=True):
        number = numbers[site.key]
        leader = f'<polyline class="leader" fill="none" stroke="#222" stroke-width="0.2" points="{_pairs(callout.leader)}"/>'
        out += [
            f'<g class="callout" data-number="{number}" data-point="{site.key}">',
            leader if callout.leader else "",
            f'<circle class="marker" cx="{site.x:.3f}" cy="{site.y:.3f}" r="{site.radius_mm}"/>',
            f'<circle class="badge" cx="{callout.x:.3f}" cy="{callout.y:.3f}" r="{callout.width_mm / 2}"'
            ' fill="#fff" stroke="#222" stroke-width="0.25"/>',
            f'<text x="{callout.x:.3f}" y="{callout.y + 1.05:.3f}" font-size="3"'
            f' text-anchor="middle">{number}</text></g>',
        ]
    return "\n".join([*out, "</svg>"])


def _pairs(points: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
