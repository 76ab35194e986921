"""What was read from cells, judged as a description is, with all that is wrong at once."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import Any

from guidegen.checks import check
from guidegen.errors import DescriptionError, Finding, Mark
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.reading import vehicle_from_source
from guidegen.vehicle.source import KeyPath, Source

_ROUNDS = 5
_SPARE = frozenset(
    {"id", "name", "note", "number", "height", "serves", "photo", "photo_x", "photo_y", "web"}
)  # of a point
_ELSEWHERE = frozenset({"to-locate"})  # told in a line of its own


def judged(source: Source, folder: Path, place: str) -> Vehicle:
    """The vehicle of the data. Raises DescriptionError with all that is wrong.

    place: the sheet or file whose marks the points carry. The schema stops before places are looked at, so
    what it refuses is left out and the rest is tried again, for what is wrong with the points.
    """
    found: list[Finding] = []
    rest, bad = source, set[Mark]()
    for number in range(_ROUNDS):
        try:
            vehicle = vehicle_from_source(rest, folder)
        except DescriptionError as error:
            fresh = {f.mark for f in error.findings} - bad
            found += [f for f in error.findings if number == 0 or (f.mark in fresh and f.mark.file == place)]
        else:
            fresh = set()
        if not fresh:
            break
        bad |= fresh
        rest = _without(source, bad)
    if found:
        raise DescriptionError(tuple(dict.fromkeys(found)))
    return vehicle


def _without(source: Source, bad: Collection[Mark]) -> Source:
    """The source without the values at those marks; a record goes whole when its kind or place is bad."""
    keys: dict[KeyPath, Mark] = {}
    values: dict[KeyPath, Mark] = {}

    def is_bad(path: KeyPath, value: Any) -> bool:
        record = isinstance(value, dict) and isinstance(path[-1], int)
        within = [key for key in value if key not in _SPARE] if record else ()
        return any(source.values.get(one) in bad for one in (path, *((*path, key) for key in within)))

    def rest(value: Any, old: KeyPath, new: KeyPath) -> Any:
        for before, after in ((source.keys, keys), (source.values, values)):
            if old in before:
                after[new] = before[old]
        if isinstance(value, dict):
            return {
                key: rest(part, (*old, key), (*new, key))
                for key, part in value.items()
                if not is_bad((*old, key), part)
            }
        if isinstance(value, list):
            kept = [n for n, part in enumerate(value) if not is_bad((*old, n), part)]
            return [rest(value[n], (*old, n), (*new, place)) for place, n in enumerate(kept)]
        return value

    return Source(source.file, rest(source.data, (), ()), keys, values)


def remarks(vehicle: Vehicle, trade: Trade) -> tuple[Finding, ...]:
    """What the checks say of a vehicle that was read, but for points to be located."""
    return tuple(finding for finding in check(vehicle, trade) if finding.rule not in _ELSEWHERE)
