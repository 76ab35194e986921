"""Plain data as YAML that vehicle.source reads back as the same data, laid out as people write it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import yaml

from guidegen.vehicle.source import scalar

_WIDTH = 110
_STR = "tag:yaml.org,2002:str"


class _Dumper(yaml.SafeDumper):
    """Everything is a plain word unless the description's reader would take it for something else."""

    yaml_implicit_resolvers: dict[str, Any] = {}

    def ignore_aliases(self, data: Any) -> bool:
        return True

    def choose_scalar_style(self) -> str:
        style: str = super().choose_scalar_style()
        return '"' if style == "'" else style


def _text(dumper: _Dumper, value: str) -> yaml.Node:
    quoted = "\n" in value or scalar(value) != value
    return dumper.represent_scalar(_STR, value, style='"' if quoted else None)


def _plain(dumper: _Dumper, value: Any) -> yaml.Node:
    words = {True: "yes", False: "no", None: "null"}
    return dumper.represent_scalar(_STR, words[value])


def _number(dumper: _Dumper, value: float) -> yaml.Node:
    text = format(value, "f") if "e" in repr(value) else repr(value)
    return dumper.represent_scalar(_STR, text)


_Dumper.add_representer(str, _text)
_Dumper.add_representer(bool, _plain)
_Dumper.add_representer(type(None), _plain)
_Dumper.add_representer(int, _number)
_Dumper.add_representer(float, _number)
_Dumper.add_representer(tuple, lambda d, v: d.represent_list(v))


def flow(value: Any) -> str:
    """The value on one line: a word, "[a, b]" or "{key: value}"; nothing for None."""
    if value is None:
        return ""
    wrapped = yaml.dump(
        [value], Dumper=_Dumper, default_flow_style=True, width=math.inf, allow_unicode=True, sort_keys=False
    )
    return str(wrapped).strip()[1:-1]


def word(value: str) -> str:
    """A text as it stands behind "key: " in a block, where commas and brackets need no quotes."""
    written = yaml.dump(
        {"k": value}, Dumper=_Dumper, default_flow_style=False, width=math.inf, allow_unicode=True
    )
    return str(written).removeprefix("k:").strip(" \n")


def entry(key: str, value: Any, indent: int = 0) -> Iterator[str]:
    """The lines of "key: value": on one line where it fits, else as a block."""
    lead = " " * indent
    head = f"{lead}{flow(key)}:"
    line = f"{head} {word(value) if isinstance(value, str) else flow(value)}".rstrip(" ")
    if len(line) <= _WIDTH or not value or not isinstance(value, (Mapping, list, tuple)):
        yield line
        return
    yield head
    if isinstance(value, Mapping):
        for name, part in value.items():
            yield from entry(str(name), part, indent + 2)
    else:
        for part in value:
            yield from item(part, indent + 2)


def item(value: Any, indent: int) -> Iterator[str]:
    """One item of a list: on one line where it fits."""
    line = f"{' ' * indent}- {flow(value)}"
    if len(line) <= _WIDTH or not value or not isinstance(value, Mapping):
        yield line
        return
    lines = [line for name, part in value.items() for line in entry(str(name), part, indent + 2)]
    yield f"{' ' * indent}- {lines[0].lstrip()}"
    yield from lines[1:]
