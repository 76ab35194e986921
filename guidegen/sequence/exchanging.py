"""Betters an order by exchanging neighbouring pieces of it, again and again from slightly shaken ones.

Pieces keep their inner order, so the precedences need only be looked at between the two pieces
(the path-preserving 3-exchange for sequential ordering of Gambardella and Dorigo 2000).
"""

from __future__ import annotations

import random
from collections.abc import Sequence

from guidegen.sequence.ordering import FAR, Matrix, Problem

_LEAST = 5  # nodes of a path in which two pieces can change places and be shaken
_SHAKES = 3  # random exchanges between two local optima


def exchanged(
    problem: Problem, steps: Sequence[tuple[int, int]], *, budget: int
) -> tuple[tuple[int, int], ...]:
    """An order at least as good, each step still done in its way; `problem.before` must be closed."""
    ways = [problem.moves[s][k] for s, k in sorted(steps)]
    end = len(ways) + 1  # nodes: the start, the steps, the end
    leaving = [problem.start, *(way.last for way in ways)]
    cost = [
        [FAR, *(problem.cost[place][way.first] + way.inner for way in ways), problem.end_cost[place]]
        for place in leaving
    ]
    cost.append([FAR] * (end + 1))
    before = [0, *(mask << 1 | 1 for mask in problem.before), (1 << end) - 1]
    path = bettered(cost, before, [0, *(s + 1 for s, _ in steps), end], budget=budget)
    chosen = dict(steps)
    return tuple((node - 1, chosen[node - 1]) for node in path[1:-1])


def bettered(
    cost: Matrix, before: Sequence[int], path: Sequence[int], *, budget: int, seed: int = 0
) -> list[int]:
    """The best path found with `budget` exchanges priced. The first and last node stay.

    cost[a][b]: from node a to b. before[a]: mask of all nodes before a, through others too.
    """
    rng = random.Random(seed)
    best = list(path)
    if len(best) < _LEAST:
        return best
    best_cost = _length(cost, best)
    here, spent = list(best), 0
    while spent < budget:
        spent += _descend(cost, before, here)
        found = _length(cost, here)
        if found < best_cost:
            best, best_cost = list(here), found
        elif found > best_cost:
            here = list(best)
        for _ in range(_SHAKES):
            _shake(before, here, rng)
    return best


def _length(cost: Matrix, path: Sequence[int]) -> int:
    return sum(cost[a][b] for a, b in zip(path, path[1:], strict=False))


def _descend(cost: Matrix, before: Sequence[int], path: list[int]) -> int:
    """Makes exchanges until none helps; how many were priced."""
    priced, again = 0, True
    while again:
        again = False
        for h in range(1, len(path) - 2):
            found, tried = _best_from(cost, before, path, h)
            priced += tried
            if found:
                i, j = found
                path[h:j] = path[i:j] + path[h:i]
                again = True
    return priced


def _best_from(
    cost: Matrix, before: Sequence[int], path: Sequence[int], h: int
) -> tuple[tuple[int, int] | None, int]:
    """The best exchange of path[h:i] and path[i:j], if one shortens the path, and how many were tried."""
    gain, best, tried = 0, None, 0
    last, left = len(path) - 1, 0
    from_before, head = cost[path[h - 1]], path[h]
    drop_head = from_before[head]
    for i in range(h + 1, last):
        left |= 1 << path[i - 1]
        tail = cost[path[i - 1]]
        start = path[i]
        base = drop_head + tail[start] - from_before[start]
        for j in range(i + 1, last + 1):
            end = path[j - 1]
            if before[end] & left:
                break
            tried += 1
            after = path[j]
            found = base + cost[end][after] - cost[end][head] - tail[after]
            if found > gain:
                gain, best = found, (i, j)
    return best, tried


def _shake(before: Sequence[int], path: list[int], rng: random.Random) -> None:
    """Exchanges two neighbouring pieces at random, where the precedences allow it."""
    for _ in range(50):
        h = rng.randrange(1, len(path) - 2)
        i = rng.randrange(h + 1, min(h + 8, len(path) - 1))
        j = rng.randrange(i + 1, min(i + 8, len(path)))
        left = sum(1 << node for node in path[h:i])
        if not any(before[node] & left for node in path[i:j]):
            path[h:j] = path[i:j] + path[h:i]
            return
