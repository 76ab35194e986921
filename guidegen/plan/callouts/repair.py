"""Mends crowded placements: one callout at a time moves to the place where it meets the fewest others.

Min-conflicts search (S. Minton, M. D. Johnston, A. B. Philips and P. Laird, Artificial Intelligence 58,
1992) with weights that grow on conflicts that stay (P. Morris, "The Breakout Method for Escaping from Local
Minima", AAAI 1993). Deterministic.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf
from typing import Protocol

REST = 6  # rounds for which a callout that was just looked at stands back
STALE = 8  # turns of all callouts without fewer conflicts; no repair that succeeded took so many
LEAST_GAIN_MM = 0.2
DEPTH = 2  # callouts that one moved callout may move on, one by the other
FAR_MM = 20.0  # detour from which a callout is brought home
NEAR_PRICE_MM = 24.0  # what a conflict is worth where a callout is brought home
BREADTH = 3  # places that are tried at each step of such a chain


class Prices:
    """What a conflict of two callouts costs in mm: rows[i][j], nothing of a callout with itself."""

    def __init__(self, count: int, base: float, factor: float = 1.5) -> None:
        """factor: by which a conflict that stays grows dearer; at 1 it grows by the base each time."""
        self.base, self.factor = base, factor
        self.rows = [[base] * count for _ in range(count)]
        for i, row in enumerate(self.rows):
            row[i] = 0.0

    def grow(self, i: int, j: int) -> None:
        now = self.rows[i][j]
        self.rows[i][j] = self.rows[j][i] = now * self.factor if self.factor > 1 else now + self.base


class Field(Protocol):
    """Callouts where they stand now, and what each would meet elsewhere; places are counted from 0."""

    count: int

    def cost(self, i: int) -> float:
        """Cost of callout i where it stands."""
        ...

    def choices(self, i: int) -> Iterable[tuple[float, int]]:
        """Where callout i could go, with the cost there, cheapest first."""
        ...

    def best(
        self, i: int, order: list[int], row: Sequence[float], limit: float
    ) -> tuple[int, list[int]] | None:
        """The choice with the least sum of cost and prices, if below the limit, and whom i meets there.

        Others that spoil a choice come first in the order thereafter.
        """
        ...

    def nearby(self, i: int) -> Sequence[tuple[float, int]]:
        """Where callout i stands and could go by a small step, with costs, cheapest first."""
        ...

    def end_of(self, place: int) -> tuple[float, float]:
        """Centre of a badge at the place."""
        ...

    def place_of(self, i: int) -> int: ...

    def put(self, i: int, place: int) -> None: ...

    def clashes(
        self, i: int, place: int, order: Sequence[int], row: Sequence[float], limit: float
    ) -> tuple[float, list[int]]:
        """What callout i would meet at the place: the sum of its row of prices and the others, in the order.

        Stops once the sum reaches the limit.
        """
        ...


class Repair:
    """The state of one search; clashing[i] are the callouts that i meets now."""

    def __init__(self, field: Field, prices: Prices) -> None:
        self.field = field
        self.count = field.count
        self.prices = prices
        self.plain = Prices(self.count, 1.0).rows
        everyone = list(range(self.count))
        self.before = [field.cost(i) for i in everyone]
        self.order = [[j for j in everyone if j != i] for i in everyone]
        self.clashing: list[set[int]] = [
            set(field.clashes(i, field.place_of(i), self.order[i], self.plain[i], inf)[1]) for i in everyone
        ]

    def cost(self) -> float:
        return sum(map(self.field.cost, range(self.count)))

    def conflicts(self) -> int:
        return sum(map(len, self.clashing)) // 2

    def run(self, rounds: int, held: int = -1, most: float = inf) -> bool:
        """Move callouts, though not the one held, until none meets another.

        False after so many rounds, when too many conflicts stay or none has gone for long, or once all
        together cost more than most.
        """
        seen, fewest, since, clashing = [-REST] * self.count, inf, 0, self.clashing
        for now in range(rounds):
            if (most < inf and self.cost() > most) or self._hopeless(now):
                return False
            bad = [i for i, met in enumerate(clashing) if met and i != held]
            if not bad:
                return True
            if (left := self.conflicts()) < fewest:
                fewest, since = left, now
            elif now - since > STALE * self.count:
                return False
            i = min([(max(0, REST - now + seen[i]) - 2 * len(clashing[i]), seen[i], i) for i in bad])[-1]
            seen[i] = now
            if not self.better(i, self._burden(i) - 1e-6):
                for j in self.clashing[i]:
                    self.prices.grow(i, j)
        return not self.conflicts()

    def _hopeless(self, now: int) -> bool:
        """Whether, after a round for each callout, more conflicts are left than repairs that succeed have."""
        turns, rest = divmod(now, self.count)
        return not rest and turns > 0 and self.conflicts() > max(3, self.count // (5 if turns < 3 else 7))

    def slide(self) -> None:
        """Move each callout to the cheapest place nearby where it meets nobody, longest leader first."""
        for i in sorted(range(self.count), key=lambda i: (-self.field.cost(i), i)):
            choices = self.field.nearby(i)
            now = next((cost for cost, place in choices if place == self.field.place_of(i)), 0.0)
            for cost, place in choices:
                if cost > now - 1e-3:
                    break
                if not self.field.clashes(i, place, self.order[i], self.plain[i], 1.0)[1]:
                    self._move(i, place, [])
                    break

    def relieve(self, least: Sequence[float], trials: int, rounds: int) -> None:
        """Give callouts far from home a near place and mend what that upsets, where all is shorter then.

        A large neighbourhood search (P. Shaw, CP 1998). least: a lower bound of each callout's length.
        trials: most callouts that are brought home, longest detours first; rounds: of repair for each.
        """
        field, everyone = self.field, range(self.count)
        far = sorted(((least[i] - field.cost(i), i) for i in everyone), key=lambda d: (round(d[0], 3), d[1]))
        for detour, i in far[:trials]:
            if -detour < FAR_MM:
                break
            before = [field.place_of(k) for k in everyone]
            most = self.cost() - LEAST_GAIN_MM
            self.prices = Prices(self.count, NEAR_PRICE_MM)
            if not self.better(i, field.cost(i) - LEAST_GAIN_MM):
                continue
            if not self.run(rounds, i, most) or self.cost() > most:
                self._seat(
                    *zip(*((k, p) for k, p in enumerate(before) if p != field.place_of(k)), strict=True)
                )

    def reroute(self, trials: int) -> None:
        """Shorten by chains: a callout takes a nearer place, whose holder takes another, and so on.

        As the ejection chains of F. Glover, Discrete Applied Mathematics 65 (1996). trials: most callouts
        from which a chain is begun, those that the repair lengthened most first.
        """
        longer = [self.field.cost(i) - was for i, was in enumerate(self.before)]
        for i in sorted(range(self.count), key=lambda i: (-longer[i], i))[:trials]:
            self._chain(i, -LEAST_GAIN_MM, DEPTH, {i})

    def _chain(self, i: int, gain: float, depth: int, moved: set[int]) -> bool:
        """Give callout i a place that lengthens its leader by less than gain mm; others may move on."""
        field, order = self.field, self.order[i]
        length, here, held = field.cost(i), field.place_of(i), list[tuple[float, int, int]]()
        free = None
        for cost, place in field.choices(i):
            if cost >= length + gain:
                break
            price, met = field.clashes(i, place, order, self.plain[i], 2.0)
            if not met:
                free = place
                break
            if len(met) == 1 and met[0] not in moved and len(held) < BREADTH:
                held.append((cost, place, met[0]))
            elif len(met) > 1:
                to_front(order, met[-1])
        for cost, place, other in held if depth else ():
            self._move(i, place, [other])
            if self._chain(other, gain + length - cost, depth - 1, moved | {i}):
                return True
            self._move(i, here, [])
        if free is not None:
            self._move(i, free, [])
        return free is not None

    def exchange(self, cycle: Sequence[int]) -> bool:
        """Let each callout of the cycle take the next one's place if it pays and nobody then meets."""
        before = [self.field.place_of(i) for i in cycle]
        most = sum(map(self.field.cost, cycle))
        self._seat(cycle, before[1:] + before[:1])
        if sum(map(self.field.cost, cycle)) > most or any(self.clashing[i] for i in cycle):
            self._seat(cycle, before)
            return False
        return True

    def _seat(self, who: Sequence[int], places: Sequence[int]) -> None:
        for i, place in zip(who, places, strict=True):
            self._move(i, place, [])
        for i in who:
            met = self.field.clashes(i, self.field.place_of(i), self.order[i], self.plain[i], inf)[1]
            self._move(i, self.field.place_of(i), met)

    def better(self, i: int, limit: float) -> bool:
        """Move callout i to the place with the least sum of cost and prices below limit, if there is one."""
        found = self.field.best(i, self.order[i], self.prices.rows[i], limit)
        if found is None:
            return False
        self._move(i, *found)
        return True

    def _move(self, i: int, place: int, met: list[int]) -> None:
        for j in self.clashing[i]:
            self.clashing[j].discard(i)
        self.field.put(i, place)
        self.clashing[i] = set(met)
        for j in met:
            self.clashing[j].add(i)

    def _burden(self, i: int) -> float:
        row = self.prices.rows[i]
        return self.field.cost(i) + sum(row[j] for j in self.clashing[i])


def to_front(order: list[int], one: int) -> None:
    """Puts one first in the order: what spoils a place is likely to spoil the next."""
    if one != order[0]:
        order.remove(one)
        order.insert(0, one)
