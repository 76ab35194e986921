"""Judges placements with shapely and scipy or networkx: every hard rule of callouts, measured anew."""

from __future__ import annotations

import math

import networkx as nx
import shapely
from shapely import LineString, Point, Polygon, box

from guidegen.plan.callouts import Placement, Task

TOUCH_MM = 0.05
END_MM = 0.3
EPS_MM = 0.005


def faults(task: Task, placement: Placement) -> list[str]:
    """Each broken rule in words; an empty list for a clean placement."""
    sites, callouts = task.sites, placement.callouts
    if [s.key for s in sites] != [c.key for c in callouts]:
        return ["callouts are not those of the sites, in their order"]
    x, y, w, h = task.room
    room, body = box(x, y, x + w, y + h).buffer(EPS_MM), [Polygon(p) for p in task.body]
    obstacles = [box(a, b, a + c, b + d) for a, b, c, d in task.obstacles]
    markers = [Point(s.x, s.y).buffer(s.radius_mm, 64) for s in sites]
    badges = [
        _badge(s.badge.round, c.x, c.y, c.width_mm, c.height_mm) for s, c in zip(sites, callouts, strict=True)
    ]
    lines = [LineString(c.leader) if c.leader else None for c in callouts]
    found: list[str] = []
    for i, (site, callout, badge, line) in enumerate(zip(sites, callouts, badges, lines, strict=True)):
        name = site.key
        if not room.covers(badge):
            found.append(f"{name}: badge outside the room")
        if any(b.intersects(badge) for b in body):
            found.append(f"{name}: badge on the body")
        if any(o.intersects(badge) for o in obstacles):
            found.append(f"{name}: badge on an obstacle")
        if line is None:
            if badge.distance(markers[i]) > END_MM:
                found.append(f"{name}: no leader")
            continue
        if any(o.intersects(line) for o in obstacles):
            found.append(f"{name}: leader on an obstacle")
        if math.dist(callout.leader[0], (site.x, site.y)) > site.radius_mm + EPS_MM:
            found.append(f"{name}: leader begins away from its marker")
        if badge.exterior.distance(Point(callout.leader[-1])) > END_MM:
            found.append(f"{name}: leader ends away from its badge")
    return found + _between(task, placement, markers, badges, lines)


def _between(task: Task, placement: Placement, markers: list, badges: list, lines: list) -> list[str]:  # type: ignore[type-arg]
    found: list[str] = []
    sites, count = task.sites, len(task.sites)
    shown = [
        None if a is None else a.difference(m.buffer(EPS_MM)) for a, m in zip(lines, markers, strict=True)
    ]
    tree = shapely.STRtree(
        [
            shapely.union_all([g for g in parts if g is not None])
            for parts in zip(markers, badges, lines, strict=True)
        ]
    )
    near = tree.query(tree.geometries, predicate="dwithin", distance=max(task.clearance_mm, task.gap_mm)).T
    for i, j in ((int(a), int(b)) for a, b in near if a != b):
        pair = f"{sites[i].key} and {sites[j].key}"
        same = math.dist((sites[i].x, sites[i].y), (sites[j].x, sites[j].y)) < 0.01
        if badges[i].intersects(markers[j]):
            found.append(f"{pair}: badge on marker")
        if i < j and badges[i].distance(badges[j]) < task.gap_mm - EPS_MM:
            found.append(f"{pair}: badges too near")
        if shown[i] is None:
            continue
        if not same and shown[i].distance(markers[j]) < task.clearance_mm - EPS_MM:
            found.append(f"{pair}: leader too near a marker")
        if shown[i].distance(badges[j]) < task.clearance_mm - EPS_MM:
            found.append(f"{pair}: leader too near a badge")
        if i < j and shown[j] is not None and shown[i].distance(shown[j]) < TOUCH_MM:
            found.append(f"{pair}: leaders cross")
    assert count == len(placement.callouts)
    return found


def _badge(round_one: bool, x: float, y: float, width: float, height: float) -> Polygon:
    if round_one:
        return Point(x, y).buffer(width / 2, 64)
    return box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def length_ratio(task: Task, placement: Placement) -> float:
    """Straight distances from markers to badges over the least that any assignment to these badges gives."""
    ends = [(c.x, c.y) for c in placement.callouts]
    costs = [[math.dist((s.x, s.y), e) for e in ends] for s in task.sites]
    best = cheapest(costs)
    return sum(row[i] for i, row in enumerate(costs)) / best if best > 1e-9 else 1.0


def cheapest(costs: list[list[float]]) -> float:
    """Least cost of assigning each row its own column (networkx: Karp, 1980)."""
    graph = nx.Graph()
    rows = [("row", i) for i in range(len(costs))]
    for i, row in enumerate(costs):
        for j, cost in enumerate(row):
            graph.add_edge(("row", i), ("column", j), weight=cost)
    matched = nx.bipartite.minimum_weight_full_matching(graph, rows)
    return sum(costs[row[1]][matched[row][1]] for row in rows)


def order_share(centre: tuple[float, float], placement: Placement, numbers: dict[str, int]) -> float:
    """Share of neighbouring badges, clockwise round the centre, whose numbers follow each other."""
    ring = sorted(placement.callouts, key=lambda c: math.atan2(c.y - centre[1], c.x - centre[0]))
    count = len(ring)
    follow = [
        (numbers[b.key] - numbers[a.key]) % count == 1 % count
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
    ]
    return sum(follow) / count
