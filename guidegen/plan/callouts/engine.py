"""Places callouts: tries rings of ports from the plainest to the roomiest until one is clean."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from guidegen.plan.callouts.boundary import Port, convex_hull, fits, ring_of_ports
from guidegen.plan.callouts.model import Callout, CannotPlace, Placement, Task
from guidegen.plan.callouts.search import Outcome, search
from guidegen.plan.callouts.straight import PASS_MM, StraightLeaders

FULL = 0.72  # share of one ring's ports from which a second ring is tried at once


@dataclass(frozen=True, slots=True)
class _Plan:
    """One way to lay ports: gap between badges, distance from the body, shift along the ring, rings."""

    gap: float
    offset: float
    phase: float
    rings: int


def place(task: Task) -> Placement:
    """Badges and leaders for all sites, of nearly least total length, with no fault.

    Raises CannotPlace when no boundary that was tried gives a clean placement.
    """
    if not task.sites:
        return Placement((), 0.0, 0.0, True)
    wanted = 0.0
    for plan in _plans(task):
        ports = _ports(task, plan)
        if len(ports) < len(task.sites):
            wanted = max(wanted, (len(task.sites) - len(ports)) * (_size(task) + task.gap_mm))
            continue
        leaders = StraightLeaders(task.sites, ports, _size(task), task.clearance_mm, task.obstacles)
        outcome = search(leaders, budget=400, tolerance=0.01)
        if not outcome.conflicts and outcome.cost < PASS_MM:
            return _placement(task, plan, leaders, outcome)
        wanted = wanted or (outcome.conflicts + outcome.cost // PASS_MM) * (_size(task) + task.gap_mm)
    raise CannotPlace(
        f"No clean place was found for {len(task.sites)} callouts: use a larger sheet, or an inset.", wanted
    )


def _size(task: Task) -> float:
    return max(max(s.badge.width_mm, s.badge.height_mm) for s in task.sites)


def _plans(task: Task) -> Iterator[_Plan]:
    gap, near = task.gap_mm, task.offset_mm
    through = max(gap, 2 * task.clearance_mm + 0.3)  # lets a leader pass between two badges
    yield _Plan(gap, near, 0.0, 1)
    yield _Plan(gap, near, 0.5, 1)
    yield _Plan(through, near, 0.0, 2)
    yield _Plan(through, near, 0.5, 2)
    yield _Plan(gap, near * 1.5, 0.25, 1)
    yield _Plan(through, near * 1.5, 0.25, 2)
    yield _Plan(through, near, 0.25, 3)


def _ports(task: Task, plan: _Plan) -> list[Port]:
    size = _size(task)
    hull = convex_hull([p for polygon in task.body for p in polygon] + [(s.x, s.y) for s in task.sites])
    out: list[Port] = []
    for ring in range(plan.rings):
        distance = plan.offset + size / 2 + ring * (size + plan.gap)
        phase = plan.phase + 0.5 * (ring % 2)
        ports = ring_of_ports(hull, distance, size, plan.gap, phase % 1.0, ring)
        out += [p for p in ports if fits(p, size, size, task.room, task.obstacles, task.clearance_mm)]
    return out


def _placement(task: Task, plan: _Plan, leaders: StraightLeaders, outcome: Outcome) -> Placement:
    callouts = tuple(
        Callout(
            site.key,
            leaders.ports[p].x,
            leaders.ports[p].y,
            site.badge.width_mm,
            site.badge.height_mm,
            leaders.path(i, p),
            leaders.ports[p].ring,
        )
        for i, (site, p) in enumerate(zip(task.sites, outcome.ports, strict=True))
    )
    rings = len({c.ring for c in callouts})
    return Placement(callouts, outcome.cost, outcome.bound, outcome.proved, rings, outcome.nodes)
