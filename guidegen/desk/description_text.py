"""A whole description as text, from its plain data: the blocks in their order, points by system."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from guidegen.desk.point_lines import blank_lines, placed_lines
from guidegen.desk.template import SCHEMA_FILE, TO_CHECK
from guidegen.desk.yaml_text import entry
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.source import KeyPath

_FIRST = (
    "guidegen", "id", "name", "kind", "steering", "rule_of_the_road", "stock_number", "owner", "printed",
    "web", "photo",
)  # fmt: skip
_GROUPS: tuple[tuple[str, ...], ...] = (
    _FIRST,
    ("dealer",),
    ("layout", "layout_changes", "sizes", "masses", "persons", "water_per_person_day",
     "lead_length", "lead_section"),
    ("equipment",),
    ("points",),
    ("extra_steps",),
    ("orders",),
    ("checks",),
)  # fmt: skip
ORDER = tuple(key for group in _GROUPS for key in group)


def group_of(key: str) -> int:
    """Which of the groups, set apart by blank lines, a key stands in."""
    return next((n for n, group in enumerate(_GROUPS) if key in group), len(_GROUPS))


def description_text(
    data: Mapping[str, Any], vehicle: Vehicle, trade: Trade, to_check: Collection[KeyPath] = ()
) -> str:
    """The file's text; points to be located stand in it as remarks to be filled in.

    to_check: paths of values whose lines are marked.
    """
    marked = {path[:n] for path in to_check for n in (1, 2)}
    lines = [f"# yaml-language-server: $schema={SCHEMA_FILE}"]
    others = tuple(key for key in data if key not in ORDER)
    for group in (*_GROUPS, others):
        part = [line for key in group for line in block_lines(key, data, vehicle, trade, marked)]
        if part and group is not _FIRST:
            lines.append("")
        lines += part
    return "\n".join(lines) + "\n"


def block_lines(
    key: str, data: Mapping[str, Any], vehicle: Vehicle, trade: Trade, marked: Collection[KeyPath] = ()
) -> Iterator[str]:
    """The lines of one top-level key."""
    value = data.get(key)
    if key == "points":
        points = frozenset(path[1] for path in marked if path[:1] == ("points",) and len(path) > 1)
        yield from points_block(value or [], vehicle, trade, points)
    elif key == "checks" and isinstance(value, Mapping):
        yield "checks:"
        for name, check in value.items():
            yield f"  {name}:"
            for word, said in check.items():
                yield from entry(word, said, 4)
    elif key in ("equipment", "dealer") and value:
        yield f"{key}:"
        for name, block in value.items():
            yield from _marked(entry(name, block, 2), (key, name) in marked)
    elif value is not None:
        yield from _marked(entry(key, value), (key,) in marked)


def _marked(lines: Iterator[str], marked: bool) -> Iterator[str]:
    return (line + TO_CHECK for line in lines) if marked else lines


def points_block(
    points: list[Mapping[str, Any]], vehicle: Vehicle, trade: Trade, marked: Collection[int | str] = ()
) -> Iterator[str]:
    """The points, and blanks for those to be located."""
    if not points and not vehicle.to_locate:
        return
    yield "points:"
    yield from placed_lines(points, trade, marked)
    if vehicle.to_locate:
        yield "# To be located: when one is found, take the # at its start away and say its place."
        yield from blank_lines(vehicle.to_locate, vehicle.equipment, vehicle.layout, trade)
