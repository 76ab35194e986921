"""Betters an order by tearing pieces out of it and taking their steps in again, where each adds least.

Pieces are what lies close together, in the order or on the floor (ruin and recreate: Schrimpf and others
2000, with the blinks of Christiaens and Vanden Berghe 2020). What comes out somewhat worse is often
accepted at first, less and less later, so the whole shape of the walk can change.
"""

from __future__ import annotations

import random

from guidegen.sequence.compact import Compact, Order
from guidegen.sequence.inserting import inserted

_WARM = 0.12  # share of the best cost by which an accepted order may be worse at first
_LARGEST = 20  # steps torn out at once
_LEAST = 3  # steps of an order that can be rebuilt


def rebuilt(problem: Compact, order: Order, *, rounds: int, seed: int = 0) -> Order:
    """The best order found; the same for the same seed."""
    if len(order) < _LEAST:
        return order
    rng = random.Random(seed)
    near = _near(problem)
    here = best = order
    here_cost = best_cost = problem.length(order)
    for k in range(rounds):
        torn = _torn(here, near, 2 + int(rng.random() * _LARGEST), rng, by_place=bool(k % 2))
        found = [doing for doing in here if doing[0] not in torn]
        out = sorted(torn)
        rng.shuffle(out)
        if rng.random() < 0.5:
            out.sort(key=lambda s: -problem.cost[0][problem.ways[s][0][0]])
        for step in out:
            inserted(problem, found, step, rng.random)
        cost = problem.length(found)
        if cost < here_cost + _WARM * best_cost * (1 - k / rounds) * rng.random():
            here, here_cost = found, cost
            if cost < best_cost:
                best, best_cost = found, cost
    return best


def _near(problem: Compact) -> list[list[int]]:
    """For each place where something is done the steps, nearest first."""
    places = dict.fromkeys(way[0] for s in problem.steps for way in problem.ways[s])
    return [
        sorted(problem.steps, key=lambda s: min(row[way[0]] for way in problem.ways[s]))
        for row in (problem.cost[place] for place in places)
    ]


def _torn(order: Order, near: list[list[int]], size: int, rng: random.Random, *, by_place: bool) -> set[int]:
    if by_place:
        return set(near[int(rng.random() * len(near))][:size])
    first = int(rng.random() * len(order))
    return {doing[0] for doing in order[first : first + size]}
