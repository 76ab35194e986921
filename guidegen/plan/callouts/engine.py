"""Places callouts: evenly spaced ports first, then rings of fine places, until a placement is clean."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import chain

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.assignment import Matching
from guidegen.plan.callouts.boundary import Boundary, round_boundary, surrounding_hull
from guidegen.plan.callouts.field import RoundField
from guidegen.plan.callouts.framing import place_framed
from guidegen.plan.callouts.model import Badge, Callout, CannotPlace, Placement, Site, Task, TooFar
from guidegen.plan.callouts.repair import Prices, Repair
from guidegen.plan.callouts.search import search
from guidegen.plan.callouts.sight import Sight
from guidegen.plan.callouts.straight import PASS_MM, StraightLeaders

NODES = 25  # of branch and bound before the search turns to repair
CHEAP_MM, DEAR_MM = 12.0, 36.0  # how long a detour a conflict is worth at first
LONG = 2.2  # ratio of sides from which a badge is a label
HOMEWARD, MENDING = 6, 60  # callouts, at most, that are brought home, and rounds of repair for each
POOR = 1.1  # times the least length for these badges, or the least of the longest: another try pays
STUCK = 3  # conflicts left over by one try from which the last is not worth its time
EASED = 6  # conflicts left over, at most, that lower prices of asides may resolve
TRIALS = 10  # leaders, at most, that are shortened after a repair


class _Try(Struct, frozen=True):
    """Distance from body to badges, rings of badges, rounds of repair while conflicts are cheap and dear.

    Cheap conflicts keep leaders short, dear ones are mended sooner.
    """

    offset: float
    rings: int
    cheap_rounds: int
    dear_rounds: int
    factor: float  # by which dear conflicts that stay grow dearer; see repair.Prices


class _Search(Struct, frozen=True):
    """The callouts on a boundary while leaders are sought; proved: that no others cost less."""

    field: RoundField
    state: Repair  # of the field
    leaders: StraightLeaders
    attempt: _Try
    proved: bool
    met: bool  # whether leaders met at first


def place(task: Task) -> Placement:
    """Badges and leaders for all sites, of nearly least total length, with no fault.

    Raises CannotPlace when no boundary that was tried gives a clean placement, TooFar when leaders would have
    to be longer than wanted.
    """
    if not task.sites:
        return Placement((), 0.0, True)
    size = max(max(s.badge.width_mm, s.badge.height_mm) for s in task.sites)
    hull = surrounding_hull([p for polygon in task.body for p in polygon], [(s.x, s.y) for s in task.sites])
    if task.style != "straight" or any(_long(s.badge) for s in task.sites):
        return place_framed(task, hull)
    narrow = min(max(axis) - min(axis) for axis in zip(*hull, strict=True))
    sight = Sight(task.sites, task.clearance_mm, task.obstacles, task.asides)
    left, conflicts, tries, poor = len(task.sites), 0, _tries(task), list[Placement]()
    boundaries, begun = list[Boundary](), None
    for attempt in tries:
        if attempt is tries[-1] and conflicts > STUCK or len(poor) > 1:
            break
        blocked = (*task.obstacles, *task.off_badges)
        boundary = round_boundary(hull, size, task.gap_mm, attempt.offset, attempt.rings, task.room, blocked)
        boundaries.append(boundary)
        even = boundary.ports(len(task.sites))
        if len(even) < len(task.sites):
            left = len(task.sites) - len(even)
            continue
        if shut := _shut_in(sight, boundary):
            raise _cannot(task, len(shut), tuple(task.sites[i].key for i in shut))
        if needed := _needed_mm(sight, boundary, task.wanted_mm):
            raise TooFar(needed)
        if _needed_mm(sight, boundary, task.longest_mm):
            left = 1
            continue
        begun = _begun(task, boundary, even, sight, attempt)
        if conflicts := _left_over(begun):
            continue
        found = _finished(begun)
        poor.append(found)
        if found.detour <= POOR and not _too_long(found.longest_mm / POOR, narrow, sight, boundary):
            poor = [found]
            break
    if not poor and begun and task.easier and conflicts <= EASED:
        poor = _at_lower_prices(task, begun)
    if poor:
        best = min(poor, key=lambda p: (max(p.longest_mm, narrow), p.length_mm))
        return replace(best, roomy=all(boundary.roomy for boundary in boundaries))
    raise _cannot(task, conflicts or left)


def _cannot(task: Task, left: int, keys: tuple[str, ...] = ()) -> CannotPlace:
    return CannotPlace(
        f"No clean place was found for {len(task.sites)} callouts: use a larger sheet, or an inset.",
        max(1, left),
        keys,
    )


def _tries(task: Task) -> list[_Try]:
    near, count = task.offset_mm, len(task.sites)
    return [
        _Try(near, 3, min(80, 5 * count), 8 * count, 1.5),
        _Try(near, 5, 0, 16 * count, 1.5),
        _Try(near, 5, min(80, 5 * count), 20 * count, 1.0),
        _Try(near + 5, 5, 0, 16 * count, 1.5),
        _Try(near + 15, 5, min(80, 5 * count), 20 * count, 1.0),
    ][: task.tries]


def _shut_in(sight: Sight, boundary: Boundary) -> list[int]:
    """Sites from which no place can be reached without passing a marker too near or an obstacle."""
    everyone = range(len(sight.places))
    return [i for i in everyone if all(sight.bars(i, end) for ends in boundary.outwards() for end in ends)]


def _needed_mm(sight: Sight, boundary: Boundary, longest_mm: float) -> float:
    """How far it is for a site with no place so near with nothing in between; 0 where all have one."""
    if longest_mm == math.inf:
        return 0.0
    for i, at in enumerate(sight.places):
        if not _has_nearer(sight, i, boundary, longest_mm):
            every = chain.from_iterable(boundary.outwards())
            return min(math.dist(at, end) for end in every if not sight.bars(i, end))
    return 0.0


def _too_long(longest_mm: float, narrow: float, sight: Sight, boundary: Boundary) -> bool:
    """Whether the longest leader is longer than the body is wide, and no site's shortest is as long."""
    if longest_mm <= narrow:
        return False
    return all(_has_nearer(sight, i, boundary, longest_mm) for i in range(len(sight.places)))


