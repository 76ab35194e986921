"""Proofs by relaxations that grow: first few steps, then more, until the rest costs nothing.

Leaving steps out of a walk never makes it longer, because walking is a metric. So what it costs to
finish a subset of the steps is a lower bound for finishing all. The subset starts as a chain
of precedences. Each round solves it exactly, looks how far each step left out lies from that walk, and
takes in the farthest; the table of the round before cuts off what cannot be better than the best order
known. When the walk of the subset costs as much as an order of all steps, that order is proved.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from guidegen.sequence.inserting import completed
from guidegen.sequence.ordering import FAR, PLACE_BITS, Move, Problem, Visits, closed, cost_of
from guidegen.sequence.search import Trail

_TAKEN_IN = 3  # steps a round


class _SpentError(Exception):
    """No more visits may be looked at."""


class _Purse(Struct):
    """left: visits that may still be looked at."""

    left: int = 0


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
        """Over the next visits, the most promising first, so that most others need not be followed."""
        if self.purse.left <= 0:
            raise _SpentError
        after = self.visits.after(mask, place)
        self.purse.left -= len(after)
        best, ceiling = FAR, limit
        for low, price, done, at in self._ranked(after, limit):
            if low >= ceiling:
                return min(best, low)
            price += self._finish(done, at, ceiling - price)
            if price < best:
                best = price
                ceiling = min(best, limit)
        return best

    def _ranked(self, after: list[tuple[int, int, int]], limit: int) -> list[tuple[int, int, int, int]]:
        """(lower bound of the rest with the visit, cost of the visit, steps done, place), lowest first."""
        if self.smaller is None:
            return sorted((price, price, done, at) for price, done, at in after)
        subset, exact, finish = self.smaller.subset, self.smaller.exact, self.smaller._finish
        ways = []
        for price, done, at in after:
            low = price
            if price < limit:
                known = exact.get((done & subset) << PLACE_BITS | at)
                low += finish(done & subset, at, limit - price) if known is None else known
            ways.append((low, price, done, at))
        ways.sort()
        return ways

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
            else:
                raise AssertionError("a table lost its walk")
            trail.append((mask, place))
        return cost, tuple(trail)


class Relaxation(Struct):
    """The best order known of all steps, and the highest lower bound; both get better as it grows.

    `problem.before` must be closed and its costs a metric.
    """

    problem: Problem
    best: list[tuple[int, int]] = field(default_factory=list)
    cost: int = FAR
    bound: int = 0
    visits: int = 0  # looked at so far
    _subset: int = 0
    _table: _Table | None = None  # of the greatest subset that is solved
    _next: _Table | None = None  # being solved
    _purse: _Purse = field(default_factory=_Purse)

    def __post_init__(self) -> None:
        self._subset = _longest_chain(self.problem)
        self.offer(completed(self.problem, self.best))

    @property
    def proved(self) -> bool:
        return self.bound >= self.cost

    def offer(self, order: Sequence[tuple[int, int]]) -> None:
        """Takes an order of all steps if it is better than the best known."""
        cost = cost_of(self.problem, order)
        if cost < self.cost:
            self.best, self.cost = list(order), cost

    def grow(self, visits: int) -> None:
        """Until the best order is proved or so many visits were looked at; goes on where it stopped."""
        self._purse.left = visits
        while not self.proved:
            if self._next is None:
                self._next = _Table(self.problem, self._subset, self._table, self._purse)
            try:
                bound, walk = self._next.walk(self.cost)
            except _SpentError:
                break
            self._table, self._next, self.bound = self._next, None, max(bound, self.bound)
            if not self.proved:
                self.offer(completed(self.problem, self._table.visits.unfold(walk)))
                self._subset |= _farthest(self.problem, walk, self._subset)
        self.visits += visits - self._purse.left


def prepared(problem: Problem) -> Problem:
    """With all steps before each, through others too. Raises ValueError when they run in a circle."""
    return replace(problem, before=closed(problem.before), metric=True)


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
