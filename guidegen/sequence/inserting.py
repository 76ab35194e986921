"""Takes steps into an order where they add least."""

from __future__ import annotations

from collections.abc import Callable

from guidegen.sequence.compact import Compact, Order
from guidegen.sequence.ordering import FAR

_BLINK = 0.02  # chance that a good position is overlooked


def inserted(problem: Compact, order: Order, step: int, chance: Callable[[], float] | None = None) -> None:
    """Takes the step in where it adds least, after all before it and before all after it.

    With numbers by chance from 0 to 1 some positions are overlooked.
    """
    cost, end = problem.cost, problem.end
    low, high = _room(problem, order, step)
    best, at, chosen = FAR, low, problem.ways[step][0]
    for way in problem.ways[step]:
        first, last, inner = way
        onward = cost[last]
        here = order[low - 1][2] if low else 0
        for k, (_, there, stop, _) in enumerate(order[low : high + 1], low):
            row = cost[here]
            added = row[first] + inner + onward[there] - row[there]
            if added < best and (chance is None or chance() > _BLINK):
                best, at, chosen = added, k, way
            here = stop
        if high == len(order):
            added = cost[here][first] + inner + end[last] - end[here]
            if added < best:
                best, at, chosen = added, high, way
    order.insert(at, (step, *chosen))


def _room(problem: Compact, order: Order, step: int) -> tuple[int, int]:
    """The first and the last position at which the step may be taken in."""
    before, after = problem.before[step], problem.after[step]
    low = 0
    for k, (other, _, _, _) in enumerate(order):
        if before >> other & 1:
            low = k + 1
        elif after >> other & 1:
            return low, k
    return low, len(order)


def put_back(problem: Compact, order: Order) -> None:
    """Takes each step out and puts it back where it adds least."""
    for doing in tuple(order):
        order.remove(doing)
        inserted(problem, order, doing[0])
