"""A walking problem in the form in which it is searched: few places, and no step that others take along.

Of two steps at one place, one may wait for the other when nothing keeps it back longer and nothing
waits for it sooner; such a step is left out and done with the other. Where a place with a step that
is ready lies on the way to another, one stops there first: that costs nothing, because walking is a metric.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from guidegen.sequence.ordering import Move, Problem, closed

Way: TypeAlias = tuple[int, int, int]  # first place, last place, inner cost
Doing: TypeAlias = tuple[int, int, int, int]  # step, and the way in which it is done
Order: TypeAlias = list[Doing]


class Compact:
    """steps: those that are searched, by their index in the problem. Places are numbered from the start, 0.

    before, after: masks of all steps before and after each, through others too; earlier, later: the same as
    sets. still[s]: a step at one place. cost[a][b], towards[b][a]: from place a to place b. between[a][b]:
    mask of the places that lie on a shortest way from a to b, nearer to a than b.
    Raises ValueError when the precedences run in a circle.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.before = closed(problem.before)
        self.after = _turned(self.before)
        self.earlier = [frozenset(bits(mask)) for mask in self.before]
        self.later = [frozenset(bits(mask)) for mask in self.after]
        self.still = [_is_still(ways) for ways in problem.moves]
        self.steps = _kept(problem, self.before, self.after, self.still)
        ends = (p for s in self.steps for way in problem.moves[s] for p in (way.first, way.last))
        self.places = list(dict.fromkeys((problem.start, *ends)))
        at = {place: k for k, place in enumerate(self.places)}
        self.ways: dict[int, tuple[Way, ...]] = {
            s: tuple((at[way.first], at[way.last], way.inner) for way in problem.moves[s]) for s in self.steps
        }
        self.cost = [[problem.cost[a][b] for b in self.places] for a in self.places]
        self.towards = list(zip(*self.cost, strict=True))
        self.end = [problem.end_cost[a] for a in self.places]
        self.between = _between(self.cost, self.towards)
        self.place_bits = len(self.places).bit_length()

    def length(self, order: Order) -> int:
        place = total = 0
        for _, first, last, inner in order:
            total += self.cost[place][first] + inner
            place = last
        return total + self.end[place]

    def whole(self, order: Order) -> tuple[tuple[int, int], ...]:
        """The order of all steps of the problem with their moves; what is ready where one stands is done."""
        moves, before = self.problem.moves, self.before
        own: dict[int, list[int]] = {}
        for s, still in enumerate(self.still):
            if still:
                own.setdefault(moves[s][0].first, []).append(s)
        done, steps = 0, list[tuple[int, int]]()

        def arrive(place: int) -> None:
            nonlocal done
            while ready := [s for s in own.get(place, ()) if not done >> s & 1 and not before[s] & ~done]:
                done |= 1 << ready[0]
                steps.append((ready[0], 0))

        arrive(self.problem.start)
        for step, first, last, inner in order:
            if not self.still[step]:
                done |= 1 << step
                steps.append((step, self.ways[step].index((first, last, inner))))
            arrive(self.places[last])
        return tuple(steps)


def _is_still(ways: Sequence[Move]) -> bool:
    return len(ways) == 1 and ways[0].first == ways[0].last and not ways[0].inner


def _turned(before: Sequence[int]) -> list[int]:
    after = [0] * len(before)
    for t, mask in enumerate(before):
        for s in bits(mask):
            after[s] |= 1 << t
    return after


def bits(mask: int) -> Iterable[int]:
    """Positions of the bits that are set, from the lowest."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def _kept(problem: Problem, before: Sequence[int], after: Sequence[int], still: Sequence[bool]) -> list[int]:
    """The steps without those that another step at their place takes along."""
    at: dict[int, list[int]] = {}
    for s, ways in enumerate(problem.moves):
        if still[s]:
            at.setdefault(ways[0].first, []).append(s)
    alive = problem.full
    for own in at.values():
        for s in tuple(own):
            waits = after[s] & alive
            for t in own:
                earlier = before[s] & alive & ~before[t] & ~(1 << t)
                if s != t and not before[s] >> t & 1 and not earlier and not waits & ~after[t] & ~(1 << t):
                    alive &= ~(1 << s)
                    own.remove(s)
                    break
    return list(bits(alive))


def _between(cost: Sequence[Sequence[int]], towards: Sequence[Sequence[int]]) -> list[list[int]]:
    """Of two places equally far from a, the one with the lower number counts as nearer."""
    marks = [1 << x for x in range(len(cost))]
    table = []
    for row in cost:
        found = []
        for b, far in enumerate(row):
            mask = 0
            for mark, there, on in zip(marks, row, towards[b], strict=True):
                if there + on == far:
                    mask |= mark
            mask &= ~marks[b]
            for x in bits(mask >> b):
                if row[x + b] == far:
                    mask &= ~marks[x + b]
            found.append(mask)
        table.append(found)
    return table