def _has_nearer(sight: Sight, i: int, boundary: Boundary, mm: float) -> bool:
    """Whether a leader from site i to one of the places is shorter and runs into nothing."""
    at, dist, bars = sight.places[i], math.dist, sight.bars
    for ends in boundary.outwards():
        for end in ends:
            if dist(at, end) < mm and not bars(i, end):
                return True
    return False


def _begun(task: Task, boundary: Boundary, even: Sequence[int], sight: Sight, attempt: _Try) -> _Search:
    """Callouts on a boundary, few of which meet; even: the ports to begin with."""
    sites, known = task.sites, boundary.known()
    ports = [known[k] for k in even]
    radii = [_radius(s.badge) for s in sites]
    leaders = StraightLeaders(sites, ports, 2 * min(radii), task.clearance_mm, sight)
    outcome = search(leaders, NODES, tolerance=0.01)
    field = RoundField(
        sites, radii, task.clearance_mm, task.gap_mm, boundary, sight, leaders.least, task.longest_mm
    )
    for i, p in enumerate(outcome.ports):
        field.put(i, even[p])
    state = Repair(field, Prices(len(sites), CHEAP_MM))
    proved = outcome.proved and outcome.cost < PASS_MM and not state.conflicts()
    for i, p in enumerate(outcome.ports):
        if leaders.costs[i][p] >= PASS_MM or leaders.lengths[i][p] >= task.longest_mm:
            state.better(i, math.inf)
    return _Search(field, state, leaders, attempt, proved, outcome.conflicts > 0)


def _left_over(begun: _Search) -> int:
    """How many conflicts no repair resolves."""
    state, attempt = begun.state, begun.attempt
    if state.run(attempt.cheap_rounds):
        return 0
    state.prices = Prices(state.count, DEAR_MM, attempt.factor)
    return 0 if state.run(attempt.dear_rounds) else state.conflicts()


