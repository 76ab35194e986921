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
