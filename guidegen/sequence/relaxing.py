"""Proofs by relaxations that grow: first few steps, then more, until the rest costs nothing.

Leaving steps out of a walk never makes it longer, because walking is a metric. So what it costs to
finish a subset of the steps is a lower bound for finishing all. The subset starts as a chain
of precedences. Each round solves it exactly, looks how far each step left out lies from that walk, and
takes in the farthest; the levels of the rounds before cut off what cannot be better than the best order
known. When the walk of the subset costs as much as an order of all steps, that order is proved.
"""

from __future__ import annotations

from collections.abc import Sequence

from guidegen.sequence.compact import Compact, Order, Way
from guidegen.sequence.inserting import inserted, put_back
from guidegen.sequence.levels import Level, Purse, SpentError, Trail
from guidegen.sequence.ordering import FAR

_TAKEN_IN = 3  # steps a round
_NEAR = 1.05  # so little worse than the best known, an order is worth bettering


class Relaxation:
    """The best order known of all steps, and the highest lower bound; both get better as it grows.

    visits: looked at so far.
    """

    def __init__(self, problem: Compact) -> None:
        self.problem = problem
        self.best: Order = []
        self.cost, self.bound, self.visits = FAR, 0, 0
        self._steps = _longest_chain(problem)
        self._level: Level | None = None  # of the greatest subset that is solved
        self._next: Level | None = None  # being solved
        self._purse = Purse()
        self._complete([], problem.steps)

    @property
    def proved(self) -> bool:
        return self.bound >= self.cost

    def offer(self, order: Order) -> None:
        """Takes an order of all steps if it is better than the best known."""
        cost = self.problem.length(order)
        if cost < self.cost:
            self.best, self.cost = order, cost

    def grow(self, visits: int) -> None:
        """Until the best order is proved or so many visits were looked at; goes on where it stopped."""
        self._purse.left = visits
        while not self.proved:
            if self._next is None:
                self._next = Level(self.problem, self._steps, self._level, self._purse)
            try:
                bound, walk = self._next.walk(self.cost)
            except SpentError:
                break
            self._level, self._next, self.bound = self._next, None, max(bound, self.bound)
            if not self.proved:
                outside = _farthest_first(self.problem, walk, self._steps, self._level)
                self._complete(self._level.unfold(walk), outside)
                self._steps = [*self._steps, *outside[:_TAKEN_IN]]
        self.visits += visits - self._purse.left

    def _complete(self, order: Order, outside: Sequence[int]) -> None:
        for step in outside:
            inserted(self.problem, order, step)
        if self.problem.length(order) < self.cost * _NEAR:
            put_back(self.problem, order)
        self.offer(order)


def _longest_chain(problem: Compact) -> list[int]:
    """The steps of the chain of precedences along which one has to walk farthest."""
    order = sorted(problem.steps, key=lambda s: problem.before[s].bit_count())
    cost, best = problem.cost, dict[int, tuple[int, int]]()  # step → (walk up to its end, steps of the chain)
    for s in order:
        before, ways = problem.before[s], problem.ways[s]
        top = (min(cost[0][first] + inner for first, _, inner in ways), 1 << s)
        for t in order:
            if before >> t & 1:
                walked, chain = best[t]
                ends = {last for _, last, _ in problem.ways[t]}
                link = min([cost[end][first] + inner for end in ends for first, _, inner in ways])
                top = max(top, (walked + link, chain | 1 << s))
        best[s] = top
    chain = max(best.values(), default=(0, 0))[1]
    return [s for s in order if chain >> s & 1]


def _farthest_first(problem: Compact, walk: Trail, steps: Sequence[int], level: Level) -> list[int]:
    """The steps outside the subset, those first that lie farthest from its walk.

    How far: the least that taking the step into the walk adds, between the steps that it must keep apart.
    """
    within = set(steps)
    places = [key & level.place_mask for key in walk]
    added: dict[Way, list[int]] = {}
    detours = []
    for step in (s for s in problem.steps if s not in within):
        before, after = level.mask_of(problem.before[step]), level.mask_of(problem.after[step])
        first = next(k for k, key in enumerate(walk) if not before & ~key)
        end = next((k for k, key in enumerate(walk) if after & key), len(walk))
        least = FAR
        for way in problem.ways[step]:
            if way not in added:
                added[way] = _added(problem, places, way)
            least = min(least, *added[way][first : max(end, first + 1)])
        detours.append((-least, step))
    detours.sort()
    return [step for _, step in detours]


def _added(problem: Compact, places: Sequence[int], way: Way) -> list[int]:
    """What the way adds to a walk after each of its places."""
    cost, (first, last, inner) = problem.cost, way
    onward, end = cost[last], problem.end
    between = [
        cost[a][first] + inner + onward[b] - cost[a][b] for a, b in zip(places, places[1:], strict=False)
    ]
    stop = places[-1]
    return [*between, cost[stop][first] + inner + end[last] - end[stop]]
