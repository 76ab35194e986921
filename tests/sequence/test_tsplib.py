"""The solver of sequential ordering against TSPLIB95 (optima: tests/data/tsplib_sop/README.md)."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.sequence.assigning import cheapest_order
from guidegen.sequence.ordering import Ordering, cost_of


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("tsplib_sop", Path(__file__).with_name("tsplib_sop.py"))
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    __import__("sys").modules["tsplib_sop"] = module
    spec.loader.exec_module(module)
    return module


tsplib = _load()
OPTIMA = {"ESC07": 2125, "ESC11": 2075, "ESC12": 1675, "ESC25": 1681, "br17.10": 55, "br17.12": 55}


def solved(name: str, **budget: int) -> tuple[Ordering, int]:
    """The ordering, and its value added up from the file with every precedence looked at."""
    instance = tsplib.read(name)
    found = cheapest_order(instance.problem(), **budget)
    nodes = [0, *(s + 1 for s, _ in found.steps), len(instance.matrix) - 1]
    value = instance.value(nodes)
    assert found.cost == value == cost_of(instance.problem(), found.steps)
    return found, value


@pytest.mark.parametrize(("name", "optimum"), OPTIMA.items())
def test_small_instances_are_proved(name: str, optimum: int) -> None:
    found, value = solved(name)
    assert value == optimum
    assert found.proved
    assert found.bound == optimum


@pytest.mark.parametrize(("name", "published", "share"), [("rbg048a", 351, 0.0), ("ESC47", 1288, 0.06)])
def test_good_orders_of_the_large_ones(name: str, published: int, share: float) -> None:
    found, value = solved(name, exchanges=3_000_000, budget=1)
    assert published <= value <= published * (1 + share)
    assert found.bound <= published, "a lower bound above a known order would be false"


def test_a_circle_of_precedences_is_refused() -> None:
    problem = tsplib.read("ESC07").problem()
    before = list(problem.before)
    first = next(s for s, mask in enumerate(before) if mask)
    earlier = before[first].bit_length() - 1
    before[earlier] |= 1 << first
    with pytest.raises(ValueError, match="circle"):
        cheapest_order(type(problem)(problem.cost, problem.moves, tuple(before), 0, problem.end_cost))
