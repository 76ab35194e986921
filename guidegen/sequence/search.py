"""Forward search for the cheapest order, layer by layer, below a known cost."""

from __future__ import annotations

import heapq
from typing import TypeAlias

from msgspec import Struct

from guidegen.sequence.ordering import FAR, PLACE_BITS, PLACE_MASK, Visits

Trail: TypeAlias = tuple[tuple[int, int], ...]


class Found(Struct, frozen=True):
    """trail: states (steps done, place) of the best order, empty when none is below the given cost."""

    cost: int
    trail: Trail
    bound: int
    states: int


def search(visits: Visits, *, width: int = 0, below: int = FAR, budget: int = 0) -> Found:
    """The best order that costs less than `below`.

    No cost may be negative. A layer holds the states with equally many steps done; of each only the `width`
    cheapest go on (0: all), and no more than `budget` states are opened (0: any number). What is left out
    has cost something already, so `bound` of the result always holds.
    """
    problem = visits.problem
    first = problem.start
    cost: dict[int, int] = {first: 0}
    before: dict[int, int] = {first: -1}
    layers: list[dict[int, int]] = [{} for _ in range(len(problem.moves) + 1)]
    layers[0][first] = 0
    best, best_at, states, left_out = below, -1, 0, FAR
    for layer in layers:
        queue = list(layer.items())
        if width and len(queue) > width:
            queue = heapq.nsmallest(len(queue), queue, key=lambda item: (item[1], item[0]))
            left_out = min(left_out, queue[width][1])
            del queue[width:]
        for state, spent in queue:
            if spent >= best:
                continue
            if budget and states >= budget:
                left_out = min(left_out, spent)
                continue
            states += 1
            mask, place = state >> PLACE_BITS, state & PLACE_MASK
            if mask == visits.full:
                if spent + problem.end_cost[place] < best:
                    best, best_at = spent + problem.end_cost[place], state
                continue
            for price, done, at in visits.after(mask, place):
                key, total = done << PLACE_BITS | at, spent + price
                if total < min(best, cost.get(key, FAR)):
                    cost[key], before[key] = total, state
                    layers[done.bit_count()][key] = total
        layer.clear()
    return Found(best, _trail(before, best_at), min(left_out, best), states)


def _trail(before: dict[int, int], state: int) -> Trail:
    found = []
    while state >= 0:
        found.append((state >> PLACE_BITS, state & PLACE_MASK))
        state = before[state]
    return tuple(reversed(found))
