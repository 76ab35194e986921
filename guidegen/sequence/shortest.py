"""The shortest walk: proofs by growing relaxations, with good orders found in between.

The better the best order known, the more a proof can cut off. So a proof begins with a small part of its
budget, which is enough for most; if not, a search by chance betters the order before the proof goes on.
Budgets count work, never seconds, and chance has a fixed seed: the same problem gives the same order.
"""

from __future__ import annotations

from guidegen.sequence.compact import Compact
from guidegen.sequence.ordering import Ordering, Problem, cost_of
from guidegen.sequence.rebuilding import rebuilt
from guidegen.sequence.relaxing import Relaxation
from guidegen.sequence.settling import settled

_SEARCHES = ((10_000, 150), (65_000, 2_000), (0, 0))  # visits (0: the rest), then rounds of a search at most
_ROUNDS_A_GAP = 20_000  # the nearer the bound, the less there is to find


def shortest_walk(problem: Problem, *, budget: int) -> Ordering:
    """The cheapest order under a metric, proved unless the proof looks at more visits than the budget.

    Raises ValueError when the precedences run in a circle.
    """
    found = Relaxation(Compact(problem))
    for visits, most in _SEARCHES:
        left = budget - found.visits
        found.grow(min(visits or left, left))
        if found.proved or found.visits >= budget:
            break
        rounds = min(most, round(_ROUNDS_A_GAP * (1 - found.bound / found.cost)))
        found.offer(rebuilt(found.problem, found.best, rounds=rounds, seed=most))
    return _ordering(found)


def short_walk(problem: Problem, *, budget: int, rounds: int) -> Ordering:
    """A good order under a metric, for problems so loose that no proof is worth its time."""
    found = Relaxation(Compact(problem))
    found.grow(budget)
    if not found.proved:
        found.offer(rebuilt(found.problem, found.best, rounds=rounds))
    return _ordering(found)


def _ordering(found: Relaxation) -> Ordering:
    steps = settled(found.problem, found.problem.whole(found.best))
    cost = cost_of(found.problem.problem, steps)
    return Ordering(steps, cost, min(found.bound, cost), found.visits)
