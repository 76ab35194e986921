"""New points into the text of a description: old ones keep their line, new ones take their blank line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import yaml
from msgspec import Struct

from guidegen.desk.edits import Edit, line_end, line_start, top_level, value_end
from guidegen.desk.merging import Merging, same
from guidegen.desk.point_lines import blank_line, how_many, point_line, system_name
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle

Record = Mapping[str, Any]
_BLANK = re.compile(r"(?m)^#  - \{kind: ([\w-]+)(?:, serves: ([\w-]+|\[[\w, -]*\]))?,[^\n]*(?:\n|\Z)")
_REMARK = re.compile(r"#  - \{kind: |  # \S|# To be located: ")


class Vehicles(Struct, frozen=True):
    """What the file said before and says after."""

    before: Vehicle
    after: Vehicle
    trade: Trade


class Wanted(NamedTuple):
    """What a blank line is for."""

    kind: str
    serves: tuple[str, ...] = ()


class _Line(Struct, frozen=True):
    """A point or a blank line of the file: where it starts and ends, and what it is for."""

    start: int
    end: int
    wanted: Wanted


def pairs(old: Sequence[Record], new: Sequence[Record]) -> dict[int, int]:
    """Which old point each new one is, by place: the same, else one of its id, else one of its kind."""
    left = dict(enumerate(old))
    found: dict[int, int] = {}
    tests: tuple[Callable[[Record, Record], bool], ...] = (
        same,
        lambda a, b: bool(a.get("id")) and a.get("id") == b.get("id"),
        lambda a, b: a.get("kind") == b.get("kind") and same(a.get("serves"), b.get("serves")),
    )
    for test in tests:
        for n, record in enumerate(new):
            if n in found:
                continue
            match = next((m for m, was in left.items() if test(was, record)), None)
            if match is not None:
                found[n] = match
                del left[match]
    return found


def region(text: str, newline: str) -> tuple[int, int]:
    """From the key of the points to the last line that belongs to them, blanks to fill in among them."""
    found = next(((key, value) for key, value in top_level(text) if key.value == "points"), None)
    if not found:
        return len(text), len(text)
    end = line_end(text, value_end(found[1], text, found[0])) + len(newline)
    while end < len(text) and _REMARK.match(text, end):
        end = line_end(text, end) + len(newline)
    return line_start(text, found[0].start_mark.index), min(end, len(text))


def point_edits(
    merging: Merging, node: yaml.Node, sides: tuple[Sequence[Record], Sequence[Record]], vehicles: Vehicles
) -> Iterator[Edit]:
    """Edits that turn the old points into the new ones, and blank lines to be filled in."""
    old, new = sides
    nodes = list(node.value) if isinstance(node, yaml.SequenceNode) else []
    paired = pairs(old, new)
    for n, m in paired.items():
        if not same(old[m], new[n]):
            yield from merging.record(nodes[m], old[m], new[n])
    kept = set(paired.values())
    for m, gone in enumerate(nodes):
        if m not in kept:
            yield Edit(line_start(merging.text, gone.start_mark.index), merging.end_of(gone), "")
    lines = [_line_of(merging, nodes[m], old[m]) for m in sorted(kept)]
    added = [record for n, record in enumerate(new) if n not in paired]
    yield from _Places(merging, lines, vehicles).edits(added)


def _line_of(merging: Merging, node: yaml.Node, record: Record) -> _Line:
    start = line_start(merging.text, node.start_mark.index)
    return _Line(start, merging.end_of(node), _wanted(record))


class _Places:
    """Where lines are put in: over their blank line, else beside others of their system."""

    def __init__(self, merging: Merging, lines: list[_Line], vehicles: Vehicles) -> None:
        self.merging, self.lines, self.vehicles = merging, lines, vehicles
        start, self.end = region(merging.text, merging.newline)
        self.block = merging.text[start : self.end]
        self.blanks = [
            _Line(start + found.start(), start + found.end(), _blank_wanted(found))
            for found in _BLANK.finditer(self.block)
        ]
        text = merging.text
        self.indent = min((text.index("-", line.start) - line.start for line in lines), default=2)

    def edits(self, added: Sequence[Record]) -> Iterator[Edit]:
        """Lines for the added points; blank lines as fewer or more are to be located."""
        fresh: list[tuple[str, str]] = []
        for record in added:
            line = point_line(record, self.indent)
            taken = next((b for b in self.blanks if _fits(b.wanted, _wanted(record))), None)
            if taken is None:
                fresh.append((str(record.get("kind")), line))
                continue
            self.blanks.remove(taken)
            yield Edit(taken.start, taken.end, line + self.merging.newline)
        before, after = (blank_counts(v) for v in (self.vehicles.before, self.vehicles.after))
        for wanted in [*dict.fromkeys(b.wanted for b in self.blanks)]:
            if before[wanted] != after[wanted]:
                yield from self._trimmed(wanted, after[wanted])
        yield from self._put_in(fresh + list(self._missing(before, after)))

    def _trimmed(self, wanted: Wanted, most: int) -> Iterator[Edit]:
        there = [b for b in self.blanks if b.wanted == wanted]
        for line in there[most:]:
            self.blanks.remove(line)
            yield Edit(line.start, line.end, "")

    def _missing(self, before: Counter[Wanted], after: Counter[Wanted]) -> Iterator[tuple[str, str]]:
        vehicle, trade = self.vehicles.after, self.vehicles.trade
        there = Counter(b.wanted for b in self.blanks)
        for point in vehicle.to_locate:
            wanted = Wanted(point.kind, point.serves)
            for _ in range(after[wanted] - max(before[wanted], there[wanted])):
                yield point.kind, blank_line(point, vehicle.layout, trade)

    def _put_in(self, fresh: list[tuple[str, str]]) -> Iterator[Edit]:
        trade = self.vehicles.trade
        by_system: dict[str, list[str]] = {}
        for kind, line in fresh:
            by_system.setdefault(system_name(kind, trade), []).append(line)
        headed = any(f"\n  # {name}" in self.block for name in _system_names(trade))
        for system, lines in by_system.items():
            at = self._anchor(system)
            heading = [f"  # {system}"] if at is None and headed else []
            yield self.merging.lines([*heading, *lines], self.end if at is None else at)

    def _anchor(self, system: str) -> int | None:
        trade = self.vehicles.trade
        own = [line for line in self.lines if system_name(line.wanted.kind, trade) == system]
        if own:
            return max(line.end for line in own)
        blanks = [line for line in self.blanks if system_name(line.wanted.kind, trade) == system]
        return min((line.start for line in blanks), default=None)


def blank_counts(vehicle: Vehicle) -> Counter[Wanted]:
    """How many blank lines each point deserves that is to be located."""
    placed = Counter(point.kind for point in vehicle.points)
    counts = {
        Wanted(kind): max(0, count - placed[kind]) for kind, count in how_many(vehicle.equipment).items()
    }
    for point in vehicle.to_locate:
        counts.setdefault(Wanted(point.kind, point.serves), 1)
    return Counter(counts)


def _blank_wanted(found: re.Match[str]) -> Wanted:
    return Wanted(found[1], tuple(re.findall(r"[\w-]+", found[2] or "")))


def _fits(blank: Wanted, point: Wanted) -> bool:
    return blank.kind == point.kind and (blank.serves == point.serves or not point.serves)


def _wanted(record: Record) -> Wanted:
    serves = record.get("serves") or ()
    return Wanted(str(record.get("kind")), (serves,) if isinstance(serves, str) else tuple(serves))


def _system_names(trade: Trade) -> Iterator[str]:
    return (system.name[:1].upper() + system.name[1:] for system in trade.systems.values())
