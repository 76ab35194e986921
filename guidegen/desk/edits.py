"""Small changes to the text of a description: everything else in the file stays as it was written."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import yaml
from msgspec import Struct

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
BOM = b"\xef\xbb\xbf"


class Edit(Struct, frozen=True):
    """New text for the characters from start up to end."""

    start: int
    end: int
    text: str


def edited(text: str, edits: Iterable[Edit]) -> str:
    """The text with all edits made; they must not overlap."""
    parts, at = [], 0
    for edit in sorted(edits, key=lambda e: (e.start, e.end)):
        parts += [text[at : edit.start], edit.text]
        at = edit.end
    return "".join([*parts, text[at:]])


def decoded(raw: bytes) -> tuple[bytes, str]:
    """The byte order mark, if there is one, and the text."""
    lead = BOM if raw.startswith(BOM) else b""
    return lead, raw[len(lead) :].decode("utf-8")


def newline_of(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def top_level(text: str) -> tuple[tuple[yaml.ScalarNode, yaml.Node], ...]:
    """Keys and values of the file with their marks; the text must be a readable description."""
    root = yaml.compose(text, Loader=_LOADER)
    assert isinstance(root, yaml.MappingNode)
    return tuple(root.value)


def point_nodes(text: str) -> tuple[yaml.MappingNode, ...]:
    """The entries of the points in the order of the file."""
    points = next((value for key, value in top_level(text) if key.value == "points"), None)
    return tuple(points.value) if isinstance(points, yaml.SequenceNode) else ()


def line_start(text: str, index: int) -> int:
    """Where the line begins that holds this character."""
    return text.rfind("\n", 0, index) + 1


def line_end(text: str, index: int) -> int:
    """Where the line ends that holds this character, before its line break."""
    end = text.find("\n", index)
    end = len(text) if end < 0 else end
    return end - 1 if end > index and text[end - 1] == "\r" else end


def value_end(node: yaml.Node, text: str, key: yaml.Node | None = None) -> int:
    """Where the last written character of a value stands; the end mark of a block lies too far on.

    key: what a blank value stands behind.
    """
    while isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        key, node = last if isinstance(last, tuple) else (None, last)
    if key is not None and isinstance(node, yaml.ScalarNode) and not node.value and not node.style:
        return text.index(":", key.end_mark.index) + 1
    return len(text[: node.end_mark.index].rstrip())
