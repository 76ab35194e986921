"""The marker shapes that tell systems apart without colour.

A shape stands as a small filled mark at the true place, or as a surround behind a round badge.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from guidegen.drawing.primitives import Circle, Command, Line, Path, Point, Style


def _regular(corners: int, first_deg: float) -> tuple[Point, ...]:
    """A regular polygon about the unit circle (its edges touch it); y downwards, 0° to the right."""
    radius = 1 / math.cos(math.pi / corners)
    angles = (math.radians(first_deg + 360 * i / corners) for i in range(corners))
    return tuple((radius * math.cos(a), radius * math.sin(a)) for a in angles)


def _star(tips: int, reach: float) -> tuple[Point, ...]:
    """Tips at `reach`, notches on the unit circle."""
    turns = ((math.pi * (i / tips - 0.5), 1.0 if i % 2 else reach) for i in range(2 * tips))
    return tuple((radius * math.cos(a), radius * math.sin(a)) for a, radius in turns)


def _cross(arm: float, reach: float) -> tuple[Point, ...]:
    a, r = arm, reach
    quarter = ((a, -r), (a, -a), (r, -a))
    turns = ((1, 0), (0, 1), (-1, 0), (0, -1))  # cosine and sine of each quarter turn
    return tuple((x * c - y * s, x * s + y * c) for c, s in turns for x, y in quarter)


# Outlines about the unit circle: they hold it, but the star only nearly, and the cross has arms past it.
_OUTLINES: Mapping[str, tuple[Point, ...]] = MappingProxyType(
    {
        "triangle": _regular(3, -90),
        "triangle-down": _regular(3, 90),
        "square": _regular(4, -45),
        "diamond": _regular(4, -90),
        "pentagon": _regular(5, -90),
        "hexagon": _regular(6, -90),
        "star": _star(6, 1.5),
        "cross": _cross(0.55, 1.35),
    }
)
_RING_HOLE = 0.5  # of the ring's radius
_STAND_OFF = (1.25, 1.45)  # inner and outer radius of a ring about a badge of radius 1
SHAPES: tuple[str, ...] = ("circle", "ring", *_OUTLINES)


def marker(
    name: str, x: float, y: float, radius_mm: float, style: Style, css: str = ""
) -> Circle | Line | Path:
    """The shape about (x, y), as large in area as a disc of that radius, so that all weigh the same.

    A ring is drawn with a hole of half its radius. Raises ValueError for an unknown shape.
    """
    if name == "ring":
        return _rings(x, y, (radius_mm, radius_mm * _RING_HOLE), style, css)
    if name == "circle":
        return Circle(x, y, radius_mm, style, css)
    outline = _outline(name)
    return _placed(outline, x, y, radius_mm * math.sqrt(math.pi / _area(outline)), style, css)


def surround(
    name: str, x: float, y: float, radius_mm: float, style: Style, css: str = ""
) -> Circle | Line | Path:
    """The shape about (x, y) that just holds a round badge of that radius.

    The cross reaches past the badge, and a ring stands off it. Raises ValueError for an unknown shape.
    """
    if name == "ring":
        return _rings(x, y, (radius_mm * _STAND_OFF[1], radius_mm * _STAND_OFF[0], radius_mm), style, css)
    if name == "circle":
        return Circle(x, y, radius_mm, style, css)
    return _placed(_outline(name), x, y, radius_mm, style, css)


def _outline(name: str) -> tuple[Point, ...]:
    try:
        return _OUTLINES[name]
    except KeyError:
        raise ValueError(f"unknown marker shape {name!r}: one of {', '.join(SHAPES)}") from None


def _area(points: tuple[Point, ...]) -> float:
    following = points[1:] + points[:1]
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(points, following, strict=True))) / 2


def _placed(points: tuple[Point, ...], x: float, y: float, scale: float, style: Style, css: str) -> Line:
    return Line(tuple((x + scale * px, y + scale * py) for px, py in points), style, closed=True, css=css)


def _rings(x: float, y: float, radii: Sequence[float], style: Style, css: str) -> Path:
    """Circles about one middle, filled and empty by turns from the outside."""
    commands = tuple(command for radius in radii for command in _circle_path(x, y, radius))
    return Path(commands, style, css, even_odd=True)


def _circle_path(x: float, y: float, r: float) -> tuple[Command, ...]:
    k = 0.5522847498 * r  # control distance of a quarter circle as one cubic
    return (
        ("M", x + r, y),
        ("C", x + r, y + k, x + k, y + r, x, y + r),
        ("C", x - k, y + r, x - r, y + k, x - r, y),
        ("C", x - r, y - k, x - k, y - r, x, y - r),
        ("C", x + k, y - r, x + r, y - k, x + r, y),
        ("Z",),
    )
