"""The shortest walk against all orders tried one by one, and against its own promises."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from guidegen.sequence.ordering import Move, Ordering, Problem, closed, cost_of
from guidegen.sequence.shortest import shortest_walk


def random_problem(seed: int, steps: int, places: int, *, several: int = 1) -> Problem:
    """Places in the plane, costs rounded up so that they stay a metric; some steps visit two places."""
    rng = random.Random(seed)
    spots = [(rng.uniform(0, 7000), rng.uniform(0, 2300)) for _ in range(places)]
    cost = [[math.ceil(math.dist(a, b)) for b in spots] for a in spots]
    for k, i, j in itertools.product(range(places), repeat=3):
        cost[i][j] = min(cost[i][j], cost[i][k] + cost[k][j])
    moves = []
    for s in range(steps):
        a, b = rng.randrange(places), rng.randrange(places)
        both = (Move(a, b, cost[a][b]), Move(b, a, cost[a][b]))
        moves.append(both if s < several and a != b else (Move(a, a),))
    before = [sum(1 << t for t in range(s) if rng.random() < 1.5 / steps) for s in range(steps)]
    return Problem(cost, tuple(moves), tuple(before), 0, [row[0] for row in cost])


def best_of_all(problem: Problem) -> int:
    """The cost of the cheapest order, by trying every order and every way to do each step."""
    count = len(problem.moves)
    best = math.inf
    for order in itertools.permutations(range(count)):
        done, fits = 0, True
        for s in order:
            if problem.before[s] & ~done:
                fits = False
                break
            done |= 1 << s
        if fits:
            for ways in itertools.product(*(range(len(problem.moves[s])) for s in order)):
                best = min(best, cost_of(problem, list(zip(order, ways, strict=True))))
    return int(best)


def keeps_precedences(problem: Problem, found: Ordering) -> bool:
    done = 0
    for step, _ in found.steps:
        if closed(problem.before)[step] & ~done or done >> step & 1:
            return False
        done |= 1 << step
    return done == problem.full


@pytest.mark.parametrize("seed", range(25))
def test_no_order_is_cheaper(seed: int) -> None:
    problem = random_problem(seed, steps=6, places=5)
    found = shortest_walk(problem, budget=20_000)
    assert found.cost == best_of_all(problem)
    assert found.proved
    assert keeps_precedences(problem, found)
    assert cost_of(problem, found.steps) == found.cost


@pytest.mark.parametrize("seed", range(12))
def test_a_small_budget_still_gives_an_order_and_a_true_bound(seed: int) -> None:
    problem = random_problem(100 + seed, steps=22, places=14, several=3)
    best = shortest_walk(problem, budget=300_000)
    hasty = shortest_walk(problem, budget=40)
    assert best.proved
    assert keeps_precedences(problem, hasty)
    assert cost_of(problem, hasty.steps) == hasty.cost
    assert hasty.bound <= best.cost <= hasty.cost
    assert hasty.proved == (hasty.bound >= hasty.cost)


def test_the_same_problem_gives_the_same_order() -> None:
    problem = random_problem(5, steps=20, places=12, several=2)
    assert shortest_walk(problem, budget=2000) == shortest_walk(problem, budget=2000)


def test_precedences_in_a_circle_are_refused() -> None:
    problem = random_problem(1, steps=3, places=3)
    with pytest.raises(ValueError, match="circle"):
        shortest_walk(Problem(problem.cost, problem.moves, (2, 4, 1), 0, problem.end_cost), budget=100)
