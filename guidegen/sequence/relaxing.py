"""The shortest walk by relaxations that grow: first few steps, then more, until the rest costs nothing.

Leaving steps out of a walk never makes it longer, because walking is a metric. So the exact cost of
finishing a subset of the steps is a lower bound for finishing all. The subset starts empty; each round
solves it exactly for every state it can reach, looks how far each step left out lies from that walk,
and takes in the farthest. The last table then guides a short search over all steps.
"""

from __future__ import annotations

from guidegen.sequence.ordering import FAR, PLACE_BITS, Move, Ordering, Problem, Visits, closed
from guidegen.sequence.search import Found, Trail, search

_TAKEN_IN = 2  # steps a round
_WORTH_A_SEARCH = 300  # a table with so many states guides a search well enough to try one
_BEAM = 8  # width of the beam that looks for a good order first
_LEAST_ROOM = 200


class _Table:
    """Exact costs of finishing a subset of the steps, worked out when asked for."""

    def __init__(self, problem: Problem, subset: int) -> None:
        self.problem, self.subset = problem, subset
        self.visits = Visits(problem, subset)
        self.known: dict[int, int] = {}

    def bound(self, mask: int, place: int) -> int:
        """Of finishing the subset, when `mask` of all steps are done."""
        return self._finish(mask & self.subset, place)

    def _finish(self, mask: int, place: int) -> int:
        key = mask << PLACE_BITS | place
        found = self.known.get(key)
        if found is None:
            if mask == self.subset:
                found = self.problem.end_cost[place]
            else:
                found = FAR
                for price, done, at in self.visits.after(mask, place):
                    if price < found:
                        found = min(found, price + self._finish(done, at))
            self.known[key] = found
        return found

    def walk(self) -> Trail:
        """The states of a shortest walk through the subset."""
        mask, place = self.visits.absorb(0, self.problem.start), self.problem.start
        trail = [(mask, place)]
        while mask != self.subset:
            ways = self.visits.after(mask, place)
            _, mask, place = min(ways, key=lambda way: (way[0] + self._finish(way[1], way[2]), way))
            trail.append((mask, place))
        return tuple(trail)


def shortest_walk(problem: Problem, *, budget: int) -> Ordering:
    """The cheapest order under a metric; tables and search together open about `budget` states.

    Raises ValueError when the precedences run in a circle.
    """
    before = closed(problem.before)
    whole = Problem(problem.cost, problem.moves, before, problem.start, problem.end_cost, True)
    visits = Visits(whole)
    best, subset, opened = Found(FAR, (), 0, 0), 0, 0
    while True:
        table = _Table(whole, subset)
        walk = table.walk()
        opened += len(table.known)
        farthest = _farthest(whole, walk, subset)
        spent = opened >= budget or not farthest
        if spent or len(table.known) > _WORTH_A_SEARCH:
            best, states = _searched(visits, table, best, budget - opened if spent else len(table.known))
            opened += states
        if spent or best.bound >= best.cost or opened >= budget:
            return Ordering(visits.unfold(best.trail), best.cost, min(best.bound, best.cost), opened)
        for step in farthest:
            subset |= 1 << step


def _searched(visits: Visits, table: _Table, best: Found, budget: int) -> tuple[Found, int]:
    """The best order so far after a beam and a search of limited size, and the states they opened."""
    opened = 0
    for width, room in ((_BEAM, 0), (0, max(budget, _LEAST_ROOM))):
        found = search(visits, table.bound, width=width, below=best.cost, budget=room)
        opened += found.states
        best = Found(found.cost, found.trail or best.trail, max(best.bound, found.bound), opened)
        if best.bound >= best.cost:
            break
    return best, opened


def _farthest(problem: Problem, walk: Trail, subset: int) -> list[int]:
    """The steps outside the subset that lie farthest from its walk; none when all lie on it."""
    outside = [s for s in range(len(problem.moves)) if not subset >> s & 1]
    detours = sorted(((_detour(problem, walk, subset, s), -s) for s in outside), reverse=True)
    return [-s for detour, s in detours[:_TAKEN_IN] if detour > 0]


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
