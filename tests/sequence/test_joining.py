"""What is one act is done at once: no step in between, and among such orders none walks less."""

from __future__ import annotations

import itertools
import math
import random
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen import prepare
from guidegen.sequence import plan_sequences
from guidegen.sequence.joining import joined
from guidegen.sequence.ordering import Move, Problem, cost_of
from guidegen.sequence.planner import Plan
from guidegen.sequence.shortest import shortest_walk
from guidegen.trade.load import load_trade
from guidegen.trade.records import Step
from guidegen.vehicle.description import ExtraStep

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
LEADS = [
    ("lead-vehicle", "lead-post"),
    ("lead-post-off", "lead-vehicle-off"),
    ("lead-vehicle-off", "lead-stow"),
]


def plan_of(count: int, *links: tuple[int, int]) -> Plan:
    """Steps by their number; of each link the second is done right after the first."""
    behind = {f"{b}": f"{a}" for a, b in links}
    steps = tuple(
        Step(f"{n}", "arrive", (), (), "", (), (), right_after=behind.get(f"{n}", "")) for n in range(count)
    )
    return Plan("arrive", "hook-up", frozenset(), steps, (), ())


def problem_by_chance(seed: int, count: int) -> Problem:
    """Places in the plane; some steps have two ways, and some wait for others."""
    rng = random.Random(seed)
    spots = [(rng.uniform(0, 7000), rng.uniform(0, 2300)) for _ in range(count + 1)]
    cost = [[math.ceil(math.dist(a, b)) for b in spots] for a in spots]
    for k, i, j in itertools.product(range(count + 1), repeat=3):
        cost[i][j] = min(cost[i][j], cost[i][k] + cost[k][j])
    moves = []
    for s in range(count):
        other = rng.randrange(count + 1)
        ways = (Move(s, other, cost[s][other]), Move(other, s, cost[s][other]))
        moves.append(ways if rng.random() < 0.3 and other != s else (Move(s, s),))
    before = [sum(1 << t for t in range(s) if rng.random() < 0.2) for s in range(count)]
    return Problem(cost, tuple(moves), tuple(before), count, [row[0] for row in cost])


@pytest.mark.parametrize("seed", range(20))
def test_no_order_that_does_them_at_once_walks_less(seed: int) -> None:
    """Against all orders, tried one by one."""
    problem, links = problem_by_chance(seed, 6), [(0, 1), (1, 4)]
    one = joined(problem, plan_of(6, *links))
    found = one.apart(shortest_walk(one.problem, budget=20_000))
    order = [step for step, _ in found.steps]
    at_once = all(order.index(b) == order.index(a) + 1 for a, b in links)
    best = math.inf
    for tried in itertools.permutations(range(6)):
        keeps = all(not problem.before[s] & ~sum(1 << t for t in tried[:n]) for n, s in enumerate(tried))
        if keeps and all(tried.index(b) == tried.index(a) + 1 for a, b in links):
            for ways in itertools.product(*(range(len(problem.moves[s])) for s in tried)):
                best = min(best, cost_of(problem, list(zip(tried, ways, strict=True))))
    if best < math.inf:
        assert at_once
        assert cost_of(problem, found.steps) == found.cost == best
    else:  # something must come between: they are done as all other steps
        assert sorted(order) == list(range(6))


def test_steps_that_something_must_come_between_are_done_apart() -> None:
    problem = replace(problem_by_chance(1, 3), before=(0, 0b001, 0b010))
    one = joined(problem, plan_of(3, (0, 2)))
    assert [step for step, _ in one.apart(shortest_walk(one.problem, budget=1000)).steps] == [0, 1, 2]


@pytest.mark.parametrize("sample", sorted(path.stem for path in SAMPLES.glob("*.yaml")))
def test_a_lead_is_handled_at_once(sample: str) -> None:
    """Common practice, no source: a lead with one end in lies in the way, and in the wet."""
    seen = 0
    for sequence in prepare(SAMPLES / f"{sample}.yaml").sequences.variants.values():
        order = [step.step for step in sequence.steps]
        for first, then in LEADS:
            if then in order:
                assert order.index(then) == order.index(first) + 1, sequence.name
                seen += 1
    assert seen >= 4


def test_a_dealers_own_step_may_come_between() -> None:
    vehicle = prepare(SAMPLES / "larch.yaml").vehicle
    look = ExtraStep(
        id="lead-look",
        sequence="arrive",
        text="Look at the lead.",
        after=("lead-vehicle",),
        before=("lead-post",),
    )
    found = plan_sequences(replace(vehicle, extra_steps=(look,)), load_trade()).sequences["arrive"]
    order = [step.step for step in found.steps]
    assert order.index("lead-vehicle") < order.index("lead-look") < order.index("lead-post")
