"""Lower bounds on what the rest of a walk costs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from guidegen.sequence.ordering import FAR, Matrix, Move


def metric_bound(
    cost: Matrix,
    moves: Sequence[Sequence[Move]],
    before: Sequence[int],
    end_cost: Sequence[int],
    inside: Sequence[bool],
) -> Callable[[int, int], int]:
    """Spanning-tree bound for a walk over all places that still have a step to do."""
    count = len(cost)
    places_of = [frozenset(p for m in ms for p in (m.first, m.last)) for ms in moves]
    masks = [sum(1 << p for p in ps) for ps in places_of]
    least_inner = [min(m.inner for m in ms) for ms in moves]
    trees: dict[int, int] = {}
    ends: dict[int, int] = {}
    rest_cache: dict[int, int] = {}
    full = (1 << len(moves)) - 1

    def rest(mask: int) -> int:
        found = rest_cache.get(mask)
        if found is None:
            found, left = 0, full & ~mask
            while left:
                bit = left & -left
                s = bit.bit_length() - 1
                if len(moves[s]) == 1 or least_inner[s] == 0:
                    found |= masks[s]
                else:
                    found |= masks[s]
                left ^= bit
            rest_cache[mask] = found
        return found

    def members(places: int) -> list[int]:
        return [p for p in range(count) if places >> p & 1]

    def tree(places: int) -> int:
        known = trees.get(places)
        if known is None:
            known = trees[places] = _spanning_tree(cost, members(places))
            ends[places] = min((end_cost[p] for p in members(places)), default=0)
        return known

    def bound(mask: int, place: int) -> int:
        places = rest(mask)
        if not places:
            return end_cost[place]
        low = tree(places)
        row = cost[place]
        return low + min(row[p] for p in members(places)) + ends[places]

    return bound


def _spanning_tree(cost: Matrix, places: list[int]) -> int:
    """Prim's tree over symmetric costs."""
    if not places:
        return 0
    near = {p: cost[places[0]][p] for p in places[1:]}
    total = 0
    while near:
        p = min(near, key=near.__getitem__)
        total += near.pop(p)
        row = cost[p]
        for q in near:
            if row[q] < near[q]:
                near[q] = row[q]
    return min(total, FAR)