def _at_lower_prices(task: Task, stuck: _Search) -> list[Placement]:
    """The placement that is found from here once asides cost less; none if there is none."""
    field = stuck.field.under(Sight(task.sites, task.clearance_mm, task.obstacles, task.easier))
    state = Repair(field, Prices(field.count, DEAR_MM, stuck.attempt.factor))
    if not state.run(stuck.attempt.dear_rounds):
        return []
    return [_finished(replace(stuck, field=field, state=state))]


def _finished(mended: _Search) -> Placement:
    """What was found, its leaders shortened."""
    state, field = mended.state, mended.field
    if mended.met:
        state.relieve(mended.leaders.least, HOMEWARD, MENDING)
        state.reroute(TRIALS)
    state.slide()
    detour, turned = _reassigned(state, field.sight)
    if turned:
        state.slide()
        detour, _ = _reassigned(state, field.sight)
    chosen = [field.places[field.place_of(i)] for i in range(state.count)]
    callouts = tuple(_callout(s, (p.x, p.y), p.ring) for s, p in zip(field.sites, chosen, strict=True))
    length = sum(math.dist(at, (p.x, p.y)) for at, p in zip(field.sight.places, chosen, strict=True))
    return Placement(callouts, length, mended.proved, 1 + max(c.ring for c in callouts), detour)


def _long(badge: Badge) -> bool:
    """Whether the circle about a badge says too little of its shape."""
    return max(badge.width_mm, badge.height_mm) > LONG * min(badge.width_mm, badge.height_mm)


def _radius(badge: Badge) -> float:
    """Of the circle about a badge."""
    return badge.width_mm / 2 if badge.round else math.hypot(badge.width_mm, badge.height_mm) / 2


def _reassigned(state: Repair, sight: Sight) -> tuple[float, bool]:
    """Exchange badges round the cycles that a cheapest assignment to the same badges would turn, where clean.

    Returns how many times dearer than that assignment, which no other to these badges can undercut, the
    leaders are, and whether any were exchanged.
    """
    field = state.field
    everyone = range(state.count)
    ends = [field.end_of(field.place_of(i)) for i in everyone]
    dear = [sight.lengths(i, ends) for i in everyone]
    best = Matching(dear)
    now, least, turned = sum(dear[i][i] for i in everyone), best.cost(), False
    if least < now - 1e-6:
        for cycle in _cycles(best.column_of):
            steps = zip(cycle, cycle[1:] + cycle[:1], strict=True)
            if not any(sight.bars(i, ends[j]) for i, j in steps):
                turned = state.exchange(cycle) or turned
    if turned:
        now = sum(sight.length(i, field.end_of(field.place_of(i))) for i in everyone)
    if now > POOR * least:  # it may turn leaders into others' markers
        least = Matching([_unbarred(row, sight, i, ends) for i, row in enumerate(dear)]).cost()
    return now / max(least, 1e-9), turned


def _unbarred(lengths: list[float], sight: Sight, i: int, ends: Sequence[Point]) -> list[float]:
    """The lengths of leaders of site i to the ends, with PASS_MM on those that run into something."""
    return [mm + PASS_MM * sight.bars(i, end) for mm, end in zip(lengths, ends, strict=True)]


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


def _callout(site: Site, at: Point, ring: int) -> Callout:
    """The badge at its centre, and its leader from the marker's edge to the badge's edge."""
    badge = site.badge
    dx, dy = at[0] - site.x, at[1] - site.y
    length = math.hypot(dx, dy)
    stop = length - rim(badge, dx / length, dy / length)
    leader: tuple[Point, ...] = ()
    if stop > site.radius_mm:
        leader = tuple((site.x + dx * d / length, site.y + dy * d / length) for d in (site.radius_mm, stop))
    return Callout(site.key, *at, badge.width_mm, badge.height_mm, leader, ring)


def rim(badge: Badge, ux: float, uy: float) -> float:
    """Distance from a badge's centre to its edge along a unit direction."""
    if badge.round:
        return badge.width_mm / 2
    across = badge.width_mm / 2 / abs(ux) if abs(ux) > 1e-9 else math.inf
    return min(across, badge.height_mm / 2 / abs(uy) if abs(uy) > 1e-9 else math.inf)
