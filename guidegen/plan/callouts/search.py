"""Bounded branch and bound over the assignment of sites to ports: no crossing, no badge in a leader's way."""

from __future__ import annotations

import heapq
from typing import Protocol

from msgspec import Struct

from guidegen.plan.callouts.assignment import Matching

FORBID_MM = 1e6
HOPELESS = 4  # conflicts at the root from which no search is begun
CONFLICT_MM = 2.5  # what one conflict is expected to cost, to guide the search


class Leaders(Protocol):
    """What the search must know of a way to draw leaders."""

    costs: list[list[float]]

    def crosses(self, i: int, p: int, j: int, q: int) -> bool: ...
    def hits(self, i: int, p: int) -> frozenset[int]: ...


class Outcome(Struct, frozen=True):
    """Ports in the order of the sites; conflicts left over; bound on the cost of any clean assignment."""

    ports: tuple[int, ...]
    cost: float
    conflicts: int
    bound: float
    root: float
    proved: bool
    nodes: int


Conflict = tuple[int, int, int]  # 0, i, j: leaders i < j cross; 1, i, j: leader i passes the badge of j


def conflicts_of(leaders: Leaders, matching: Matching, rows: set[int] | None = None) -> list[Conflict]:
    """Conflicts that involve any of the rows (all when None)."""
    ports, row_of = matching.column_of, matching.row_of
    found: list[Conflict] = []
    everyone = range(len(ports))
    for i in everyone:
        p = ports[i]
        fresh = rows is None or i in rows
        for q in leaders.hits(i, p):
            j = row_of[q]
            if j >= 0 and (fresh or (rows is not None and j in rows)):
                found.append((1, i, j))
    crosses = leaders.crosses
    for i in everyone if rows is None else sorted(rows):
        p = ports[i]
        for j in everyone:
            if j == i or (j < i and (rows is None or j in rows)):
                continue
            if crosses(i, p, j, ports[j]):
                found.append((0, min(i, j), max(i, j)))
    return found


class _Node(Struct):
    matching: Matching
    cost: float
    conflicts: list[Conflict]


def search(leaders: Leaders, budget: int, tolerance: float) -> Outcome:
    """Find a cheap clean assignment.

    budget: most nodes to look at. tolerance: stop once the best is within this share of the lower bound.
    """
    matching = Matching(leaders.costs)
    root = _Node(matching, matching.cost(), conflicts_of(leaders, matching))
    best: _Node | None = None
    least = root
    if len(root.conflicts) > HOPELESS:
        budget = 0
    queue: list[tuple[float, int, _Node]] = [(root.cost + CONFLICT_MM * len(root.conflicts), 0, root)]
    made = 1
    while queue and made < budget:
        _, _, node = heapq.heappop(queue)
        if best is not None and node.cost >= best.cost - 1e-9:
            continue
        if len(node.conflicts) < len(least.conflicts):
            least = node
        if not node.conflicts:
            best = node
            if best.cost <= root.cost * (1 + tolerance):
                break
            continue
        for child in _children(leaders, node):
            made += 1
            if best is None or child.cost < best.cost - 1e-9:
                heapq.heappush(queue, (child.cost + CONFLICT_MM * len(child.conflicts), made, child))
    last = best or least
    bound = min([last.cost, *(n.cost for _, _, n in queue)]) if best else root.cost
    return Outcome(
        tuple(last.matching.column_of),
        last.cost,
        len(last.conflicts),
        bound,
        root.cost,
        best is not None and bound >= last.cost - 1e-9,
        made,
    )


def _children(leaders: Leaders, node: _Node) -> list[_Node]:
    kind, i, j = _choose(node)
    ports = node.matching.column_of
    p, q = ports[i], ports[j]
    out = []
    one = node.matching.copy()
    one.raise_cost(i, p, FORBID_MM)
    out.append(one)
    two = node.matching.copy()
    if kind == 0:
        two.raise_cost(j, q, FORBID_MM)
        out.append(two)
    elif two.close(q):
        out.append(two)
    found = []
    for child in out:
        cost = child.cost()
        if cost < FORBID_MM:
            found.append(_Node(child, cost, _carried(leaders, node, child)))
    return found


def _choose(node: _Node) -> Conflict:
    """The conflict whose leaders have the most conflicts."""
    weight: dict[int, int] = {}
    for _, i, j in node.conflicts:
        weight[i] = weight.get(i, 0) + 1
        weight[j] = weight.get(j, 0) + 1
    return max(node.conflicts, key=lambda c: (weight[c[1]] + weight[c[2]], -c[0], -c[1], -c[2]))


def _carried(leaders: Leaders, parent: _Node, child: Matching) -> list[Conflict]:
    """The parent's conflicts between leaders that stayed, and those of the leaders that changed."""
    old = parent.matching.column_of
    rows = {i for i, p in enumerate(child.column_of) if p != old[i]}
    kept = [c for c in parent.conflicts if c[1] not in rows and c[2] not in rows]
    return kept + conflicts_of(leaders, child, rows)
