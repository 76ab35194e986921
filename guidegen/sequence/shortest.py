"""The shortest walk: proofs by growing relaxations, with good orders found in between.

The better the best order known, the more a proof can cut off. So a proof begins with a small part of its
budget; if that is not enough, several searches that go wrong in different ways look for better orders,
and the rest of the budget goes into the proof again. Budgets count work, never seconds.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from guidegen.sequence.exchanging import exchanged
from guidegen.sequence.ordering import FAR, Move, Ordering, Problem, Visits, cost_of
from guidegen.sequence.relaxing import Relaxation, prepared
from guidegen.sequence.search import search

_FIRST = 80_000  # visits before the searches for better orders
_WIDTH = 60  # of the beams
_EXCHANGES = 40_000  # tried on each order found
_WINDOW, _WINDOW_VISITS, _WINDOWS_VISITS = 30, 10_000, 30_000  # steps put in order anew; visits for it
Order = Sequence[tuple[int, int]]


def shortest_walk(problem: Problem, *, budget: int) -> Ordering:
    """The cheapest order under a metric, proved unless the proof looks at more visits than the budget.

    Raises ValueError when the precedences run in a circle.
    """
    found = Relaxation(prepared(problem))
    found.grow(min(_FIRST, budget))
    if not found.proved:
        _search(found)
        _mend_windows(found)
        found.grow(max(0, budget - found.visits))
    return _ordering(found)


def short_walk(problem: Problem, *, budget: int, exchanges: int) -> Ordering:
    """A good order under a metric, for problems so loose that no proof is worth its time."""
    found = Relaxation(prepared(problem))
    found.grow(budget)
    if not found.proved:
        found.offer(exchanged(found.problem, found.best, budget=exchanges))
    return _ordering(found)


def _ordering(found: Relaxation) -> Ordering:
    return Ordering(tuple(found.best), found.cost, min(found.bound, found.cost), found.visits)


def _search(found: Relaxation) -> None:
    """Offers the orders of two beams, one from the start and one from the end, bettered by exchanges."""
    problem = found.problem
    orders = (found.best, _beam(problem), tuple(reversed(_beam(_backwards(problem)))))
    for order in orders:
        found.offer(exchanged(problem, order, budget=_EXCHANGES))


def _beam(problem: Problem) -> Order:
    visits = Visits(problem)
    return visits.unfold(search(visits, lambda mask, place, limit: 0, width=_WIDTH).trail)


def _backwards(problem: Problem) -> Problem:
    """The problem walked from its end, which becomes a place of its own, to its start."""
    steps, places = range(len(problem.moves)), range(len(problem.cost))
    after = tuple(sum(1 << t for t in steps if problem.before[t] >> s & 1) for s in steps)
    cost = [[*(problem.cost[b][a] for b in places), FAR] for a in places]
    cost.append([*problem.end_cost, 0])
    end_cost = [*problem.cost[problem.start], problem.end_cost[problem.start]]
    moves = tuple(tuple(Move(w.last, w.first, w.inner) for w in ways) for ways in problem.moves)
    return Problem(cost, moves, after, len(places), end_cost, True)


def _mend_windows(found: Relaxation) -> None:
    """Puts overlapping pieces of the best order in their best order, until none gets better."""
    count = len(found.best)
    size = min(_WINDOW, max(count - 5, 2))
    starts = sorted({*range(0, count - size, size // 2), count - size})
    left, unchanged, k = _WINDOWS_VISITS, 0, 0
    while unchanged < len(starts) and left > 0:
        first = starts[k % len(starts)]
        order, spent = _mended(found.problem, found.best, first, first + size, min(left, _WINDOW_VISITS))
        unchanged = 0 if cost_of(found.problem, order) < found.cost else unchanged + 1
        found.offer(order)
        left, k = left - spent, k + 1


def _mended(problem: Problem, order: Order, first: int, end: int, visits: int) -> tuple[Order, int]:
    """The order with its steps from `first` to `end` in the best order found, and the visits looked at."""
    ids = [s for s, _ in order[first:end]]
    place = problem.start
    if first:
        step, way = order[first - 1]
        place = problem.moves[step][way].last
    end_cost = problem.end_cost
    if end < len(order):
        step, way = order[end]
        onward = problem.moves[step][way].first
        end_cost = [row[onward] for row in problem.cost]
    before = tuple(sum(1 << k for k, t in enumerate(ids) if problem.before[s] >> t & 1) for s in ids)
    moves = tuple(problem.moves[s] for s in ids)
    piece = replace(problem, moves=moves, before=before, start=place, end_cost=end_cost)
    found = Relaxation(piece, [(k, way) for k, (_, way) in enumerate(order[first:end])])
    found.grow(visits)
    return (*order[:first], *((ids[k], way) for k, way in found.best), *order[end:]), found.visits
