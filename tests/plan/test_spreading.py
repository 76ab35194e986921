"""Markers pushed apart: each by those near it alone, which changes nothing."""

from __future__ import annotations

import math
import random

import pytest

from guidegen.plan.spreading import APART_MM, NUDGE_MM, clusters, nudge, spread

Places = dict[str, tuple[float, float]]


def by_chance(seed: int, count: int, crowd: int) -> Places:
    """So many places on a plan 200 × 60 mm, in crowds of such a size within a few mm, some at one place."""
    chance = random.Random(seed)
    found: Places = {}
    for n in range(count):
        if n % crowd == 0:
            middle = (chance.uniform(0, 200), chance.uniform(0, 60))
        wide = chance.choice((0.0, 0.5, 3.0))
        found[f"p{n:03}"] = (middle[0] + chance.uniform(-wide, wide), middle[1] + chance.uniform(-wide, wide))
    return found


def pushed_by_all(places: Places, furthest_mm: float) -> Places:
    """Every pair is looked at in every round, as the rule says it."""
    keys = sorted(places)
    now = [list(places[k]) for k in keys]
    for _ in range(60):
        still = True
        for i, a in enumerate(now):
            for j in range(i + 1, len(now)):
                b = now[j]
                dx, dy = b[0] - a[0], b[1] - a[1]
                gap = math.hypot(dx, dy)
                if gap >= APART_MM - 1e-6:
                    continue
                still = False
                push = (APART_MM - gap) / 2
                if gap < 1e-6:
                    dx, dy, gap, push = math.cos(2.4 * (i + j)), math.sin(2.4 * (i + j)), 1.0, APART_MM / 2
                a[0], a[1] = a[0] - dx / gap * push, a[1] - dy / gap * push
                b[0], b[1] = b[0] + dx / gap * push, b[1] + dy / gap * push
        for place, key in zip(now, keys, strict=True):
            home = places[key]
            away = math.dist(place, home)
            if away > furthest_mm:
                share = furthest_mm / away
                place[0] = home[0] + (place[0] - home[0]) * share
                place[1] = home[1] + (place[1] - home[1]) * share
        if still:
            break
    return {k: (round(p[0], 3), round(p[1], 3)) for k, p in zip(keys, now, strict=True)}


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("count", "crowd"), [(12, 4), (60, 1), (60, 8), (90, 30)])
@pytest.mark.parametrize("furthest_mm", [NUDGE_MM, 4 * NUDGE_MM])
def test_those_far_off_are_not_missed(seed: int, count: int, crowd: int, furthest_mm: float) -> None:
    places = by_chance(seed, count, crowd)
    assert nudge(places, furthest_mm=furthest_mm) == pushed_by_all(places, furthest_mm)


def test_clusters_are_the_connected_parts_of_the_graph_of_near_places() -> None:
    """By networkx, an independent library."""
    import networkx

    for seed in range(8):
        places = by_chance(seed, 80, 5)
        graph = networkx.Graph()
        graph.add_nodes_from(places)
        pairs = ((a, b) for a in places for b in places if a < b)
        graph.add_edges_from((a, b) for a, b in pairs if math.dist(places[a], places[b]) < 3.4)
        parts = {tuple(sorted(part)) for part in networkx.connected_components(graph) if len(part) > 1}
        assert set(clusters(places, 3.4)) == parts


def test_no_more_crowds_are_looked_for_than_can_be_lettered() -> None:
    places = by_chance(1, 200, 8)
    assert len(spread(places).crowds) > 12
    assert len(spread(places, enough=12).crowds) == 13
