"""The sequential ordering problem: the cheapest order of steps that keeps every precedence.

A state is the set of steps done and the place where one stands. Budgets count states, never seconds, so
results are repeatable.
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

    before[s]: bit mask of steps before s. end_cost[a]: from place a to the end.
    """

    cost: Matrix
    moves: tuple[tuple[Move, ...], ...]
    before: tuple[int, ...]
    start: int
    end_cost: Sequence[int]

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
    """What can be done next in a state, where every step has one place of its own."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.full = problem, problem.full
        self._ready: dict[int, tuple[tuple[int, int], ...]] = {}

    def after(self, mask: int, place: int) -> list[tuple[int, int, int]]:
        """(cost, steps done, place) of every next step."""
        ready = self._ready.get(mask)
        if ready is None:
            ready = self._ready[mask] = tuple(
                (1 << s, ways[0].last)
                for s, (before, ways) in enumerate(zip(self.problem.before, self.problem.moves, strict=True))
                if not mask >> s & 1 and before & mask == before
            )
        row = self.problem.cost[place]
        return [(row[at], mask | bit, at) for bit, at in ready if row[at] < FAR]

    def unfold(self, trail: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
        """The steps with their moves, from the states (steps done, place) of a trail."""
        masks = [mask for mask, _ in trail]
        return tuple(((new ^ old).bit_length() - 1, 0) for old, new in zip(masks, masks[1:], strict=False))


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
