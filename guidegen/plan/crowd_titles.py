"""What the frame of an enlarged crowd is headed with: a true name for all that is in it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Protocol

from guidegen.vehicle.layout import Door, Hatch, Layout
from guidegen.vehicle.places import opening_area

# Of an opening: so near beside it, so deep in it; and so near a door inside, where its switches are.
_BESIDE_MM, _WITHIN_MM, _ROUND_MM = 150.0, 100.0, 250.0
_BEHIND_MM = 300.0  # from which one crowd is said to be behind another, though also beside it
_LONG_SIDES = ("nearside", "offside")
_SIDES = (*_LONG_SIDES, "front", "rear")
_AT_FLAP = ", at the flap"  # of what is in a locker, right behind its flap
_LEAVES = ("door", "flap", "hatch")  # names of openings that are flaps by themselves
_ABOVE_AND_BELOW = {"roof": "roof", "under": "under the floor"}


class Member(Protocol):
    """A point of a crowd, in vehicle mm."""

    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...
    @property
    def where(self) -> str: ...
    @property
    def room(self) -> str: ...
    @property
    def furniture(self) -> str: ...
    @property
    def opening(self) -> str: ...


def crowd_title(layout: Layout, points: Sequence[Member]) -> str:
    """Where most of the points are; of a crowd that is partly inside and partly outside, both places.

    A door names all that is round it, on either side; a locker what is in it, else what is by it, what is
    both at it; the vehicle's parts what is above and below them. What is on the roof over others is told too.
    """
    inside = _most(_inside(layout, p) for p in points if p.where == "inside")
    outer = [_opening(layout, p) or f"outside, {p.where}" for p in points if p.where in _SIDES]
    outside = _most(outer)
    own = outside.removeprefix("by the ").removesuffix(_AT_FLAP)
    if own in (*outer, inside):
        outside = own
    elif own + _AT_FLAP in outer and len(set(outer)) > 1:
        outside = f"at the {own}"
    if inside and outside and inside != outside:
        second = "outside" if outside.startswith("outside") else outside.removeprefix(f"{inside} ")
        name = f"{inside} and {second}"
    else:
        name = inside or outside or _most(_ABOVE_AND_BELOW[p.where] for p in points)
    if name != "roof" and any(p.where == "roof" for p in points):
        name = name.replace(" and ", ", ") + " and roof"
    return name[:1].upper() + name[1:]


def crowd_titles(layout: Layout, crowds: Sequence[Sequence[Member]]) -> tuple[str, ...]:
    """A title for each crowd; of those with one name, where each is among them."""
    titles = [crowd_title(layout, points) for points in crowds]
    alike = Counter(titles)
    return tuple(
        title if alike[title] == 1 else f"{title}, {_which(n, titles, crowds)}"
        for n, title in enumerate(titles)
    )


def _which(n: int, titles: Sequence[str], crowds: Sequence[Sequence[Member]]) -> str:
    """ "front" of two behind each other, "nearside" of two side by side, a number of more."""
    middles = {
        k: tuple(sum(axis) / len(axis) for axis in zip(*((p.x, p.y) for p in crowds[k]), strict=True))
        for k, title in enumerate(titles)
        if title == titles[n]
    }
    xs, ys = zip(*middles.values(), strict=True)
    along = max(xs) - min(xs) >= min(_BEHIND_MM, max(ys) - min(ys))
    order = sorted(middles, key=lambda k: middles[k][not along])
    names = ("front", "rear") if along else ("nearside", "offside")
    plain = len(order) == 2 and not any(name in titles[n] for name in names)
    return names[order.index(n)] if plain else str(order.index(n) + 1)


def _most(names: Iterable[str]) -> str:
    """The name said most; "" of none."""
    said = Counter(names)
    return max(said, key=lambda name: (said[name], name), default="")


def _inside(layout: Layout, point: Member) -> str:
    """The piece of furniture that a point is on, the door that it is by, or its room."""
    if piece := layout.piece(point.furniture):
        return piece.name
    for door in layout.doors:
        by = opening_area(layout, door, depth=_BESIDE_MM)
        if door.kind in ("habitation", "sliding") and by.contains(point.x, point.y, _ROUND_MM):
            return door.name
    room = layout.room(point.room)
    return room.name if room else "inside"


def _opening(layout: Layout, point: Member) -> str:
    """The door at a point of a side, or the locker that it is in or beside; "" if none."""
    deep = {
        "nearside": point.y, "offside": layout.width - point.y,
        "front": point.x, "rear": layout.length - point.x,
    }[point.where]  # fmt: skip
    for hatch in layout.hatches:
        if hatch.id == point.opening:
            plain = deep > _WITHIN_MM or hatch.name.endswith(_LEAVES)
            return hatch.name if plain else hatch.name + _AT_FLAP
    along = point.x if point.where in _LONG_SIDES else point.y
    openings: list[Hatch | Door] = [h for h in layout.hatches if h.side == point.where]
    openings += [d for d in layout.doors if d.side == point.where]
    apart, number = min(
        ((max(o.start - along, along - o.start - o.width), n) for n, o in enumerate(openings)),
        default=(math.inf, 0),
    )
    if apart > _BESIDE_MM:
        return ""
    found = openings[number]
    return found.name if isinstance(found, Door) else f"by the {found.name}"
