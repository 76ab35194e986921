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
    between, start = order[low : high + 1], order[low - 1][2] if low else 0
    for way in problem.ways[step]:
        first, last, inner = way
        towards, onward, here = problem.towards[first], cost[last], start
        less = best - inner
        for k, (_, there, stop, _) in enumerate(between, low):
            added = towards[here] + onward[there] - cost[here][there]
            if added < less and (chance is None or chance() > _BLINK):
                less, at, chosen = added, k, way
            here = stop
        if high == len(order):
            added = towards[here] + end[last] - end[here]
            if added < less:
                less, at, chosen = added, high, way
        best = less + inner
    order.insert(at, (step, *chosen))


def _room(problem: Compact, order: Order, step: int) -> tuple[int, int]:
    """The first and the last position at which the step may be taken in."""
    earlier, later = problem.earlier[step], problem.later[step]
    low = 0
    for k, (other, _, _, _) in enumerate(order):
        if other in earlier:
            low = k + 1
        elif other in later:
            return low, k
    return low, len(order)


def put_back(problem: Compact, order: Order) -> None:
    """Takes each step out and puts it back where it adds least."""
    for doing in tuple(order):
        order.remove(doing)
        inserted(problem, order, doing[0])
