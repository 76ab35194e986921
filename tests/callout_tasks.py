"""Random vehicles as the callout engine sees them: a body on a sheet, and points where vehicles have them.

Clusters are boxes like those of real floor plans at 1:25 to 1:30: kitchens along a wall, lounges, wash rooms,
lockers at the skin, and points on the outside walls. Points nearer than 3 mm to another, or with three
others within 5.5 mm, are left out, as crowds become insets before callouts are placed.
"""

from __future__ import annotations

import math
import random

from guidegen.plan.callouts import Site, Task

SHEET = (297.0, 210.0)
ROOM = (6.0, 10.0, 285.0, 190.0)
APART_MM = 3.0
CROWD_MM = 5.5
Point = tuple[float, float]


def random_task(seed: int, count: int) -> Task:
    """A motorhome, van or caravan with count points; the same for the same arguments."""
    chance = random.Random(f"{seed}/{count}")
    length = chance.uniform(170, 238) if count <= 30 else chance.uniform(210, 238)
    width = length * chance.uniform(0.31, 0.39)
    left, top = (SHEET[0] - length) / 2, (SHEET[1] - width) / 2 + 4
    caravan = chance.random() < 0.3
    shape = _CARAVAN if caravan else _MOTORHOME
    body = tuple((left + u * length, top + v * width) for u, v in shape)
    front = 0.15 if caravan else 0.03
    places = _places(chance, count, front, caravan)
    on_sheet = [(left + u * length, top + v * width) for u, v in places(length, width)]
    sites = tuple(Site(f"point-{k}", x, y) for k, (x, y) in enumerate(on_sheet))
    word = (left - 26, top + width / 2 - 3, 12.0, 6.0)  # FRONT
    bar = (12.0, 196.0, 52.0, 4.0)
    return Task(sites, (body,), ROOM, (bar,) if caravan else (word, bar))


_MOTORHOME = (
    (0.06, 0.08),
    (0.18, 0.0),
    (1.0, 0.0),
    (1.0, 1.0),
    (0.18, 1.0),
    (0.06, 0.92),
    (0.0, 0.7),
    (0.0, 0.3),
)
_CARAVAN = (
    (0.0, 0.47),
    (0.15, 0.2),
    (0.15, 0.0),
    (1.0, 0.0),
    (1.0, 1.0),
    (0.15, 1.0),
    (0.15, 0.8),
    (0.0, 0.53),
)


def _places(chance: random.Random, count: int, front: float, caravan: bool):  # type: ignore[no-untyped-def]
    """A function of length and width (mm) that gives points as shares of them."""
    zones = [_zone(chance, front) for _ in range(chance.randint(4, 7))]

    def one() -> Point:
        kind = chance.random()
        if kind < 0.55:
            u, v, du, dv = chance.choice(zones)
            return chance.uniform(u, u + du), chance.uniform(v, v + dv)
        if kind < 0.75:
            side = chance.choice((0.0, 1.0))
            return chance.uniform(front + 0.17, 1.0), side + chance.uniform(-0.015, 0.015)
        if kind < 0.8:
            return 1.0 + chance.uniform(-0.004, 0.004), chance.uniform(0.1, 0.9)
        if kind < 0.83 and caravan:
            return chance.uniform(0.01, 0.14), chance.uniform(0.46, 0.54)
        return chance.uniform(front + 0.05, 0.98), chance.uniform(0.1, 0.9)

    def points(length: float, width: float) -> list[Point]:
        found: list[Point] = []
        for _ in range(count * 400):
            u, v = one()
            near = sorted(math.hypot((u - a) * length, (v - b) * width) for a, b in found)
            if not near or (near[0] >= APART_MM and sum(d < CROWD_MM for d in near) < 3):
                found.append((u, v))
            elif chance.random() < 0.01:  # two points one above the other
                twin = min(found, key=lambda p: math.hypot((u - p[0]) * length, (v - p[1]) * width))
                found += [twin] if found.count(twin) < 2 else []
            if len(found) == count:
                break
        return found

    return points


def _zone(chance: random.Random, front: float) -> tuple[float, float, float, float]:
    """Kitchen, lounge, wash room or locker: corner and size as shares of length and width."""
    du, dv = chance.choice(((0.2, 0.22), (0.25, 0.8), (0.14, 0.35), (0.07, 0.15)))
    v = chance.choice((0.04, 0.96 - dv))
    return chance.uniform(front + 0.12, 0.97 - du), v, du, dv
