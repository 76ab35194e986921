"""What the search of walks rests on: no shortest walk is lost, and of equal ones the natural one is taken."""

from __future__ import annotations

import itertools
import random

import pytest

from guidegen.sequence.compact import Compact
from guidegen.sequence.ordering import Move, Problem, closed, cost_of
from guidegen.sequence.rebuilding import rebuilt
from guidegen.sequence.relaxing import Relaxation
from guidegen.sequence.settling import settled


def on_a_grid(seed: int, steps: int) -> Problem:
    """Places on a small grid walked along its lines, so that many walks are equal and pass many places."""
    rng = random.Random(seed)
    spots = [(x, y) for x in range(3) for y in range(2)]
    cost = [[abs(a - c) + abs(b - d) for c, d in spots] for a, b in spots]
    moves = []
    for s in range(steps):
        a, b = rng.randrange(len(spots)), rng.randrange(len(spots))
        turned = (Move(a, b, cost[a][b]), Move(b, a, cost[a][b]))
        moves.append(turned if s == 0 and a != b else (Move(a, a),))
    before = tuple(sum(1 << t for t in range(s) if rng.random() < 0.2) for s in range(steps))
    return Problem(cost, tuple(moves), before, 0, [0] * len(spots))


def allowed(problem: Problem, order: tuple[tuple[int, int], ...]) -> bool:
    done = 0
    for step, _ in order:
        if closed(problem.before)[step] & ~done or done >> step & 1:
            return False
        done |= 1 << step
    return done == problem.full


def every_order(problem: Problem) -> list[tuple[tuple[int, int], ...]]:
    orders = (
        tuple(zip(order, ways, strict=True))
        for order in itertools.permutations(range(len(problem.moves)))
        for ways in itertools.product(*(range(len(problem.moves[s])) for s in order))
    )
    return [order for order in orders if allowed(problem, order)]


@pytest.mark.parametrize("seed", range(40))
def test_steps_left_out_and_places_passed_lose_no_shortest_walk(seed: int) -> None:
    problem = on_a_grid(seed, steps=6)
    found = Relaxation(Compact(problem))
    found.grow(10_000)
    least = min(cost_of(problem, order) for order in every_order(problem))
    order = found.problem.whole(found.best)
    assert found.cost == found.bound == least == cost_of(problem, order)
    assert allowed(problem, order)


@pytest.mark.parametrize("seed", range(20))
def test_a_rebuilt_order_is_never_longer_and_keeps_the_precedences(seed: int) -> None:
    compact = Compact(on_a_grid(seed, steps=14))
    first = Relaxation(compact).best
    better = rebuilt(compact, first, rounds=40)
    assert compact.length(better) <= compact.length(first)
    assert sorted(step for step, *_ in better) == compact.steps
    assert allowed(compact.problem, compact.whole(better))
    assert rebuilt(compact, first, rounds=40) == better, "chance has a fixed seed"


@pytest.mark.parametrize("seed", range(20))
def test_settling_walks_no_farther(seed: int) -> None:
    problem = on_a_grid(seed, steps=12)
    compact = Compact(problem)
    order = compact.whole(Relaxation(compact).best)
    after = settled(compact, order)
    assert allowed(problem, after)
    assert cost_of(problem, after) <= cost_of(problem, order)
    assert dict(after) == dict(order), "each step is done in the way it was"


def in_a_row(*places: int) -> Problem:
    """Steps at places a metre apart, without precedences, walked from 0 to the far end."""
    cost = [[abs(a - b) for b in range(6)] for a in range(6)]
    return Problem(cost, tuple((Move(p, p),) for p in places), (0,) * len(places), 0, [5, 4, 3, 2, 1, 0])


def test_where_the_walk_does_not_care_the_order_of_the_data_is_kept() -> None:
    compact = Compact(in_a_row(2, 2, 2))
    assert settled(compact, ((2, 0), (0, 0), (1, 0))) == ((0, 0), (1, 0), (2, 0))


def test_an_order_that_walks_too_far_is_mended() -> None:
    problem = in_a_row(1, 3)
    assert settled(Compact(problem), ((1, 0), (0, 0))) == ((0, 0), (1, 0))


def test_a_problem_without_steps_has_an_empty_order() -> None:
    problem = Problem([[0]], (), (), 0, [7])
    found = Relaxation(Compact(problem))
    found.grow(10)
    assert (found.best, found.cost, found.bound) == ([], 7, 7)
