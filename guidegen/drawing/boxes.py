"""Upright boxes on a sheet: about points, and with room around."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

from guidegen.drawing.primitives import Point

Box: TypeAlias = tuple[float, float, float, float]  # x, y of the top left corner, width, height; in mm


def box_about(points: Iterable[Point]) -> Box:
    """The least box that holds all of the points, of which there is one at least."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def grown(box: Box, by: float) -> Box:
    """A box with so much more on every side."""
    x, y, w, h = box
    return x - by, y - by, w + 2 * by, h + 2 * by
