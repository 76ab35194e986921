"""How each kind of furniture looks from above: marks in the piece's own mm, nothing of style or place.

Each function takes the width along the free edge and the depth, and gives its marks from the bottom up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TypeAlias

from guidegen.plan.strokes import Box, Curve, Mark, Oval, Pen, Stroke, ring
from guidegen.vehicle.layout import XY

Drawing: TypeAlias = Callable[[float, float], tuple[Mark, ...]]


def _base(width: float, depth: float, radius: float = 15) -> Box:
    return Box(0, 0, width, depth, radius, "edge", "soft")


def bed(width: float, depth: float) -> tuple[Mark, ...]:
    """Head at v = 0: mattress, a pillow for each sleeper, the cover turned back."""
    sleepers = 2 if width >= 1150 else 1
    share = width / sleepers
    pillow, deep = min(share - 80, 680), min(400, depth * 0.22)
    pillows = tuple(
        Box(share * (i + 0.5) - pillow / 2, 60, pillow, deep, 110, "detail", "floor") for i in range(sleepers)
    )
    fold = deep + 120
    turned = (
        Stroke(((20, fold), (width - 20, fold))),
        Stroke(((20, fold + 150), (width - 20, fold + 150))),
    )
    return (
        Box(0, 0, width, depth, 60, "edge", "soft"),
        Box(20, fold, width - 40, depth - fold - 20, 45, "fine", "cushion"),
        *turned,
        *pillows,
    )


def high_bed(width: float, depth: float) -> tuple[Mark, ...]:
    """A bed above the cut: its outline and pillows alone."""
    sleepers = 2 if width >= 1150 else 1
    share = width / sleepers
    pillow = min(share - 140, 620)
    return (
        Box(0, 0, width, depth, 90, "edge"),
        *(Box(share * (i + 0.5) - pillow / 2, 80, pillow, 320, 100) for i in range(sleepers)),
    )


def bench(width: float, depth: float) -> tuple[Mark, ...]:
    """Cushions of a size that a person can lift, a back rest along the back."""
    rest = min(130.0, depth * 0.24)
    count = max(1, round(width / 640))
    share = width / count
    seats = tuple(
        Box(share * i + 8, rest + 8, share - 16, depth - rest - 16, 45, "detail", "cushion")
        for i in range(count)
    )
    rests = tuple(Box(share * i + 8, 8, share - 16, rest - 8, 30, "detail", "cushion") for i in range(count))
    return (_base(width, depth, 30), *rests, *seats)


def dinette_seat(width: float, depth: float) -> tuple[Mark, ...]:
    """Travel seats: as a bench, with a head rest for each."""
    count = max(1, round(width / 560))
    share = width / count
    rest = min(140.0, depth * 0.26)
    marks: list[Mark] = [_base(width, depth, 30)]
    for i in range(count):
        middle = share * (i + 0.5)
        marks += [
            Box(share * i + 10, rest, share - 20, depth - rest - 10, 60, "detail", "cushion"),
            Box(share * i + 10, 10, share - 20, rest - 10, 40, "detail", "cushion"),
            Box(middle - 120, 22, 240, 80, 40, "detail", "floor"),
        ]
    return tuple(marks)


def cab_seat(width: float, depth: float) -> tuple[Mark, ...]:
    rest = depth * 0.24
    return (
        Box(0, depth * 0.28, 60, depth * 0.5, 28, "detail", "soft"),
        Box(width - 60, depth * 0.28, 60, depth * 0.5, 28, "detail", "soft"),
        Box(45, rest * 0.7, width - 90, depth - rest * 0.7, 110, "edge", "cushion"),
        Box(25, 0, width - 50, rest, 70, "edge", "soft"),
        Box(width / 2 - 125, 15, 250, rest * 0.62, 45, "detail", "floor"),
    )


def dashboard(width: float, depth: float) -> tuple[Mark, ...]:
    """The sill under the windscreen; the driver's wheel is drawn with the driver's seat."""
    bow = depth * 0.42
    shell = (
        ("M", 0, bow),
        ("C", width * 0.2, -bow * 0.1, width * 0.8, -bow * 0.1, width, bow),
        ("L", width, depth * 0.86),
        ("C", width * 0.9, depth, width * 0.66, depth, width * 0.6, depth * 0.9),
        ("L", width * 0.4, depth * 0.9),
        ("C", width * 0.34, depth, width * 0.1, depth, 0, depth * 0.86),
        ("Z",),
    )
    return (
        Curve(shell, "edge", "soft"),
        Box(width * 0.42, depth * 0.62, width * 0.16, depth * 0.24, 25, "detail", "cushion"),
    )


def steering_wheel(radius: float) -> tuple[Mark, ...]:
    """Round u = v = 0; foreshortened, as its column is raked."""
    tall = radius * 0.62
    return (
        Oval(0, 0, radius, tall, "strong", "none"),
        Oval(0, 0, radius - 34, tall - 26, "fine", "none"),
        Stroke(((-radius + 30, 0), (radius - 30, 0))),
        Oval(0, 0, 62, 44, "detail", "cushion"),
    )


def table(width: float, depth: float) -> tuple[Mark, ...]:
    return (
        Box(0, 0, width, depth, 70, "edge", "floor"),
        Box(28, 28, width - 56, depth - 56, 48, "fine", "none"),
    )


def wardrobe(width: float, depth: float) -> tuple[Mark, ...]:
    """Hanging rail with hangers across it, doors at the free edge."""
    along = width >= depth
    run, across = (width, depth) if along else (depth, width)
    middle, reach = across / 2, min(across * 0.32, 200)
    marks: list[Mark] = [_base(width, depth)]

    def turned(p: XY, q: XY, pen: Pen = "detail") -> Stroke:
        return Stroke((p, q) if along else ((p[1], p[0]), (q[1], q[0])), pen)

    marks.append(turned((40, middle), (run - 40, middle)))
    count = max(3, int((run - 120) / 85))
    for i in range(count):
        at = 70 + (run - 140) * i / (count - 1)
        lean = (-18, 22, 8, -26, 14)[i % 5]
        marks.append(turned((at - lean, middle - reach), (at + lean, middle + reach)))
    return tuple(marks)


def cupboard(width: float, depth: float) -> tuple[Mark, ...]:
    """One diagonal, the drawing convention for a unit with doors, and its door line."""
    return (_base(width, depth), Stroke(((0, depth), (width, 0)), "fine"))


def worktop(width: float, depth: float) -> tuple[Mark, ...]:
    return (_base(width, depth, 30), Stroke(((15, depth - 28), (width - 15, depth - 28)), "fine"))


def shelf(width: float, depth: float) -> tuple[Mark, ...]:
    return (_base(width, depth, 60),)


def hob(width: float, depth: float, rings: int = 0, flame: bool = True) -> tuple[Mark, ...]:
    """Rings with pan rests, or hotplates; knobs along the front. 0 rings: as many as the width holds."""
    usable = depth - 85
    rings = rings or (4 if width >= 430 else 2)
    marks: list[Mark] = [Box(0, 0, width, depth, 30, "edge", "floor")]
    for u, v, radius in _rings(width, usable, rings):
        rest = radius * 1.28
        marks += [Oval(u, v, radius, radius, "edge"), Oval(u, v, radius * 0.45, radius * 0.45)]
        if flame:
            marks += [
                Stroke(((u - rest, v), (u - radius * 0.45, v))),
                Stroke(((u + radius * 0.45, v), (u + rest, v))),
                Stroke(((u, v - rest), (u, v - radius * 0.45))),
                Stroke(((u, v + radius * 0.45), (u, v + rest))),
            ]
    marks += [Oval(width * (i + 1) / (rings + 1), depth - 42, 17, 17) for i in range(rings)]
    return tuple(marks)


def _rings(width: float, usable: float, count: int) -> tuple[tuple[float, float, float], ...]:
    """Middle and radius of each ring."""
    if count == 1:
        return ((width / 2, usable / 2, min(usable, width) * 0.3),)
    if count == 2:
        across = ((width / 2, usable * 0.28, usable * 0.17), (width / 2, usable * 0.74, usable * 0.2))
        beside = ((width * 0.28, usable / 2, width * 0.19), (width * 0.74, usable / 2, width * 0.16))
        return across if width < usable * 1.3 else beside
    large = min(usable * 0.19, width * 0.17)
    small = large * 0.8
    four = (
        (width * 0.27, usable * 0.28, large),
        (width * 0.27, usable * 0.75, small),
        (width * 0.73, usable * 0.28, small),
        (width * 0.73, usable * 0.75, large),
    )
    if count == 3:
        return (*four[:2], (width * 0.73, usable / 2, large))
    more = tuple((width / 2, usable * (0.28 + 0.47 * k), small * 0.7) for k in range(count - 4))
    return (*four, *more)


def sink(width: float, depth: float) -> tuple[Mark, ...]:
    """Bowl, drain, tap at the back, and a drainer when there is room for one."""
    bowl = min(width, depth * 1.15)
    marks: list[Mark] = [
        Box(0, 0, width, depth, 40, "edge", "floor"),
        Box(28, 75, bowl - 56, depth - 103, 85, "detail", "cushion"),
        Oval(bowl / 2, 75 + (depth - 103) / 2, 24, 24),
        *_tap(bowl / 2, 36, 120),
    ]
    grooves = int((width - bowl) / 50)
    marks += [
        Stroke(((bowl + 20 + 50 * i, 80), (bowl + 20 + 50 * i, depth - 45)), "fine") for i in range(grooves)
    ]
    return tuple(marks)


def _tap(u: float, v: float, reach: float) -> tuple[Mark, ...]:
    return (Oval(u, v, 20, 20, "detail", "floor"), Stroke(((u, v + 20), (u, v + reach)), "edge"))


def oven(width: float, depth: float) -> tuple[Mark, ...]:
    """Built in under a worktop, so that its door alone shows at the free edge."""
    return (Box(0, depth - 22, width, 40, 14, "edge", "cushion"),)


def fridge(width: float, depth: float) -> tuple[Mark, ...]:
    """Thick door at the free edge and a frost star, in a corner so that no marker in the middle hides it."""
    door = depth - 62
    u, v, reach = 0.27 * width, 0.27 * door, 0.19 * min(width, door)
    arms = tuple(
        Stroke(
            (
                (u - reach * math.cos(a), v - reach * math.sin(a)),
                (u + reach * math.cos(a), v + reach * math.sin(a)),
            ),
            "edge",
        )
        for a in (math.pi / 2, math.pi / 6, -math.pi / 6)
    )
    return (
        Box(0, 0, width, door, 10, "edge", "soft"),
        Box(0, door, width, depth - door, 15, "edge", "cushion"),
        *arms,
    )


def washbasin(width: float, depth: float) -> tuple[Mark, ...]:
    ru, rv = min(width / 2 - 30, 210), min(depth / 2 - 30, 165)
    v = depth - rv - 28
    return (
        _base(width, depth, 60),
        Oval(width / 2, v, ru, rv, "detail", "floor"),
        Oval(width / 2, v, 18, 18),
        *_tap(width / 2, max(24.0, v - rv - 6), 80),
    )


def toilet(width: float, depth: float) -> tuple[Mark, ...]:
    """Cistern or cassette bench at the back, seat and bowl in front of it."""
    back = depth * 0.3
    ru, rv = width * 0.44, (depth - back) / 2 + 10
    v = depth - rv
    return (
        Box(0, 0, width, back, 30, "edge", "soft"),
        Oval(width / 2, v, ru, rv, "edge", "floor"),
        Curve(ring(width / 2, v + 8, ru * 0.66, rv * 0.68), "detail", "cushion"),
    )


def shower(width: float, depth: float) -> tuple[Mark, ...]:
    """Tray with its falls to the drain, and the rail with the shower head."""
    u, v, radius = width / 2, depth / 2, 38.0
    corners = ((45.0, 45.0), (width - 45, 45.0), (width - 45, depth - 45), (45.0, depth - 45))
    falls = tuple(Stroke((c, (u + (c[0] - u) * 0.2, v + (c[1] - v) * 0.2)), "fine") for c in corners)
    return (
        Box(0, 0, width, depth, 50, "edge", "floor"),
        Box(32, 32, width - 64, depth - 64, 40, "detail", "none"),
        *falls,
        Oval(u, v, radius, radius, "edge", "floor"),
        Oval(u, v, radius * 0.45, radius * 0.45),
    )


def locker(width: float, depth: float) -> tuple[Mark, ...]:
    return (
        _base(width, depth),
        Stroke(((0, 0), (width, depth)), "fine"),
        Stroke(((0, depth), (width, 0)), "fine"),
    )


def step(width: float, depth: float) -> tuple[Mark, ...]:
    """A step down: its tread with the nosing at the free edge."""
    return (
        Box(0, 0, width, depth, 15, "edge", "floor"),
        Stroke(((20, depth - 45), (width - 20, depth - 45)), "fine"),
    )


def garage(width: float, depth: float) -> tuple[Mark, ...]:
    return (Box(0, 0, width, depth, 20, "edge"),)


PIECES: Mapping[str, Drawing] = {
    "bed": bed,
    "bunk": bed,
    "over-cab-bed": high_bed,
    "drop-down-bed": high_bed,
    "bench": bench,
    "dinette-seat": dinette_seat,
    "cab-seat": cab_seat,
    "dashboard": dashboard,
    "table": table,
    "wardrobe": wardrobe,
    "cupboard": cupboard,
    "worktop": worktop,
    "shelf": shelf,
    "hob": hob,
    "sink": sink,
    "oven": oven,
    "fridge": fridge,
    "washbasin": washbasin,
    "toilet": toilet,
    "shower": shower,
    "locker": locker,
    "step": step,
    "garage": garage,
}
