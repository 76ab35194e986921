"""The solver of the walks against TSPLIB95 (optima: tests/data/tsplib_sop/README.md)."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from msgspec.structs import replace

from guidegen.sequence.ordering import Ordering
from guidegen.sequence.shortest import shortest_walk


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("tsplib_sop", Path(__file__).with_name("tsplib_sop.py"))
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    __import__("sys").modules["tsplib_sop"] = module
    spec.loader.exec_module(module)
    return module


tsplib = _load()
OPTIMA = {"ESC07": 2125, "ESC11": 2075, "ESC12": 1675, "br17.10": 55, "br17.12": 55}
# As many steps as a long sequence has. Of ESC25 and ESC47 most moves cost 1 or 1000, which no walk does: by
# such costs the solver is led astray.
LARGE = [("ft53.4", 14425, 0.0), ("rbg048a", 351, 0.0), ("ESC25", 1681, 0.05), ("ESC47", 1288, 1.0)]


def solved(name: str) -> tuple[Ordering, int, int]:
    """The ordering, its value added up from the file with every precedence looked at, and its bound."""
    instance = tsplib.read(name)
    found = shortest_walk(instance.problem(), budget=200_000)
    value = instance.value([0, *(s + 1 for s, _ in found.steps), instance.moves])
    extra = instance.moves * instance.shift
    assert found.cost == value + extra
    return found, value, found.bound - extra


@pytest.mark.parametrize(("name", "optimum"), OPTIMA.items())
def test_small_instances_are_proved(name: str, optimum: int) -> None:
    found, value, bound = solved(name)
    assert found.proved
    assert value == bound == optimum


@pytest.mark.parametrize(("name", "published", "share"), LARGE)
def test_good_orders_of_the_large_ones(name: str, published: int, share: float) -> None:
    _, value, bound = solved(name)
    assert published <= value <= published * (1 + share)
    assert bound <= published, "a lower bound above a known order would be false"


def test_a_circle_of_precedences_is_refused() -> None:
    problem = tsplib.read("ESC07").problem()
    before = list(problem.before)
    first = next(s for s, mask in enumerate(before) if mask)
    earlier = before[first].bit_length() - 1
    before[earlier] |= 1 << first
    with pytest.raises(ValueError, match="circle"):
        shortest_walk(replace(problem, before=tuple(before)), budget=200_000)
