"""The sequential ordering problem: the cheapest order of steps that keeps every precedence.

Exact dynamic programming over downsets (the set of steps done, the place where one stands), layer by
layer, cut by an upper bound from a narrow beam and by a lower bound on what remains. Where distances
are a metric, every ready step at the place where one stands is done at once: that loses nothing, so
steps collapse into visits of places. Budgets count states, never seconds, so results are repeatable.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

Matrix: TypeAlias = Sequence[Sequence[int]]
FAR = 1 << 40
_PLACE_BITS = 10
_PLACE_MASK = (1 << _PLACE_BITS) - 1


@dataclass(frozen=True, slots=True)
class Move:
    """One way to do a step: walk to `first`, do it at an inner cost, stand at `last`."""

    first: int
    last: int
    inner: int = 0


@dataclass(frozen=True, slots=True)
class Problem:
    """cost[a][b] from place a to place b; FAR where no way leads. `before[s]`: mask of steps before s."""

    cost: Matrix
    moves: tuple[tuple[Move, ...], ...]
    before: tuple[int, ...]
    start: int
    end_cost: Sequence[int]
    metric: bool
    bound: Callable[[int, int], int]  # (mask done, place) → no completion costs less

    @property
    def full(self) -> int:
        return (1 << len(self.moves)) - 1


@dataclass(frozen=True, slots=True)
class Ordering:
    """steps: (step, index of its move) in order; bound: no order costs less."""

    steps: tuple[tuple[int, int], ...]
    cost: int
    bound: int
    states: int

    @property
    def proved(self) -> bool:
        return self.bound >= self.cost


class _Search:
    def __init__(self, problem: Problem) -> None:
        self.p = problem
        self.places = len(problem.cost)
        self.single: list[list[tuple[int, int]]] = [[] for _ in range(self.places)]  # (bit, before)
        self.outgoing: list[tuple[int, int, int, tuple[Move, ...]]] = []
        for s, moves in enumerate(problem.moves):
            alone = (
                problem.metric and len(moves) == 1 and moves[0].first == moves[0].last and not moves[0].inner
            )
            if alone:
                self.single[moves[0].first].append((1 << s, problem.before[s]))
            else:
                self.outgoing.append((s, 1 << s, problem.before[s], moves))
        self.home = [p for p in range(self.places) if self.single[p]]

    def absorb(self, mask: int, place: int) -> int:
        """All that is ready at the place, done."""
        own = self.single[place]
        again = True
        while again:
            again = False
            for bit, before in own:
                if not mask & bit and before & mask == before:
                    mask |= bit
                    again = True
        return mask

    def successors(self, mask: int, place: int) -> list[tuple[int, int, int]]:
        """(cost, mask, place) after one more visit."""
        row = self.p.cost[place]
        found = []
        for q in self.home:
            for bit, before in self.single[q]:
                if not mask & bit and before & mask == before:
                    found.append((row[q], self.absorb(mask | bit, q), q))
                    break
        for _, bit, before, moves in self.outgoing:
            if not mask & bit and before & mask == before:
                done = mask | bit
                for move in moves:
                    step = row[move.first] + move.inner
                    if step < FAR:
                        found.append((step, self.absorb(done, move.last), move.last))
        return found

    def run(self, width: int, upper: int, budget: int) -> tuple[int, list[tuple[int, int]], int, int]:
        """(cost, [(mask, place)…], bound, states); width 0 keeps every state.

        The bound is that of the search only when no state was dropped for width.
        """
        p, full, bound = self.p, self.p.full, self.p.bound
        first = (self.absorb(0, p.start) << _PLACE_BITS) | p.start
        best: dict[int, tuple[int, int]] = {first: (0, -1)}  # state → cost, state before
        layers: list[dict[int, int]] = [{} for _ in range(len(p.moves) + 1)]  # state → bound on the whole
        layers[(first >> _PLACE_BITS).bit_count()][first] = bound(first >> _PLACE_BITS, p.start)
        found, found_at, states, lowest = upper, -1, 0, FAR
        dropped = False
        for layer in layers:
            if width and len(layer) > width:
                kept = heapq.nsmallest(width, layer.items(), key=lambda item: (item[1], item[0]))
                dropped = True
            else:
                kept = list(layer.items())
            for state, estimate in kept:
                cost = best[state][0]
                if estimate >= found:
                    continue
                if budget and states >= budget:
                    lowest = min(lowest, estimate)
                    continue
                states += 1
                mask, place = state >> _PLACE_BITS, state & _PLACE_MASK
                if mask == full:
                    total = cost + p.end_cost[place]
                    if total < found:
                        found, found_at = total, state
                    continue
                for step, after, at in self.successors(mask, place):
                    there, key = cost + step, after << _PLACE_BITS | at
                    known = best.get(key)
                    if known is not None and known[0] <= there:
                        continue
                    guess = there + bound(after, at)
                    if guess < found:
                        best[key] = (there, state)
                        layers[after.bit_count()][key] = guess
            layer.clear()
        trail = []
        at_state = found_at
        while at_state >= 0:
            trail.append((at_state >> _PLACE_BITS, at_state & _PLACE_MASK))
            at_state = best[at_state][1]
        low = 0 if dropped else min(lowest, found)
        return found, trail[::-1], low, states

    def unfold(self, trail: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
        """Steps with their moves, from the states of a trail."""
        order: list[tuple[int, int]] = []
        mask, place = 0, self.p.start
        self._fill(order, mask, trail[0][0], trail[0][1])
        mask, place = trail[0]
        for after, at in trail[1:]:
            mask = self._leap(order, mask, place, after, at)
            self._fill(order, mask, after, at)
            mask, place = after, at
        return tuple(order)

    def _leap(self, order: list[tuple[int, int]], mask: int, place: int, after: int, at: int) -> int:
        """The step of several places that leads there, if one does."""
        best = (self.p.cost[place][at], -1, -1)
        if self.absorb(mask, at) != after:
            best = (FAR * 2, -1, -1)
        for s, bit, before, moves in self.outgoing:
            if after & bit and not mask & bit and before & mask == before:
                for k, move in enumerate(moves):
                    if move.last == at and self.absorb(mask | bit, at) == after:
                        best = min(best, (self.p.cost[place][move.first] + move.inner, s, k))
        if best[1] >= 0:
            order.append((best[1], best[2]))
            return mask | 1 << best[1]
        return mask

    def _fill(self, order: list[tuple[int, int]], mask: int, after: int, place: int) -> None:
        own = [s for s, m in enumerate(self.p.moves) if after >> s & 1 and not mask >> s & 1]
        while own:
            ready = next(s for s in own if self.p.before[s] & mask == self.p.before[s])
            order.append((ready, 0))
            mask |= 1 << ready
            own.remove(ready)


def solve(problem: Problem, widths: Sequence[int] = (12,), budget: int = 4000) -> Ordering:
    """The cheapest order; proved unless the budget of states ran out.

    Raises ValueError when the precedences allow no order.
    """
    search = _Search(problem)
    best, trail, states = FAR, [], 0
    for width in widths:
        cost, found, low, used = search.run(width, best, 0)
        states += used
        if found:
            best, trail = cost, found
        if trail and low >= best:
            return Ordering(search.unfold(trail), best, best, states)
    cost, found, low, used = search.run(0, best, budget)
    if found:
        best, trail = cost, found
    if not trail:
        raise ValueError("the precedences allow no order")
    return Ordering(search.unfold(trail), best, min(low, best), states + used)


def cost_of(problem: Problem, steps: Sequence[tuple[int, int]]) -> int:
    """What an order costs, added up from the matrix."""
    place, total = problem.start, 0
    for step, k in steps:
        move = problem.moves[step][k]
        total += problem.cost[place][move.first] + move.inner
        place = move.last
    return total + problem.end_cost[place]
