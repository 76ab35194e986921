"""What a person outside goes by: wheels, doors and the ends of the vehicle. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, TypeAlias

from msgspec import Struct

from guidegen.vehicle.layout import Layout

_FAR_MM = 2000.0  # farther away a thing is no landmark
_JUST_MM = 600.0
_END_MM = 700.0
_END_BEFORE_MM = 250.0  # an end of the vehicle is seen sooner than a wheel as far away
_BETWEEN_MM = 900.0


class Landmark(Struct, frozen=True):
    """A stretch along a side that has a name."""

    name: str
    start: float
    end: float
    high: bool = False  # reaches above waist height

    def gap(self, along: float) -> float:
        return max(self.start - along, 0.0, along - self.end)


Level: TypeAlias = Literal["below", "beside", "above"]


def landmark_phrase(along: float, side: str, layout: Layout, level: Level = "beside", own: str = "") -> str:
    """Where along a side: "just behind the rear wheel", "by the habitation door", "near the rear end".

    `side` is the nearside or offside; any other text leaves the doors out. `level` tells what lies
    above the wheels or below the doors; `own` is the id of a door that is the thing itself.
    """
    wheels = tuple(_wheels(layout))
    found = [(mark.gap(along), _beside(mark, along, level)) for mark in (*wheels, *_doors(side, own, layout))]
    ends = ((along, "near the front end"), (layout.length - along, "near the rear end"))
    found += [(max(0.0, gap - _END_BEFORE_MM) + 1, words) for gap, words in ends if gap < _END_MM]
    gap, words = min(found, default=(_FAR_MM + 1, ""))
    if gap > _BETWEEN_MM and _between(along, wheels):
        return "midway between the wheels"
    return words if gap <= _FAR_MM else "in the middle"


def _beside(mark: Landmark, along: float, level: Level) -> str:
    gap = mark.gap(along)
    if gap == 0:
        passes = (level == "below") == mark.high and level != "beside"
        return f"{level if passes else 'by'} the {mark.name}"
    word = "behind" if along > mark.end else "ahead of"
    return f"{'just ' if gap < _JUST_MM else ''}{word} the {mark.name}"


def _between(along: float, wheels: tuple[Landmark, ...]) -> bool:
    """Whether it lies about halfway between two axles."""
    ahead = [w.gap(along) for w in wheels if w.end < along]
    behind = [w.gap(along) for w in wheels if w.start > along]
    return bool(ahead and behind and max(min(ahead), min(behind)) < 1.6 * min(*ahead, *behind))


def _doors(side: str, own: str, layout: Layout) -> Iterator[Landmark]:
    for door in layout.doors:
        if door.side == side and door.id != own:
            yield Landmark(without_side(door.name, side), door.start, door.start + door.width, high=True)


def _wheels(layout: Layout) -> Iterator[Landmark]:
    axles = sorted({round(w.x): w.diameter for w in layout.wheels}.items())
    single = len(axles) == 1
    for n, (x, diameter) in enumerate(axles):
        name = "wheel" if single else ("front wheel" if n == 0 else "rear wheel")
        yield Landmark(name, x - diameter / 2, x + diameter / 2)


def without_side(name: str, side: str) -> str:
    """A name without the side that was said before: "nearside garage door" → "garage door"."""
    return name.replace(f"{side} ", "", 1)


def across_phrase(y: float, layout: Layout) -> str:
    """Which third of the width."""
    share = y / layout.width
    return "nearside" if share < 0.4 else "offside" if share > 0.6 else "in the middle"
