"""Places callouts: evenly spaced ports first, then rings of fine places, until a placement is clean."""

from __future__ import annotations

import math
from dataclasses import dataclass

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.assignment import Matching
from guidegen.plan.callouts.boundary import Boundary, Port, round_boundary, surrounding_hull
from guidegen.plan.callouts.field import RoundField
from guidegen.plan.callouts.model import Callout, CannotPlace, Placement, Site, Task
from guidegen.plan.callouts.repair import Repair
from guidegen.plan.callouts.search import search
from guidegen.plan.callouts.sight import Sight
from guidegen.plan.callouts.straight import PASS_MM, StraightLeaders

NODES = 25  # of branch and bound before the search turns to repair


@dataclass(frozen=True, slots=True)
class _Try:
    """Distance from body to badges, rings of badges, rounds of repair."""

    offset: float
    rings: int
    rounds: int


def place(task: Task) -> Placement:
    """Badges and leaders for all sites, of nearly least total length, with no fault.

    Raises CannotPlace when no boundary that was tried gives a clean placement.
    """
    if not task.sites:
        return Placement((), 0.0, 0.0, True)
    size = max(max(s.badge.width_mm, s.badge.height_mm) for s in task.sites)
    hull = surrounding_hull([p for polygon in task.body for p in polygon], [(s.x, s.y) for s in task.sites])
    sight = Sight(task.sites, task.clearance_mm, task.obstacles)
    left = 0
    for attempt in _tries(task):
        boundary = round_boundary(
            hull, size, task.gap_mm, attempt.offset, attempt.rings, task.room, task.obstacles
        )
        found, left = _on_boundary(task, boundary, sight, size, attempt.rounds)
        if found is not None:
            return found
    raise CannotPlace(
        f"No clean place was found for {len(task.sites)} callouts: use a larger sheet, or an inset.",
        max(1, left) * (size + task.gap_mm),
    )


def _tries(task: Task) -> list[_Try]:
    near = task.offset_mm
    return [_Try(near, 3, 300), _Try(near, 4, 900), _Try(near + 5, 4, 700), _Try(near + 9, 5, 700)]


def _on_boundary(
    task: Task, boundary: Boundary, sight: Sight, size: float, rounds: int
) -> tuple[Placement | None, int]:
    """A clean placement on the boundary, else None; and how many conflicts were left."""
    sites, even = task.sites, boundary.ports(len(task.sites))
    if len(even) < len(sites):
        return None, len(sites) - len(even)
    ports = [boundary.places[k] for k in even]
    leaders = StraightLeaders(sites, ports, size, task.clearance_mm, sight)
    outcome = search(leaders, NODES, tolerance=0.01)
    field = RoundField(sites, size, task.clearance_mm, task.gap_mm, boundary.places, sight)
    for i, p in enumerate(outcome.ports):
        field.put(i, even[p])
    state = Repair(field)
    for i, p in enumerate(outcome.ports):
        if leaders.costs[i][p] >= PASS_MM and not state.better(i, math.inf):
            return None, 1
    if not state.run(rounds):
        return None, state.conflicts()
    state.slide()
    bound, turned = _reassigned(state, sight)
    if turned:
        state.slide()
        bound, _ = _reassigned(state, sight)
    chosen = [field.places[field.place_of(i)] for i in range(len(sites))]
    callouts = tuple(_callout(s, p) for s, p in zip(sites, chosen, strict=True))
    length = sum(field.length(i) for i in range(len(sites)))
    proved = outcome.proved and outcome.cost < PASS_MM
    return Placement(callouts, length, bound, proved, 1 + max(c.ring for c in callouts), outcome.nodes), 0


def _reassigned(state: Repair, sight: Sight) -> tuple[float, bool]:
    """Exchange badges round the cycles that a cheapest assignment to the same badges would turn, where clean.

    Returns the length of that assignment, which no other assignment to these badges can undercut, and
    whether any were exchanged.
    """
    field = state.field
    everyone = range(state.count)
    ends = [field.end_of(field.place_of(i)) for i in everyone]
    best = Matching([[math.dist(a, b) for b in ends] for a in sight.places])
    turned = False
    if best.cost() < sum(field.length(i) for i in everyone) - 1e-6:
        for cycle in _cycles(best.column_of):
            steps = zip(cycle, cycle[1:] + cycle[:1], strict=True)
            if not any(sight.bars(i, ends[j]) for i, j in steps):
                turned = state.exchange(cycle) or turned
    return best.cost(), turned


def _cycles(moves: list[int]) -> list[list[int]]:
    """The cycles of a permutation that are longer than one."""
    seen, out = set[int](), []
    for start in range(len(moves)):
        cycle, i = [], start
        while i not in seen:
            seen.add(i)
            cycle.append(i)
            i = moves[i]
        if len(cycle) > 1:
            out.append(cycle)
    return out


def _callout(site: Site, port: Port) -> Callout:
    """The badge at the port, and its leader from the marker's edge to the badge's edge."""
    length = math.hypot(port.x - site.x, port.y - site.y)
    start, stop = site.radius_mm, length - site.badge.width_mm / 2
    ux, uy = (port.x - site.x) / length, (port.y - site.y) / length
    leader: tuple[Point, ...] = ()
    if stop > start:
        leader = ((site.x + ux * start, site.y + uy * start), (site.x + ux * stop, site.y + uy * stop))
    return Callout(site.key, port.x, port.y, site.badge.width_mm, site.badge.height_mm, leader, port.ring)
