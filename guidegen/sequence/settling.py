"""Of orders that walk equally far, one that keeps near the order of the data and has few stops.

Neighbouring pieces of an order change places, as long as that walks no farther and sets more steps right
than it sets wrong: the data name first what one does first, where the walk does not care.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from guidegen.sequence.compact import Compact

Steps: TypeAlias = tuple[tuple[int, int], ...]  # (step, index of its move)
_CHANGES = 60  # at most
_STOP = 2  # a stop less is worth so many pairs of steps in the order of the data


def settled(problem: Compact, steps: Steps) -> Steps:
    """The same steps, walking no farther."""
    for _ in range(_CHANGES):
        change = _change(problem, steps)
        if change is None:
            break
        h, i, j = change
        steps = (*steps[:h], *steps[i:j], *steps[h:i], *steps[j:])
    return steps


def _change(problem: Compact, steps: Steps) -> tuple[int, int, int] | None:
    """(h, i, j) of the first change for the better: the steps from h to i come after those from i to j."""
    whole = problem.problem
    cost, count = whole.cost, len(steps)
    ways = [whole.moves[s][k] for s, k in steps]
    firsts, lasts = [way.first for way in ways], [whole.start, *(way.last for way in ways)]
    for h in range(count):
        here, head, left = lasts[h], firsts[h], 0
        from_here = cost[here]
        for i in range(h + 1, count):
            left |= 1 << steps[i - 1][0]
            tail, start = lasts[i], firsts[i]
            less = from_here[head] + cost[tail][start] - from_here[start]
            for j in range(i + 1, count + 1):
                if problem.before[steps[j - 1][0]] & left:
                    break
                end = lasts[j]
                if j < count:
                    after = firsts[j]
                    more = cost[end][head] + cost[tail][after] - cost[end][after]
                else:
                    after = -1
                    more = cost[end][head] + whole.end_cost[tail] - whole.end_cost[end]
                if more > less:
                    continue
                fewer = (here != head) + (tail != start) - (here != start)
                fewer -= (end != head) + (after >= 0) * ((tail != after) - (end != after))
                if more < less or _STOP * fewer + _righted(steps[h:i], steps[i:j]) > 0:
                    return h, i, j
    return None


def _righted(left: Sequence[tuple[int, int]], right: Sequence[tuple[int, int]]) -> int:
    """How many pairs of steps more would stand as in the data if the pieces changed places."""
    pairs = [s > t for s, _ in left for t, _ in right]
    return 2 * sum(pairs) - len(pairs)
