"""Fixtures that all rooms share."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


def _helper(name: str) -> ModuleType:
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
        assert spec and spec.loader
        sys.modules[name] = module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    return sys.modules[name]


@pytest.fixture(scope="session")
def vehicles_by_chance() -> ModuleType:
    """The module with random vehicles: random_vehicle(seed), random_equipment(rng), vehicle_of(…)."""
    return _helper("vehicles_by_chance")


@pytest.fixture(scope="session")
def descriptions_by_chance() -> ModuleType:
    """The module with descriptions nobody would write: by_chance(seed), described(chance), broken(chance)."""
    return _helper("descriptions_by_chance")


@pytest.fixture(scope="session")
def callout_tasks() -> ModuleType:
    """The module with random vehicles for the callout engine: random_task(seed, count)."""
    return _helper("callout_tasks")


@pytest.fixture(scope="session")
def callout_judge() -> ModuleType:
    """The module that judges callouts with shapely: faults(task, placement), length_ratio, cheapest."""
    return _helper("callout_judge")


@pytest.fixture(scope="session")
def plan_judge() -> ModuleType:
    """The module that judges a drawn plan from its SVG: read(svg), faults(plan), distances, order_share."""
    return _helper("plan_judge")


@pytest.fixture(scope="session")
def printed_words() -> ModuleType:
    """The module that has a machine read a printed page: compare(pdf, pages), can_read()."""
    return _helper("printed_words")


@pytest.fixture(scope="session")
def page_judge() -> ModuleType:
    """The module that judges printed pages with pdfium: faults(pdf)."""
    return _helper("page_judge")


@pytest.fixture(scope="session")
def edge_vehicles() -> ModuleType:
    """The module with vehicles that are hard to print: wordy(vehicle), foreign(vehicle), photographed(…)."""
    return _helper("edge_vehicles")
