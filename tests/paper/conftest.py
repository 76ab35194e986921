"""Fixtures of the paper tests: the fold simulator, and what stands where on a sheet."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import ModuleType

import pytest

from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.primitives import Circle, Group, Item, Line, Rect, Text

Box = tuple[float, float, float, float]
Placed = tuple[Item, Box]


@pytest.fixture(scope="session")
def simulator() -> ModuleType:
    name = "fold_simulator"
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module  # dataclasses look themselves up there
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def boxes() -> Callable[[Sequence[Item]], list[Placed]]:
    """Every primitive in groups and out of them, with its box left, top, right, bottom on the sheet."""
    return lambda items: list(_boxes(items, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)))


def _boxes(items: Sequence[Item], m: tuple[float, ...]) -> Iterator[Placed]:
    for item in items:
        if isinstance(item, Group):
            yield from _boxes(item.items, _times(m, item.transform or (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)))
        elif (corners := _corners(item)) is not None:
            a, b, c, d, e, f = m
            xs = [a * x + c * y + e for x, y in corners]
            ys = [b * x + d * y + f for x, y in corners]
            yield item, (min(xs), min(ys), max(xs), max(ys))


def _corners(item: Item) -> list[tuple[float, float]] | None:
    match item:
        case Line():
            return list(item.points)
        case Circle():
            r = item.radius
            return [(item.x - r, item.y - r), (item.x + r, item.y + r)]
        case Rect():
            return [(item.x, item.y), (item.x + item.width, item.y + item.height)]
        case Text():
            width = text_width_mm(item.text, item.size_pt, item.weight)
            left = item.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * width
            em = item.size_pt * 25.4 / 72
            # From foot of descenders to top of ascenders, as wide as most text faces have them.
            return [(left, item.y - 0.74 * em), (left + width, item.y + 0.22 * em)]
        case _:
            return None


def _times(m: tuple[float, ...], n: tuple[float, ...]) -> tuple[float, ...]:
    a, b, c, d, e, f = m
    g, h, i, j, k, o = n
    return a * g + c * h, b * g + d * h, a * i + c * j, b * i + d * j, a * k + c * o + e, b * k + d * o + f
