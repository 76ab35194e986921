"""Makes an order of all steps from an order of some, by taking each further step in where it adds least."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from guidegen.sequence.ordering import FAR, Move, Problem

Order: TypeAlias = list[tuple[int, int]]  # (step, index of its move)
_ROUNDS = 1


def completed(problem: Problem, some: Sequence[tuple[int, int]]) -> Order:
    """All steps in an order that keeps the precedences; `problem.before` must name all steps before.

    Those that add most go in first; then each step is taken out and put back where it adds least.
    """
    order = list(some)
    outside = set(range(len(problem.moves))) - {s for s, _ in order}
    for _, step in sorted((-_best_place(problem, order, s)[0], s) for s in outside):
        _insert(problem, order, step)
    for _ in range(_ROUNDS):
        before = list(order)
        for step, _ in before:
            order[:] = [item for item in order if item[0] != step]
            _insert(problem, order, step)
        if order == before:
            break
    return order


def _insert(problem: Problem, order: Order, step: int) -> None:
    _, position, k = _best_place(problem, order, step)
    order.insert(position, (step, k))


def _best_place(problem: Problem, order: Order, step: int) -> tuple[int, int, int]:
    """(what it adds, position, index of the move) of the cheapest way to take a step in."""
    cost, moves, before = problem.cost, problem.moves, problem.before[step]
    best = (FAR, 0, 0)
    place, done, needed = problem.start, 0, before & sum(1 << s for s, _ in order)
    for position in range(len(order) + 1):
        onward: Move | None = None
        if position < len(order):
            after, way = order[position]
            onward = moves[after][way]
        if needed & ~done == 0:
            for k, move in enumerate(moves[step]):
                there = cost[place][move.first] + move.inner
                if onward is None:
                    added = there + problem.end_cost[move.last] - problem.end_cost[place]
                else:
                    added = there + cost[move.last][onward.first] - cost[place][onward.first]
                if added < best[0]:
                    best = (added, position, k)
        if onward is None or problem.before[order[position][0]] >> step & 1:
            break
        done |= 1 << order[position][0]
        place = onward.last
    return best
