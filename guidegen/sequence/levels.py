"""One round of a relaxation: what it costs to finish a subset of the steps, worked out where asked for.

A state is an integer: the place in its low bits, above them a bit for each step of the subset, in the
order in which the rounds took the steps in. So the state of an earlier round is a state's low bits.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

from msgspec import Struct

from guidegen.sequence.compact import Compact, Order, bits
from guidegen.sequence.ordering import FAR

Trail: TypeAlias = tuple[int, ...]  # states
_After: TypeAlias = Callable[[int], list[tuple[int, int]]]
_Finish: TypeAlias = Callable[[int, int], int]
_Bits: TypeAlias = tuple[int, int, int]  # of a step: its bit, the steps before it, both
# Of a set of steps done: mask of the places with a step that is ready, (place, state there) of each, and
# (first place, its mask, inner cost, state at its end) of every ready way of a step that leads on.
_Options: TypeAlias = tuple[int, list[tuple[int, int]], list[tuple[int, int, int, int]]]


class SpentError(Exception):
    """No more visits may be looked at."""


class Purse(Struct):
    """left: visits that may still be looked at."""

    left: int = 0


class Level:
    """The states of one subset. known: state → what finishing costs at least, times two, plus one if exactly.

    lower: the level of a subset that this one begins with.
    """

    def __init__(self, problem: Compact, steps: Sequence[int], lower: Level | None, purse: Purse) -> None:
        self.problem, self.steps = problem, steps
        self.place_mask = (1 << problem.place_bits) - 1
        self._bit = {s: 1 << problem.place_bits + k for k, s in enumerate(steps)}
        self.full = sum(self._bit.values())
        self._subset = sum(1 << s for s in steps)
        self.keep = self.full | self.place_mask
        self.known: dict[int, int] = {}
        self._still: dict[int, list[_Bits]] = {}
        self._moving: list[tuple[_Bits, int]] = []
        for s in steps:
            before = self.mask_of(problem.before[s])
            own = (self._bit[s], before, before | self._bit[s])
            if problem.still[s]:
                self._still.setdefault(problem.ways[s][0][0], []).append(own)
            else:
                self._moving.append((own, s))
        self.after = self._next_visits()
        self.finish = _finisher(self, lower, purse)

    def mask_of(self, steps: int) -> int:
        """Those of the steps that are in the subset, as bits of a state."""
        bit = self._bit
        return sum([bit[s] for s in bits(steps & self._subset)])

    def absorb(self, mask: int, place: int) -> int:
        """The steps done after all that is ready at the place."""
        own = self._still.get(place, ())
        again = True
        while again:
            again = False
            for bit, before, both in own:
                if mask & both == before:
                    mask |= bit
                    again = True
        return mask

    def _next_visits(self) -> _After:
        """A function: state → (cost, state) of every next visit, without those that pass a ready step."""
        cost, between, place_mask = self.problem.cost, self.problem.between, self.place_mask
        found: dict[int, _Options] = {}
        get, options = found.get, self._options

        def after(key: int) -> list[tuple[int, int]]:
            place = key & place_mask
            mask = key ^ place
            known = get(mask)
            if known is None:
                known = found[mask] = options(mask)
            ready, still, moving = known
            row, passed = cost[place], between[place]
            visits = [(row[home], state) for home, state in still if not ready & passed[home]]
            for first, there, inner, state in moving:
                if not ready & (passed[first] | there):
                    visits.append((row[first] + inner, state))
            return visits

        return after

    def _options(self, mask: int) -> _Options:
        ready, still, moving = 0, [], []
        for home, own in self._still.items():
            for bit, before, both in own:
                if mask & both == before:
                    ready |= 1 << home
                    state = mask | bit if len(own) == 1 else self.absorb(mask | bit, home)
                    still.append((home, state | home))
                    break
        for (bit, before, both), step in self._moving:
            if mask & both == before:
                for first, last, inner in self.problem.ways[step]:
                    moving.append((first, 1 << first, inner, self.absorb(mask | bit, last) | last))
        return ready, still, moving

    def walk(self, limit: int) -> tuple[int, Trail]:
        """The cost of a shortest walk through the subset and its states; no states from the limit on."""
        key = self.absorb(0, 0)
        cost = left = self.finish(key, limit)
        trail = [key]
        while key & self.full != self.full and cost < limit:
            for price, state in self.after(key):
                if price <= left and price + self.finish(state, left - price + 1) == left:
                    key, left = state, left - price
                    break
            else:
                raise AssertionError("a level lost its walk")
            trail.append(key)
        return cost, tuple(trail)

    def unfold(self, trail: Trail) -> Order:
        """The steps of the subset with their ways."""
        problem, order, done, here = self.problem, Order(), 0, 0
        for key in trail:
            place = key & self.place_mask
            new = [s for s in self.steps if key & ~done & self._bit[s]]
            new.sort(key=lambda s: (problem.still[s], problem.before[s].bit_count()))
            for s in new:
                ways = [way for way in problem.ways[s] if way[1] == place]
                order.append((s, *min(ways, key=lambda way: problem.cost[here][way[0]] + way[2])))
            done, here = key ^ place, place
        return order


def _finisher(level: Level, lower: Level | None, purse: Purse) -> _Finish:
    """A function: (state, limit) → what finishing costs, exact below the limit, else at least the limit.

    The most promising visits come first, so that most others need not be followed.
    """
    known, after, full, place_mask, end = (
        level.known,
        level.after,
        level.full,
        level.place_mask,
        level.problem.end,
    )
    get = known.get
    low_get = lower.known.get if lower else get
    low_finish: _Finish = lower.finish if lower else (lambda key, limit: 0)
    keep = lower.keep if lower else 0

    def finish(key: int, limit: int) -> int:
        value = get(key)
        if value is not None:
            if value & 1 or value >> 1 >= limit:
                return value >> 1
        elif lower:
            low = low_finish(key & keep, limit)
            if low >= limit:
                known[key] = low << 1
                return low
        if key & full == full:
            best = end[key & place_mask]
            known[key] = best << 1 | 1
            return best
        if purse.left <= 0:
            raise SpentError
        visits = after(key)
        purse.left -= len(visits)
        if len(visits) == 1:
            price, state = visits[0]
            best = price + finish(state, limit - price)
        else:
            ways = []  # (lower bound of the rest with the visit, cost of the visit, state), lowest first
            for price, state in visits:
                low, left = price, limit - price
                if lower and left > 0:
                    value = low_get(state & keep)
                    if value is not None and (value & 1 or value >> 1 >= left):
                        low += value >> 1
                    else:
                        low += low_finish(state & keep, left)
                ways.append((low, price, state))
            ways.sort()
            best, ceiling = FAR, limit
            for low, price, state in ways:
                if low >= ceiling:
                    if low < best:
                        best = low
                    break
                value = get(state)
                price += value >> 1 if value is not None and value & 1 else finish(state, ceiling - price)
                if price < best:
                    best = price
                    if best < ceiling:
                        ceiling = best
        known[key] = best << 1 | (best < limit)
        return best

    return finish
