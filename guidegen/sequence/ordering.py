"""The sequential ordering problem: the cheapest order of steps that keeps every precedence.

A state is the set of steps done and the place where one stands. Where costs are a metric, every ready
step at the place where one stands is done at once: that loses nothing, so steps collapse into visits
of places. Budgets count states, never seconds, so results are repeatable.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from msgspec import Struct

Matrix: TypeAlias = Sequence[Sequence[int]]
FAR = 1 << 40
PLACE_BITS = 10
PLACE_MASK = (1 << PLACE_BITS) - 1


class Move(Struct, frozen=True):
    """One way to do a step: go to the place `first`, do it at an inner cost, stand at `last`."""

    first: int
    last: int
    inner: int = 0


class Problem(Struct, frozen=True):
    """cost[a][b] from place a to b, FAR where no way leads. moves[s]: the ways to do step s.

    before[s]: bit mask of steps before s. end_cost[a]: from place a to the end. With `metric` every
    cost is a shortest way.
    """

    cost: Matrix
    moves: tuple[tuple[Move, ...], ...]
    before: tuple[int, ...]
    start: int
    end_cost: Sequence[int]
    metric: bool

    @property
    def full(self) -> int:
        return (1 << len(self.moves)) - 1


class Ordering(Struct, frozen=True):
    """steps: (step, index of its move) in order; bound: no order costs less; states: those opened."""

    steps: tuple[tuple[int, int], ...]
    cost: int
    bound: int
    states: int

    @property
    def proved(self) -> bool:
        return self.bound >= self.cost


class Visits:
    """What can be done next in a state, for all steps of a problem or for a subset of them."""

    def __init__(self, problem: Problem, subset: int = -1) -> None:
        self.problem = problem
        self.full = problem.full & subset
        # (bit, steps before, both): a step is ready where of `both` those before are done and it is not.
        self.single: list[list[tuple[int, int, int]]] = [[] for _ in problem.cost]
        self.moving: list[tuple[int, int, int, tuple[Move, ...]]] = []
        for s, ways in enumerate(problem.moves):
            if not self.full >> s & 1:
                continue
            before = problem.before[s] & self.full
            still = len(ways) == 1 and ways[0].first == ways[0].last and not ways[0].inner
            if problem.metric and still:
                self.single[ways[0].first].append((1 << s, before, before | 1 << s))
            else:
                self.moving.append((s, 1 << s, before, ways))
        self.lone = [(p, *own[0]) for p, own in enumerate(self.single) if len(own) == 1]
        self.shared = [(p, own) for p, own in enumerate(self.single) if len(own) > 1]

    def absorb(self, mask: int, place: int) -> int:
        """The steps done after all that is ready at the place."""
        own = self.single[place]
        again = True
        while again:
            again = False
            for bit, before, both in own:
                if mask & both == before:
                    mask |= bit
                    again = True
        return mask

    def after(self, mask: int, place: int) -> list[tuple[int, int, int]]:
        """(cost, steps done, place) of every next visit."""
        row = self.problem.cost[place]
        found = [
            (row[home], mask | bit, home) for home, bit, before, both in self.lone if mask & both == before
        ]
        for home, own in self.shared:
            for bit, before, both in own:
                if mask & both == before:
                    found.append((row[home], self.absorb(mask | bit, home), home))
                    break
        for _, bit, before, ways in self.moving:
            if not mask & bit and before & mask == before:
                for way in ways:
                    price = row[way.first] + way.inner
                    if price < FAR:
                        found.append((price, self.absorb(mask | bit, way.last), way.last))
        return found

    def unfold(self, trail: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
        """The steps with their moves, from the states (steps done, place) of a trail."""
        order: list[tuple[int, int]] = []
        mask, place = 0, self.problem.start
        for after, at in trail:
            if mask or at != place:
                mask = self._leap(order, mask, place, after, at)
            mask = self._fill(order, mask, after)
            place = at
        return tuple(order)

    def _leap(self, order: list[tuple[int, int]], mask: int, place: int, after: int, at: int) -> int:
        """The step that moves one there, or a plain walk."""
        best = (FAR, -1, -1)
        for s, bit, before, ways in self.moving:
            if after & bit and not mask & bit and before & mask == before:
                for k, way in enumerate(ways):
                    if way.last == at and self.absorb(mask | bit, at) == after:
                        best = min(best, (self.problem.cost[place][way.first] + way.inner, s, k))
        if best[1] < 0:
            return mask
        order.append((best[1], best[2]))
        return mask | 1 << best[1]

    def _fill(self, order: list[tuple[int, int]], mask: int, after: int) -> int:
        left = [s for s in range(len(self.problem.moves)) if (after & ~mask) >> s & 1]
        while left:
            ready = next(s for s in left if self.problem.before[s] & ~mask & self.full == 0)
            order.append((ready, 0))
            mask |= 1 << ready
            left.remove(ready)
        return mask


def closed(before: Sequence[int]) -> tuple[int, ...]:
    """All steps before each step, through others too. Raises ValueError when they run in a circle."""
    masks, done = list(before), 0
    while done != (1 << len(masks)) - 1:
        ready = [s for s, mask in enumerate(masks) if not done >> s & 1 and before[s] & ~done == 0]
        if not ready:
            raise ValueError("the precedences run in a circle")
        for s in ready:
            for t in range(len(masks)):
                if before[s] >> t & 1:
                    masks[s] |= masks[t]
            done |= 1 << s
    return tuple(masks)


def cost_of(problem: Problem, steps: Sequence[tuple[int, int]]) -> int:
    """What an order costs, added up from the matrix."""
    place, total = problem.start, 0
    for step, k in steps:
        move = problem.moves[step][k]
        total += problem.cost[place][move.first] + move.inner
        place = move.last
    return total + problem.end_cost[place]
