"""Puts the steps of a plan into the order with the shortest walk."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from msgspec.structs import replace

from guidegen.sequence.joining import joined
from guidegen.sequence.model import PlannedSequence, PlannedStep
from guidegen.sequence.ordering import Ordering, Problem, cost_of
from guidegen.sequence.planner import Plan
from guidegen.sequence.shortest import shortest_walk
from guidegen.sequence.standing import Standing, standings
from guidegen.sequence.terrain import DOOR_MM, Spot, Terrain
from guidegen.trade.records import Trade
from guidegen.vehicle.layout import XY
from guidegen.vehicle.model import Vehicle

# Visits that a proof may look at: while a pack is built, and when a proof is asked for.
BUILD_VISITS = 80_000
PROVE_VISITS = 4_000_000
# Where one is before and after: one has just stopped to arrive or to lay up, and has lived inside to leave.
_STARTS = {"arrive": "seat", "recommission": "seat", "lay-up": "cab", "leave": "inside"}
_ENDS = {"arrive": "inside", "recommission": "inside", "lay-up": "outside", "leave": "seat"}
_WALK_MM_MINUTE = 60_000


def walk(
    plan: Plan,
    vehicle: Vehicle,
    trade: Trade,
    terrain: Terrain,
    *,
    by_hand: Sequence[str] = (),
    prove: bool = False,
) -> PlannedSequence:
    """The order with the least walk, or the hand-made one as it is.

    Raises SequenceError when a hand-made order leaves a step out.
    """
    stands = standings(plan, vehicle, trade, terrain)
    problem = problem_of(plan, stands, terrain)
    one = joined(problem, plan)
    ordering = one.apart(shortest_walk(one.problem, budget=PROVE_VISITS if prove else BUILD_VISITS))
    if by_hand:
        ordering = _given(problem, plan, by_hand, ordering.bound)
    return _described(plan, vehicle, stands, terrain, problem, ordering, bool(by_hand))


def problem_of(plan: Plan, stands: Sequence[Standing], terrain: Terrain) -> Problem:
    """The ordering problem in mm: walking plus DOOR_MM a passage of a door."""
    count = len(terrain.spots)
    spots = range(count)
    walks = [[terrain.distance(a, b) for b in spots] for a in spots]
    cost = [[w + DOOR_MM * d for w, d in row] for row in walks]
    index = {id: k for k, id in enumerate(plan.ids)}
    before = [0] * len(index)
    for reason in plan.precedences:
        before[index[reason.after]] |= 1 << index[reason.before]
    end_cost = _end_costs(plan, terrain, cost)
    moves = tuple(s.moves for s in stands)
    return Problem(cost, moves, tuple(before), _start_spot(plan, terrain), end_cost)


def _end_costs(plan: Plan, terrain: Terrain, cost: list[list[int]]) -> list[int]:
    """From each spot to where the sequence ends by nature."""
    end = _ENDS[plan.sequence]
    if end == "inside":
        inside = [s.ground == "inside" for s in terrain.spots]
        return [0 if within else row[terrain.inside] for within, row in zip(inside, cost, strict=True)]
    goal = terrain.outside if end == "outside" else terrain.seat
    return [row[goal] for row in cost]


def _given(problem: Problem, plan: Plan, by_hand: Sequence[str], bound: int) -> Ordering:
    """The hand-made order, each step done in the way that is nearest. No order costs less than the bound."""
    index = {id: k for k, id in enumerate(plan.ids)}
    place, steps = problem.start, []
    for id in by_hand:
        s = index[id]
        ways = problem.moves[s]
        k = min(range(len(ways)), key=lambda i: (problem.cost[place][ways[i].first] + ways[i].inner, i))
        steps.append((s, k))
        place = ways[k].last
    cost = cost_of(problem, steps)
    return Ordering(tuple(steps), cost, min(bound, cost), 0)


def _described(
    plan: Plan,
    vehicle: Vehicle,
    stands: Sequence[Standing],
    terrain: Terrain,
    problem: Problem,
    ordering: Ordering,
    by_hand: bool,
) -> PlannedSequence:
    here, walked, doors = problem.start, 0, 0
    drawn, stop = terrain.spots[here], here
    path = [terrain.place(drawn)]
    steps: list[PlannedStep] = []
    for s, k in ordering.steps:
        tour = stands[s].tours[k]
        for a, b in itertools.pairwise((here, *tour)):
            far, through = terrain.distance(a, b)
            walked, doors = walked + far, doors + through
        stays = here == tour[0] == stop
        seen = _seen(stands[s], tour, drawn if stays else None, vehicle, terrain)
        for one, other in itertools.pairwise((drawn, *seen)):
            path += terrain.line(one, other)[1:]
        if stands[s].loop:
            walked += round(terrain.ring.length)
            path += terrain.round_trip()[1:]
        for spot in stands[s].beyond:
            if way := terrain.through_cab(spot):
                walked += 2 * way[0]
                path += [*way[1], *way[1][::-1]]
        here, drawn, stop = tour[-1], seen[-1], tour[0]
        steps.append(_planned(plan, stands[s], s, tour, seen, terrain))
    end = _end_spot(plan, terrain, here)
    far, through = terrain.distance(here, end)
    path += terrain.line(drawn, terrain.spots[end])[1:]
    walked, doors = walked + far, doors + through
    minutes = sum(s.minutes for s in steps) + walked / _WALK_MM_MINUTE
    return PlannedSequence(
        name=plan.sequence,
        variant=plan.variant,
        steps=tuple(steps),
        walk_m=round(walked / 1000, 1),
        doors=doors,
        proved=ordering.proved,
        bound_m=round(ordering.bound / 1000, 2),
        minutes=round(minutes, 1),
        path=_without_repeats(path),
        precedences=plan.precedences,
        by_hand=by_hand,
        cost_m=round((walked + DOOR_MM * doors) / 1000, 2),
    )


def _start_spot(plan: Plan, terrain: Terrain) -> int:
    return {"seat": terrain.seat, "inside": terrain.inside}.get(_STARTS[plan.sequence], terrain.from_seat)


def _end_spot(plan: Plan, terrain: Terrain, here: int) -> int:
    end = _ENDS[plan.sequence]
    if end == "inside":
        return here if terrain.spots[here].ground == "inside" else terrain.inside
    return terrain.outside if end == "outside" else terrain.seat


def _seen(
    stand: Standing, tour: tuple[int, ...], drawn: Spot | None, vehicle: Vehicle, terrain: Terrain
) -> tuple[Spot, ...]:
    """Where one is drawn at each spot of a tour: before the first point there.

    drawn: where one is already, for a step at the stop of the step before.
    """
    first = {spot: id for id, spot, _ in reversed(stand.points)}
    points = (vehicle.point(first[spot]) if spot in first else None for spot in tour)
    found = [
        terrain.seen_at(spot, point) if point else terrain.spots[spot]
        for spot, point in zip(tour, points, strict=True)
    ]
    return (drawn or found[0], *found[1:])


def _planned(
    plan: Plan, stand: Standing, s: int, tour: tuple[int, ...], seen: tuple[Spot, ...], terrain: Terrain
) -> PlannedStep:
    visits = stand.visited(tour)
    points, place = tuple(itertools.chain(*visits)), stand.words(visits)
    spot = terrain.spots[tour[0]]
    stop = spot.ground if spot.ground in ("seat", "post") else f"{spot.ground}-{tour[0]}"
    spots = tuple(map(terrain.place, (*seen, *(terrain.spots[spot] for spot in stand.beyond))))
    x, y = spots[0]
    here = PlannedStep(
        step=stand.step,
        sequence=plan.sequence,
        points=points,
        place=place,
        stop=stop,
        x=x,
        y=y,
        unlocated=stand.unlocated,
        outside=spot.ground != "inside",
        spots=spots,
    )
    if s < len(plan.steps):
        step = plan.steps[s]
        return replace(
            here,
            text=step.text,
            check=step.check,
            cautions=step.cautions,
            needs=step.needs,
            gives=step.gives,
            minutes=step.minutes,
            optional=step.optional,
            visits=visits,
            stops=stand.stops,
        )
    extra = plan.extras[s - len(plan.steps)]
    return replace(here, text=extra.text, check=extra.check or "", web=extra.web or "", dealer=True)


def _without_repeats(path: list[XY]) -> tuple[XY, ...]:
    return tuple(p for p, _ in itertools.groupby((round(x), round(y)) for x, y in path))
