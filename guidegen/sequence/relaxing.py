"""The shortest walk by relaxations that grow: first few steps, then more, until the rest costs nothing.

Leaving steps out of a walk never makes it longer, because walking is a metric. So what it costs to
finish a subset of the steps is a lower bound for finishing all. The subset starts as a chain
of precedences. Each round solves it exactly, looks how far each step left out lies from that walk, and
takes in the farthest; the table of the round before cuts off what cannot be better than the best order
known. When the walk of the subset costs as much as an order of all steps, that order is proved.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from guidegen.sequence.exchanging import exchanged
from guidegen.sequence.inserting import completed
from guidegen.sequence.ordering import FAR, PLACE_BITS, Move, Ordering, Problem, Visits, closed, cost_of
from guidegen.sequence.search import Trail

_TAKEN_IN = 2  # steps a round
_EXCHANGES = 100_000  # tried on an order that cannot be proved


class _SpentError(Exception):
    """No more states may be opened."""


@dataclass(slots=True)
class _Purse:
    left: int


class _Table:
    """Costs of finishing a subset of the steps, worked out where asked for."""

    def __init__(self, problem: Problem, subset: int, smaller: _Table | None, purse: _Purse) -> None:
        self.problem, self.subset, self.smaller, self.purse = problem, subset, smaller, purse
        self.visits = Visits(problem, subset)
        self.exact: dict[int, int] = {}
        self.least: dict[int, int] = {}  # lower bounds, of states that were not worth more

    def bound(self, mask: int, place: int, limit: int = FAR) -> int:
        """Of finishing the subset when `mask` of all steps are done: exact below the limit, else a lower
        bound of at least the limit.
        """
        return self._finish(mask & self.subset, place, limit)

    def _finish(self, mask: int, place: int, limit: int) -> int:
        key = mask << PLACE_BITS | place
        known = self.exact.get(key)
        if known is not None:
            return known
        low = self.least.get(key, -1)
        if low < 0 and self.smaller is not None:
            low = self.smaller.bound(mask, place, limit)
        if low >= limit:
            self.least[key] = low
            return low
        done = mask == self.subset
        best = self.problem.end_cost[place] if done else self._best_way(mask, place, limit)
        (self.exact if best < limit else self.least)[key] = best
        return best

    def _best_way(self, mask: int, place: int, limit: int) -> int:
        if not self.purse.left:
            raise _SpentError
        self.purse.left -= 1
        best = FAR
        for price, done, at in self.visits.after(mask, place):
            room = (best if best < limit else limit) - price
            if room > 0:
                price += self._finish(done, at, room)
            if price < best:
                best = price
        return best

    def walk(self, limit: int) -> tuple[int, Trail]:
        """The cost of a shortest walk through the subset and its states; no states from the limit on."""
        mask, place = self.visits.absorb(0, self.problem.start), self.problem.start
        cost = left = self._finish(mask, place, limit)
        trail = [(mask, place)]
        while mask != self.subset and cost < limit:
            for price, done, at in self.visits.after(mask, place):
                if price <= left and price + self._finish(done, at, left - price + 1) == left:
                    mask, place, left = done, at, left - price
                    break
            trail.append((mask, place))
        return cost, tuple(trail)


def shortest_walk(problem: Problem, *, budget: int) -> Ordering:
    """The cheapest order under a metric, proved unless the tables open more states than the budget.

    Raises ValueError when the precedences run in a circle.
    """
    whole = replace(problem, before=closed(problem.before), metric=True)
    purse, subset, bound = _Purse(budget), _longest_chain(whole), 0
    best = completed(whole, ())
    cost = cost_of(whole, best)
    table: _Table | None = None
    while bound < cost:
        table = _Table(whole, subset, table, purse)
        try:
            bound, walk = table.walk(cost)
        except _SpentError:
            best = list(exchanged(whole, best, budget=_EXCHANGES))
            cost = cost_of(whole, best)
            break
        if bound < cost:
            order = completed(whole, table.visits.unfold(walk))
            cost, best = min((cost, best), (cost_of(whole, order), order))
            subset |= _farthest(whole, walk, subset)
    return Ordering(tuple(best), cost, min(bound, cost), budget - purse.left)


def _longest_chain(problem: Problem) -> int:
    """The steps of the chain of precedences along which one has to walk farthest."""
    order = sorted(range(len(problem.moves)), key=lambda s: problem.before[s].bit_count())
    best: dict[int, tuple[int, int]] = {}  # step → (walk up to its end, steps of the chain)
    for s in order:
        ways = [(_link(problem, problem.start, m), 1 << s) for m in problem.moves[s]]
        for t in order:
            if problem.before[s] >> t & 1:
                ends = {m.last for m in problem.moves[t]}
                link = min(_link(problem, end, m) for end in ends for m in problem.moves[s])
                ways.append((best[t][0] + link, best[t][1] | 1 << s))
        best[s] = max(ways)
    return max(best.values(), default=(0, 0))[1]


def _link(problem: Problem, place: int, move: Move) -> int:
    return problem.cost[place][move.first] + move.inner


def _farthest(problem: Problem, walk: Trail, subset: int) -> int:
    """The steps outside the subset that lie farthest from its walk."""
    outside = [s for s in range(len(problem.moves)) if not subset >> s & 1]
    detours = sorted(((_detour(problem, walk, subset, s), -s) for s in outside), reverse=True)
    return sum(1 << -s for _, s in detours[:_TAKEN_IN])


def _detour(problem: Problem, walk: Trail, subset: int, step: int) -> int:
    """The least that taking the step into the walk adds, between the steps that it must keep apart."""
    before = problem.before[step] & subset
    later = sum(1 << t for t, mask in enumerate(problem.before) if mask >> step & 1) & subset
    best = FAR
    for k, (mask, place) in enumerate(walk):
        onward = walk[k + 1][1] if k + 1 < len(walk) else None
        if before & ~mask == 0:
            best = min(best, min(_added(problem, place, move, onward) for move in problem.moves[step]))
        if later & mask:
            break
    return best


def _added(problem: Problem, place: int, move: Move, onward: int | None) -> int:
    cost = problem.cost
    there = cost[place][move.first] + move.inner
    if onward is None:
        return there + problem.end_cost[move.last] - problem.end_cost[place]
    return there + cost[move.last][onward] - cost[place][onward]
