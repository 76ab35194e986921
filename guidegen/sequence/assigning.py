"""The sequential ordering problem with any costs, where steps left out could make an order dearer.

Costs are reduced by the dual values of the assignment problem (every step is left once and reached
once), so that none is negative and the cheapest rest costs nearly nothing. A beam finds a first order,
exchanges better it, and a search of all states proves it.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from guidegen.sequence.exchanging import exchanged
from guidegen.sequence.ordering import FAR, Ordering, Problem, Visits, closed, cost_of
from guidegen.sequence.search import search

_BEAM = 100


def cheapest_order(problem: Problem, *, exchanges: int = 300_000, budget: int = 1_500_000) -> Ordering:
    """The cheapest order, proved unless the budget of states runs out. Every step has one place.

    Raises ValueError when the precedences run in a circle or leave no way.
    """
    reduced, base = _reduced(problem)
    visits = Visits(reduced)
    first = search(visits, width=_BEAM)
    if not first.trail:
        first = search(visits, budget=budget)
    if not first.trail:
        raise ValueError("no order leads to the end")
    steps = visits.unfold(first.trail)
    if first.bound < first.cost:
        steps = exchanged(reduced, steps, budget=exchanges)
    cost = cost_of(reduced, steps)
    rest = search(visits, below=cost, budget=budget)
    if rest.trail:
        steps = visits.unfold(rest.trail)
    return Ordering(steps, cost_of(problem, steps), base + rest.bound, first.states + rest.states)


def _reduced(problem: Problem) -> tuple[Problem, int]:
    """The problem with reduced costs, and what every order costs beyond them."""
    before = closed(problem.before)
    place = [ways[0].first for ways in problem.moves]
    count = len(place)
    table = [[FAR] * (count + 1) for _ in range(count + 1)]  # rows: start, steps; columns: steps, end
    for t in range(count):
        if not before[t]:
            table[0][t] = problem.cost[problem.start][place[t]]
        for s in range(count):
            if s != t and _may_follow(before, s, t):
                table[s + 1][t] = problem.cost[place[s]][place[t]]
    leads = [any(before[t] >> s & 1 for t in range(count)) for s in range(count)]
    for s in range(count):
        if not leads[s]:
            table[s + 1][count] = problem.end_cost[place[s]]
    rows, columns = _duals(table)
    cost = [[FAR] * len(row) for row in problem.cost]
    end_cost = [FAR] * len(problem.end_cost)
    for i, row in enumerate(table):
        origin = problem.start if i == 0 else place[i - 1]
        for j in range(count):
            if row[j] < FAR:
                cost[origin][place[j]] = row[j] - rows[i] - columns[j]
        if row[count] < FAR:
            end_cost[origin] = row[count] - rows[i] - columns[count]
    return replace(problem, cost=cost, before=before, end_cost=end_cost), sum(rows) + sum(columns)


def _may_follow(before: Sequence[int], s: int, t: int) -> bool:
    """Whether t can stand right after s: not before it, and nothing must come between them."""
    if before[s] >> t & 1:
        return False
    if not before[t] >> s & 1:
        return True
    return not any(before[t] >> k & 1 and before[k] >> s & 1 for k in range(len(before)))


def _duals(table: Sequence[Sequence[int]]) -> tuple[list[int], list[int]]:
    """Dual values of the assignment problem (Hungarian method with shortest augmenting paths).

    rows[i] + columns[j] ≤ table[i][j], with equality on a cheapest assignment.
    """
    count = len(table)
    rows, columns = [0] * (count + 1), [0] * (count + 1)
    owner = [0] * (count + 1)  # row + 1 that holds the column
    for i in range(1, count + 1):
        owner[0], free = i, 0
        least, came = [FAR * 4] * (count + 1), [0] * (count + 1)
        used = [False] * (count + 1)
        while owner[free]:
            used[free] = True
            row, near, next_free = owner[free], FAR * 4, 0
            for j in range(1, count + 1):
                if not used[j]:
                    slack = table[row - 1][j - 1] - rows[row] - columns[j]
                    if slack < least[j]:
                        least[j], came[j] = slack, free
                    if least[j] < near:
                        near, next_free = least[j], j
            for j in range(count + 1):
                if used[j]:
                    rows[owner[j]] += near
                    columns[j] -= near
                else:
                    least[j] -= near
            free = next_free
        while free:
            owner[free] = owner[came[free]]
            free = came[free]
    return rows[1:], columns[1:]
