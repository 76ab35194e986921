"""The assignment solver against networkx, and its invariants after edges are forbidden and columns closed."""

from __future__ import annotations

import random
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen.plan.callouts.assignment import Matching

costs_of_any_shape = st.integers(1, 7).flatmap(
    lambda n: st.integers(n, n + 6).flatmap(
        lambda m: st.lists(
            st.lists(st.integers(0, 30).map(float), min_size=m, max_size=m), min_size=n, max_size=n
        )
    )
)


def feasible_and_tight(matching: Matching) -> bool:
    """Complementary slackness, which proves a rectangular assignment to be optimal."""
    u, v = matching.u, matching.v
    free = [j for j in matching.columns if matching.row_of[j] < 0]
    return (
        all(row[j] - u[i] - v[j] > -1e-6 for i, row in enumerate(matching.costs) for j in matching.columns)
        and all(
            abs(row[j] - u[i] - v[j]) < 1e-6
            for i, (row, j) in enumerate(zip(matching.costs, matching.column_of, strict=True))
        )
        and all(v[j] < 1e-9 for j in matching.columns)
        and all(abs(v[j]) < 1e-9 for j in free)
        and sorted(matching.column_of) == sorted(set(matching.column_of))
    )


@given(costs_of_any_shape)
@settings(deadline=None, max_examples=60)
def test_least_cost(callout_judge: ModuleType, costs: list[list[float]]) -> None:
    assert Matching(costs).cost() == pytest.approx(callout_judge.cheapest(costs))


@pytest.mark.parametrize("seed", range(12))
def test_stays_optimal_while_edges_grow_dear_and_columns_close(callout_judge: ModuleType, seed: int) -> None:
    chance = random.Random(seed)
    rows, columns = chance.randint(2, 8), chance.randint(8, 14)
    matching = Matching([[chance.uniform(0, 50) for _ in range(columns)] for _ in range(rows)])
    for _ in range(15):
        matching = matching.copy()
        if chance.random() < 0.3:
            matching.close(chance.choice(matching.columns))
        else:
            i = chance.randrange(rows)
            matching.raise_cost(i, matching.column_of[i], chance.choice((2.0, 1e6)))
        assert feasible_and_tight(matching)
        open_costs = [[row[j] for j in matching.columns] for row in matching.costs]
        assert matching.cost() == pytest.approx(callout_judge.cheapest(open_costs))


def test_copies_do_not_share_their_state() -> None:
    first = Matching([[1.0, 2.0, 9.0], [1.0, 5.0, 9.0]])
    second = first.copy()
    second.raise_cost(1, 0, 100.0)
    assert first.column_of == [1, 0] and first.cost() == 3.0
    assert second.column_of == [0, 1] and second.cost() == 6.0


def test_no_column_closes_that_is_needed() -> None:
    matching = Matching([[1.0, 2.0], [2.0, 1.0]])
    assert not matching.close(0)
    assert matching.cost() == 2.0
