"""A new description from that of a like vehicle: its identity cleared, its places kept to be checked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from guidegen.desk.edits import (
    Edit,
    decoded,
    edited,
    line_end,
    line_start,
    newline_of,
    point_nodes,
    top_level,
    value_end,
)
from guidegen.desk.freezing import CannotFreezeError
from guidegen.desk.template import TO_CHECK, id_of
from guidegen.desk.yaml_text import flow
from guidegen.vehicle.source import parse_source

_BLANK = ("stock_number", "owner", "printed")
_GONE = ("checks", "photo", "web")
_CHECK = "then: guidegen check"
_GONE_OF_POINTS = ("number", "photo", "photo_x", "photo_y", "web")


def like_text(path: Path, name: str) -> str:
    """The old file's text for a vehicle of that name; every place is marked "to check".

    Checks, photos, web addresses and pinned numbers are the old vehicle's and go.
    Raises as pipeline.sound when the old file is not sound.
    """
    from guidegen.pipeline import sound

    old = sound(path)
    _, text = decoded(path.read_bytes())
    changed = edited(text, (*_identity(text, name), *_points(text)))
    head = f"# Begun from {path.name} ({old.name}): look at every line marked “to check” on this vehicle."
    found = _with_head(changed, head).replace(f"{_CHECK} {path.name}", f"{_CHECK} {id_of(name)}.yaml", 1)
    if parse_source(found.encode(), path.name).data != _wanted(
        parse_source(text.encode(), path.name).data, name
    ):
        raise CannotFreezeError(f"{path}: is written in a way that cannot be taken over: start with --layout")
    return found


def _with_head(text: str, head: str) -> str:
    """The text with that remark in place of one of its kind; behind the line that editors look for."""
    newline = newline_of(text)
    lines = [line for line in text.split(newline) if not line.startswith("# Begun from ")]
    first = 1 if lines[0].startswith("# yaml-language-server:") else 0
    return newline.join([*lines[:first], head, *lines[first:]])


def _wanted(data: dict[str, Any], name: str) -> dict[str, Any]:
    changed = {**data, "id": id_of(name), "name": name, **{k: None for k in _BLANK if k in data}}
    if data.get("points"):
        changed["points"] = [
            {key: value for key, value in point.items() if key not in _GONE_OF_POINTS}
            for point in data["points"]
        ]
    return {key: value for key, value in changed.items() if key not in _GONE}


def _identity(text: str, name: str) -> Iterator[Edit]:
    nodes = top_level(text)
    new = {"id": id_of(name), "name": flow(name), **dict.fromkeys(_BLANK, "")}
    for n, (key, value) in enumerate(nodes):
        if key.value in new:
            start = text.index(":", key.end_mark.index) + 1
            yield Edit(start, value_end(value, text, key), f" {new[key.value]}".rstrip())
        elif key.value in _GONE:
            following = nodes[n + 1][0].start_mark.index if n + 1 < len(nodes) else len(text)
            yield Edit(line_start(text, key.start_mark.index), _block_end(text, value, key, following), "")


def _block_end(text: str, value: yaml.Node, key: yaml.Node, following: int) -> int:
    """Just after the last line of a top-level value, comments behind it left alone."""
    return min(line_end(text, value_end(value, text, key)) + len(newline_of(text)), following)


def _points(text: str) -> Iterator[Edit]:
    for node in point_nodes(text):
        yield from _without(node, text)
        end = int(node.end_mark.index) if node.flow_style else _kind_end(node, text)
        if text[end : line_end(text, end)].strip()[:1] in ("", "#"):
            yield Edit(end, end, TO_CHECK)


def _kind_end(node: yaml.MappingNode, text: str) -> int:
    return next(value_end(value, text) for key, value in node.value if key.value == "kind")


def _without(node: yaml.MappingNode, text: str) -> Iterator[Edit]:
    """Takes the keys that are the old vehicle's own out of an entry."""
    kept = [n for n, (key, _) in enumerate(node.value) if key.value not in _GONE_OF_POINTS]
    for n, (key, _) in enumerate(node.value[: kept[-1]]):
        if n not in kept:
            yield Edit(key.start_mark.index, node.value[n + 1][0].start_mark.index, "")
    if kept[-1] + 1 < len(node.value):
        last_kept, last = node.value[kept[-1]], node.value[-1]
        yield Edit(value_end(last_kept[1], text, last_kept[0]), value_end(last[1], text, last[0]), "")
