"""Tells apart points of one kind whose places read the same: the taps of one row, counted from an end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from msgspec.structs import replace

from guidegen.vehicle.model import ServicePoint

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
_APART_MM = 20.0  # nearer things are not counted apart
_PIECE = 3  # parts of a place up to the piece: "Inside, kitchen, under the worktop"


def told_apart(points: tuple[ServicePoint, ...]) -> tuple[ServicePoint, ...]:
    """The points, those of a row in which two places read the same with "second from the front" and so on.

    A row is all that is of one kind in one piece of furniture or locker; what is no row stays as it is.
    """
    often = Counter((p.kind, p.place) for p in points)
    said: dict[str, str] = {}
    for point in points:
        if often[point.kind, point.place] > 1 and point.id not in said:
            row = [p for p in points if _row(p) == _row(point)]
            said.update(_counted(row))
    return tuple(replace(p, place=said[p.id]) if p.id in said else p for p in points)


def _row(point: ServicePoint) -> tuple[str, ...]:
    parts = point.place.split(", ")
    of_a_piece = point.furniture or any(part.startswith(("in the ", "behind the ")) for part in parts)
    return (point.kind, point.furniture, *(parts[:_PIECE] if of_a_piece else parts))


def _counted(row: Sequence[ServicePoint]) -> dict[str, str]:
    """Places by id; none where the points are not apart, or too many to count."""
    ways = {
        "from the front": [p.x for p in row],
        "from the nearside": [p.y for p in row],
        "from above": [-p.z for p in row],
    }
    way = max(ways, key=lambda w: max(ways[w]) - min(ways[w]))
    order = sorted(zip(ways[way], row, strict=True), key=lambda pair: pair[0])
    if len(row) > len(_ORDINALS) or any(b[0] - a[0] < _APART_MM for a, b in pairwise(order)):
        return {}
    others = [set(p.place.split(", ")) for p in row]
    common = [part for part in row[0].place.split(", ") if all(part in other for other in others)]
    return {p.id: ", ".join((*common, f"{nth} {way}")) for nth, (_, p) in zip(_ORDINALS, order, strict=False)}
