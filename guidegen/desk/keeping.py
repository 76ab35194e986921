"""A description that exists, made to say what a workbook or CSV file says; its own text is kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any

import yaml
from msgspec import Struct
from msgspec.structs import replace
from pydantic import ValidationError

from guidegen.checks.unchecked import MARK, marked_lines
from guidegen.desk.description_text import ORDER, block_lines, group_of
from guidegen.desk.edits import Edit, decoded, edited, top_level
from guidegen.desk.merging import Merging, blank, same
from guidegen.desk.merging_points import Vehicles, pairs, point_edits, region
from guidegen.desk.template import TO_CHECK
from guidegen.errors import GuidegenError
from guidegen.vehicle.description import Description
from guidegen.vehicle.source import KeyPath, Source, parse_source

_REMARK = re.compile(rf"[ \t]*{MARK}[ \t]*(?=\r?$)")


class Said(Struct, frozen=True):
    """What is to be said: the data, which of it is marked "to check", and what could have been marked."""

    data: Mapping[str, Any]
    to_check: Collection[KeyPath] = ()
    markable: Collection[KeyPath] = ()


def kept(raw: bytes, said: Said, vehicles: Vehicles) -> bytes | None:
    """The file with what is new put into it; None when it is written in a way that this cannot be done to.

    Remarks, order and spelling of all that stays are kept. A value that is new loses its mark "to check".
    """
    lead, text = decoded(raw)
    try:
        before = parse_source(raw, "")
        merged = edited(text, _edits(text, before.data, said.data, vehicles))
        after = parse_source(merged.encode(), "")
        if not _agree(after.data, said.data):
            return None
        marked = _marked(after, before, said)
        return lead + marked.encode() if parse_source(marked.encode(), "").data == after.data else None
    except (GuidegenError, ValidationError, ValueError, yaml.YAMLError):
        return None


def _agree(a: Mapping[str, Any], b: Mapping[str, Any]) -> bool:
    """Whether the schema reads both as the same; points may stand in another order."""
    one, two = (Description.read(dict(data)) for data in (a, b))
    return replace(one, points=()) == replace(two, points=()) and sorted(map(repr, one.points)) == sorted(
        map(repr, two.points)
    )


def _edits(text: str, old: Mapping[str, Any], new: Mapping[str, Any], vehicles: Vehicles) -> Iterator[Edit]:
    merging, nodes = Merging(text), top_level(text)
    root = yaml.MappingNode("tag:yaml.org,2002:map", list(nodes))
    for number, (key, node) in enumerate(nodes):
        name = str(key.value)
        was, now = old[name], new.get(name)
        if name == "points":
            continue
        if now is None and not blank(was):
            yield merging.without(root, number)
        elif now is not None and not same(was, now):
            yield from merging.value(root, key, node, was, now)
    if "points" in old:
        node = next(node for key, node in nodes if key.value == "points")
        yield from _points(merging, node, old["points"] or [], new.get("points") or [], vehicles)
    for name in ORDER:
        if name not in old and name != "guidegen" and not blank(new.get(name)):
            yield _added(merging, nodes, name, new, vehicles)


def _points(
    merging: Merging, node: yaml.Node, old: list[Any], new: list[Any], vehicles: Vehicles
) -> Iterator[Edit]:
    if isinstance(node, yaml.SequenceNode) and node.flow_style and not same(old, new):
        start, end = region(merging.text, merging.newline)
        block = block_lines("points", {"points": new}, vehicles.after, vehicles.trade)
        yield Edit(start, end, "".join(line + merging.newline for line in block))
        return
    yield from point_edits(merging, node, (old, new), vehicles)


def _added(
    merging: Merging,
    nodes: tuple[tuple[yaml.ScalarNode, yaml.Node], ...],
    name: str,
    new: Mapping[str, Any],
    vehicles: Vehicles,
) -> Edit:
    """A block that is new: over its pattern in remarks, else behind what comes before it."""
    lines = list(block_lines(name, new, vehicles.after, vehicles.trade))
    pattern = re.search(rf"(?m)^# {name}:.*\n(?:#  .*(?:\n|\Z))*", merging.text)
    if pattern:
        return Edit(pattern.start(), pattern.end(), "".join(line + merging.newline for line in lines))
    before = ORDER[: ORDER.index(name)]
    for key, value in reversed(nodes):
        if key.value in before:
            end = merging.end_of(value, key)
            at = region(merging.text, merging.newline)[1] if key.value == "points" else end
            apart = [""] if group_of(name) != group_of(str(key.value)) else []
            return merging.lines([*apart, *lines], at)
    return merging.lines(lines, len(merging.text))


def _marked(after: Source, before: Source, said: Said) -> str:
    """The text with its lines marked as the cells are."""
    place = _places(after.data, said.data)
    wanted = {place(path) for path in said.to_check if _unchanged(path, before.data, said.data)}
    markable = {place(path) for path in said.markable}
    lines = after.text.split("\n")
    told = _paths_by_line(after)
    covered: set[KeyPath] = set()
    for number in marked_lines(after.text):
        own = told.get(number, ())
        here = {path for path in wanted if any(_related(path, one) for one in own)}
        covered |= here
        if not here and any(_related(path, one) for path in markable for one in own):
            lines[number - 1] = _REMARK.sub("", lines[number - 1])
    for number in {after.values[path].line for path in wanted - covered if path in after.values}:
        lines[number - 1] = re.sub(r"(?=\r?$)", TO_CHECK, lines[number - 1], count=1)
    return "\n".join(lines)


def _places(written: Mapping[str, Any], said: Mapping[str, Any]) -> Callable[[KeyPath], KeyPath]:
    """Paths of the cells as paths of the file, whose points may stand in another order."""
    moved = pairs(written.get("points") or [], said.get("points") or [])

    def place(path: KeyPath) -> KeyPath:
        return ("points", moved[int(path[1])], *path[2:]) if path[:1] == ("points",) else path

    return place


def _unchanged(path: KeyPath, old: Mapping[str, Any], new: Mapping[str, Any]) -> bool:
    """Whether what was marked is still what it was; who wrote another value has looked."""
    if path[:1] == ("points",):
        was, now = old.get("points") or [], new.get("points") or []
        found = pairs(was, now).get(int(path[1]))
        return found is None or same(was[found], now[int(path[1])])
    was = _at(old, path)
    return was is None or same(was, _at(new, path))


def _at(data: Mapping[str, Any], path: KeyPath) -> Any:
    found: Any = data
    for key in path:
        try:
            found = found[key]
        except (KeyError, IndexError, TypeError):
            return None
    return found


def _paths_by_line(source: Source) -> dict[int, list[KeyPath]]:
    """What begins on each line: keys and records of lists; the value of a block begins with its first key."""
    found: dict[int, list[KeyPath]] = {}
    records = {path: mark for path, mark in source.values.items() if path and isinstance(path[-1], int)}
    for path, mark in (source.keys | records).items():
        found.setdefault(mark.line, []).append(path)
    return found


def _related(a: KeyPath, b: KeyPath) -> bool:
    length = min(len(a), len(b))
    return a[:length] == b[:length]
