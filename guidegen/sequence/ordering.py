"""The sequential ordering problem: the cheapest order of steps that keeps every precedence.

A state is the set of steps done and the place where one stands. Budgets count states, never seconds, so
results are repeatable.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from msgspec import Struct

Matrix: TypeAlias = Sequence[Sequence[int]]
FAR = 1 << 40  # more than any order costs


class Move(Struct, frozen=True):
    """One way to do a step: go to the place `first`, do it at an inner cost, stand at `last`."""

    first: int
    last: int
    inner: int = 0


class Problem(Struct, frozen=True):
    """cost[a][b] from place a to b, a metric: no way round is cheaper. moves[s]: the ways to do step s.

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
