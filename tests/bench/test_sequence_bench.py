"""Slow studies of the sequences: ten thousand random equipment sets, proofs of walks, times.

Run with -m bench. Times are of this process alone, and printed with -s.
"""

from __future__ import annotations

import importlib.util
import random
import statistics
import sys
import time
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.sequence.assigning import cheapest_order
from guidegen.sequence.conditions import variants_of
from guidegen.sequence.ordering import Problem
from guidegen.sequence.planner import Plan, make_plan
from guidegen.sequence.shortest import shortest_walk
from guidegen.sequence.simulator import simulate
from guidegen.sequence.standing import standings
from guidegen.sequence.terrain import Terrain
from guidegen.sequence.walking import BUILD_VISITS, PROVE_VISITS, problem_of
from guidegen.trade.load import load_trade
from guidegen.trade.records import SEQUENCES
from guidegen.vehicle.facts import facts_of

pytestmark = pytest.mark.bench
TRADE = load_trade()


def _tsplib() -> ModuleType:
    if "tsplib_sop" not in sys.modules:
        path = Path(__file__).parent.parent / "sequence" / "tsplib_sop.py"
        spec = importlib.util.spec_from_file_location("tsplib_sop", path)
        assert spec and spec.loader
        sys.modules["tsplib_sop"] = module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    return sys.modules["tsplib_sop"]


def test_ten_thousand_equipment_sets_are_safe(vehicles_by_chance: ModuleType) -> None:
    """Invariants broken over 10,000 random equipment sets, four sequences, all variants: 0.

    Each time in a random order that keeps the precedences, which is more than the printed one.
    """
    orders = 0
    for seed in range(10_000):
        rng = random.Random(seed)
        kind = rng.choice(vehicles_by_chance.VEHICLE_KINDS)
        drains = frozenset({"low-point-drain"} if rng.random() < 0.5 else set())
        facts = facts_of(kind, vehicles_by_chance.random_equipment(rng, kind), drains)
        for name in SEQUENCES:
            for variant in variants_of(name, facts):
                order = _random_order(make_plan(TRADE, name, variant, facts), rng)
                found = simulate(name, variant, facts, order)
                assert not found, f"seed {seed}, {name}, {variant}: {found[0].message}\n{order}"
                orders += 1
    print(f"\n{orders} orders of 10,000 equipment sets: no invariant broken")


def _random_order(plan: Plan, rng: random.Random) -> list[str]:
    before: dict[str, set[str]] = {id: set() for id in plan.ids}
    for reason in plan.precedences:
        before[reason.after].add(reason.before)
    order: list[str] = []
    done: set[str] = set()
    while len(order) < len(before):
        order.append(rng.choice([id for id in plan.ids if id not in done and before[id] <= done]))
        done.add(order[-1])
    return order


def problems(chance: ModuleType, vehicles: int) -> list[tuple[str, Problem]]:
    found = []
    for seed in range(vehicles):
        vehicle = chance.random_vehicle(seed)
        terrain = Terrain(vehicle.layout)
        for name in SEQUENCES:
            plan = make_plan(TRADE, name, variants_of(name, vehicle.facts)[0], vehicle.facts)
            stands = standings(plan, vehicle, TRADE, terrain)
            found.append((f"{name} of vehicle {seed}", problem_of(plan, stands, terrain)))
    return found


def _timed(problem: Problem, budget: int) -> tuple[float, int, int]:
    started = time.process_time()
    found = shortest_walk(problem, budget=budget)
    return time.process_time() - started, found.cost, found.bound


def test_walks_of_random_vehicles(vehicles_by_chance: ModuleType) -> None:
    """While a pack is built: median ≤ 50 ms, worst ≤ 250 ms. For a proof: ≥ 95 % within 1 s."""
    asked = problems(vehicles_by_chance, 100)
    built = [_timed(p, BUILD_VISITS) for _, p in asked]
    proofs = [_timed(p, PROVE_VISITS) for _, p in asked]
    times = [t for t, _, _ in built]
    proved = sum(low >= cost for _, cost, low in built) / len(built)
    longer = max(cost / best for (_, cost, _), (_, best, _) in zip(built, proofs, strict=True)) - 1
    quick = sum(low >= cost and t <= 1.0 for t, cost, low in proofs) / len(proofs)
    print(
        f"\n{len(asked)} walks while building: median {statistics.median(times) * 1e3:.0f} ms, "
        f"worst {max(times) * 1e3:.0f} ms, {proved:.1%} proved, at most {longer:.1%} above the best known"
        f"\nproofs: {quick:.1%} within 1 s, worst {max(t for t, _, _ in proofs):.2f} s"
    )
    assert statistics.median(times) <= 0.050
    assert max(times) <= 0.250
    assert quick >= 0.95
    for (_, cost, low), (_, best, _) in zip(built, proofs, strict=True):
        assert low <= best <= cost


def random_walk_problem(seed: int, steps: int = 35, places: int = 18) -> Problem:
    """Steps at places in and around a body, with precedences as dense as those of a real sequence."""
    from guidegen.sequence.ordering import Move

    rng = random.Random(seed)
    spots = [(rng.uniform(0, 7400), rng.uniform(0, 2300), k % 2) for k in range(places)]

    def far(a: tuple[float, float, int], b: tuple[float, float, int]) -> int:
        walk = abs(a[0] - b[0]) + abs(a[1] - b[1])
        return round(walk + 4800 * (a[2] != b[2]))

    cost = [[far(a, b) for b in spots] for a in spots]
    for k in range(places):
        for i in range(places):
            for j in range(places):
                cost[i][j] = min(cost[i][j], cost[i][k] + cost[k][j])
    moves = tuple((Move(p, p),) for p in (rng.randrange(places) for _ in range(steps)))
    before = tuple(sum(1 << t for t in range(s) if rng.random() < 2.5 / steps) for s in range(steps))
    return Problem(cost, moves, before, 0, [0] * places, True)


def test_thirty_five_steps_at_eighteen_places() -> None:
    """Proved optimal in 1 s on at least 95 %."""
    results = [_timed(random_walk_problem(seed), PROVE_VISITS) for seed in range(40)]
    proved = [low >= cost and t <= 1.0 for t, cost, low in results]
    times = sorted(t for t, _, _ in results)
    print(f"\n35 steps at 18 places: {sum(proved)} of 40 proved within 1 s, median {times[20] * 1e3:.0f} ms, "
          f"worst {times[-1]:.2f} s")  # fmt: skip
    assert sum(proved) >= 38


@pytest.mark.parametrize(
    ("name", "published", "share", "budget", "seconds"),
    [
        ("ft53.4", 14425, 0.0, {}, 10),
        ("rbg048a", 351, 0.0, {"exchanges": 20_000_000, "budget": 1}, 10),
        ("ESC47", 1288, 0.06, {"exchanges": 20_000_000, "budget": 1}, 10),
    ],
)
def test_large_instances_of_tsplib(
    name: str, published: int, share: float, budget: dict[str, int], seconds: float
) -> None:
    """Published optima: tests/data/tsplib_sop/README.md."""
    instance = _tsplib().read(name)
    started = time.process_time()
    found = cheapest_order(instance.problem(), **budget)
    took = time.process_time() - started
    value = instance.value([0, *(s + 1 for s, _ in found.steps), len(instance.matrix) - 1])
    print(f"\n{name}: {value} (published {published}), bound {found.bound}, {took:.1f} s")
    assert found.cost == value <= published * (1 + share)
    assert found.bound <= published
    assert took <= seconds
    if not share and not budget:
        assert found.proved
