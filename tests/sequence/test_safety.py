"""No order that the planner allows is unsafe: random equipment, random orders, an independent judge.

Any order that keeps the precedences must pass the simulator, not only the one with the shortest walk;
so orders are drawn at random from the precedences.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from types import ModuleType

import pytest

from guidegen.sequence import plan_sequences
from guidegen.sequence.conditions import variants_of
from guidegen.sequence.planner import Plan, make_plan
from guidegen.sequence.simulator import simulate
from guidegen.trade.load import load_trade
from guidegen.trade.records import SEQUENCES
from guidegen.vehicle.facts import facts_of

SETS = 300


def random_order(plan: Plan, rng: random.Random) -> list[str]:
    before: dict[str, set[str]] = {id: set() for id in plan.ids}
    for reason in plan.precedences:
        before[reason.after].add(reason.before)
    order: list[str] = []
    while len(order) < len(before):
        ready = [id for id in plan.ids if id not in order and before[id] <= set(order)]
        assert ready, f"{plan.sequence}: the precedences run in a circle"
        order.append(rng.choice(ready))
    return order


def plans(seed: int, chance: ModuleType) -> Iterator[Plan]:
    rng = random.Random(seed)
    kind = rng.choice(chance.VEHICLE_KINDS)
    placed = frozenset({"low-point-drain"} if rng.random() < 0.5 else set())
    facts = facts_of(kind, chance.random_equipment(rng, kind), placed)
    if seed % 5 == 0 and "battery" in facts:
        facts |= {"inverter"}
    for name in SEQUENCES:
        for variant in variants_of(name, facts):
            yield make_plan(load_trade(), name, variant, facts)


@pytest.mark.parametrize("block", range(10))
def test_every_allowed_order_is_safe_and_reaches_its_goal(block: int, vehicles_by_chance: ModuleType) -> None:
    for seed in range(block * SETS // 10, (block + 1) * SETS // 10):
        rng = random.Random(seed)
        for plan in plans(seed, vehicles_by_chance):
            order = random_order(plan, rng)
            assert len(set(order)) == len(order), "nothing is done twice"
            found = simulate(plan.sequence, plan.variant, plan.facts, order)
            assert not found, f"seed {seed}, {plan.sequence}, {plan.variant}: {found[0].message}\n{order}"


@pytest.mark.parametrize("seed", range(15))
def test_whole_vehicles_are_walked_safely(seed: int, vehicles_by_chance: ModuleType) -> None:
    vehicle = vehicles_by_chance.random_vehicle(seed)
    found = plan_sequences(vehicle, load_trade())
    for (name, variant), planned in found.variants.items():
        ids = [step.step for step in planned.steps]
        assert not simulate(name, variant, vehicle.facts, ids)
        assert planned.bound_m <= planned.cost_m + 0.01
        if planned.proved:
            assert planned.bound_m == pytest.approx(planned.cost_m, abs=0.02)


def test_every_step_of_the_trade_is_planned_for_some_vehicle(vehicles_by_chance: ModuleType) -> None:
    """A step that no equipment calls for is a slip of the data."""
    used = {(p.sequence, id) for seed in range(100) for p in plans(seed, vehicles_by_chance) for id in p.ids}
    known = {(s.sequence, s.id) for s in load_trade().steps}
    assert known <= used
