"""New data into the text of a description: what is the same stays as it was written, remarks too."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import yaml

from guidegen.desk.cells import plain
from guidegen.desk.edits import Edit, line_end, line_start, newline_of, value_end
from guidegen.desk.yaml_text import entry, flow, item, word

_DECIMAL_COMMA = re.compile(r"(?<![\d.,])([-+]?\d+),(\d+)(?=\s*[^\d\s.,]+$)")


def canonical(value: Any) -> Any:
    """The value without what is mere spelling: blanks, a decimal comma, one word or a list of one."""
    if isinstance(value, Mapping):
        return {key: canonical(part) for key, part in value.items() if part is not None}
    if isinstance(value, (list, tuple)):
        if len(value) == 1 and not isinstance(value[0], (Mapping, list)):
            return canonical(value[0])
        return [canonical(part) for part in value]
    if value is None:
        return None
    return _DECIMAL_COMMA.sub(r"\1.\2", " ".join(plain(value).split()))


def same(a: Any, b: Any) -> bool:
    """Whether a reader of the file would take both for the same."""
    return bool(canonical(a) == canonical(b))


def blank(value: Any) -> bool:
    """Whether nothing is said: no value, or a block of nothing but blanks."""
    return value is None or (isinstance(value, Mapping) and bool(value) and not canonical(value))


class Merging:
    """Edits that make the blocks of a text say something else."""

    def __init__(self, text: str) -> None:
        self.text, self.newline = text, newline_of(text)

    def mapping(
        self, node: yaml.MappingNode, old: Mapping[str, Any], new: Mapping[str, Any]
    ) -> Iterator[Edit]:
        """Edits that turn a block from the old to the new data; at least one key must stay."""
        lost = {key for key in old if new.get(key) is None and not blank(old[key])}
        if node.flow_style and lost:
            yield Edit(node.start_mark.index, node.end_mark.index, flow(in_order_of(old, new)))
            return
        for number, (key, value) in enumerate(node.value):
            if key.value in lost:
                yield self.without(node, number)
            elif new.get(key.value) is not None and not same(old[key.value], new[key.value]):
                yield from self.value(node, key, value, old[key.value], new[key.value])
        fresh = {key: value for key, value in new.items() if key not in old and value is not None}
        yield from self._added(node, new, fresh)

    def value(
        self, parent: yaml.MappingNode, key: yaml.Node, node: yaml.Node, old: Any, new: Any
    ) -> Iterator[Edit]:
        """Edits that give a key another value."""
        if isinstance(node, yaml.MappingNode) and isinstance(new, Mapping) and _stays(old, new):
            yield from self.mapping(node, old, new)
        elif (
            isinstance(node, yaml.SequenceNode)
            and isinstance(new, Sequence)
            and not node.flow_style
            and len(new) >= len(old)
            and all(isinstance(part, Mapping) for part in (*old, *new))
        ):
            yield from self._records(node, old, new)
        else:
            yield self._replaced(parent, key, node, new)

    def without(self, parent: yaml.MappingNode, number: int) -> Edit:
        """Takes a key with its value out of a block."""
        key, value = parent.value[number]
        start = key.start_mark.index
        line = line_start(self.text, start)
        if self.text[line:start].strip():  # a dash before it
            return Edit(start, parent.value[number + 1][0].start_mark.index, "")
        return Edit(line, self.end_of(value, key), "")

    def end_of(self, value: yaml.Node, key: yaml.Node | None = None) -> int:
        """Just after the last line of a value, remarks behind it left alone."""
        end = line_end(self.text, value_end(value, self.text, key)) + len(self.newline)
        return min(end, len(self.text))

    def lines(self, lines: Iterable[str], at: int) -> Edit:
        """Whole lines put in at the start of a line, or at the end of the text."""
        lead = self.newline if at == len(self.text) and not self.text.endswith("\n") else ""
        return Edit(at, at, lead + "".join(line + self.newline for line in lines))

    def _replaced(self, parent: yaml.MappingNode, key: yaml.Node, node: yaml.Node, new: Any) -> Edit:
        scalar = isinstance(node, yaml.ScalarNode) and not isinstance(new, (Mapping, list, tuple))
        shown = word(new) if isinstance(new, str) and not parent.flow_style else flow(new)
        colon = self.text.index(":", key.end_mark.index) + 1
        if (scalar or parent.flow_style) and node.start_mark.index == node.end_mark.index:
            rest = self.text[colon:]
            spaces = len(rest) - len(rest.lstrip(" ")) if parent.flow_style else 0
            return Edit(colon, colon + spaces, f" {shown}")
        end = value_end(node, self.text, key)
        if scalar or parent.flow_style or (node.start_mark.line == key.start_mark.line and _short(new)):
            return Edit(node.start_mark.index, end, shown)
        written = self.newline.join(entry(str(key.value), new, key.start_mark.column))
        return Edit(key.start_mark.index, end, written.lstrip())

    def _records(self, node: yaml.SequenceNode, old: Sequence[Any], new: Sequence[Any]) -> Iterator[Edit]:
        """Records in their order, more of them at the end."""
        for part, was, now in zip(node.value, old, new, strict=False):
            if not same(was, now):
                yield from self.record(part, was, now)
        indent = self.dash_column(node.value[0])
        lines = [line for record in new[len(old) :] for line in item(record, indent)]
        if lines:
            yield self.lines(lines, self.end_of(node.value[-1]))

    def record(self, node: yaml.Node, old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[Edit]:
        """Edits that turn one record of a list into another."""
        if isinstance(node, yaml.MappingNode) and _stays(old, new):
            yield from self.mapping(node, old, new)
        else:
            yield Edit(node.start_mark.index, value_end(node, self.text), flow(new))

    def dash_column(self, node: yaml.Node) -> int:
        """Where the dash of a list's record stands in its line."""
        line = line_start(self.text, node.start_mark.index)
        return self.text.index("-", line) - line

    def _added(
        self, node: yaml.MappingNode, new: Mapping[str, Any], fresh: Mapping[str, Any]
    ) -> Iterator[Edit]:
        """The keys that are new, each behind the one that it follows in the new data."""
        if node.flow_style:
            words = "".join(f", {flow(key)}: {flow(value)}" for key, value in fresh.items())
            if words:
                last = value_end(node.value[-1][1], self.text, node.value[-1][0])
                yield Edit(last, last, words)
            return
        indent = node.value[0][0].start_mark.column
        for key, value in fresh.items():
            yield self.lines(entry(key, value, indent), self._behind(node, list(new), key))

    def _behind(self, node: yaml.MappingNode, order: list[str], key: str) -> int:
        before = order[: order.index(key)]
        for known, value in reversed(node.value):
            if known.value in before:
                return self.end_of(value, known)
        last_key, last = node.value[-1]
        return self.end_of(last, last_key)


def _stays(old: Any, new: Any) -> bool:
    """Whether a block keeps a key, so that there is something to hold on to."""
    return isinstance(old, Mapping) and any(new.get(key) is not None or blank(old[key]) for key in old)


def _short(value: Any) -> bool:
    return len(flow(value)) < 80


def in_order_of(old: Mapping[str, Any], new: Mapping[str, Any]) -> dict[str, Any]:
    """The new data with the keys of the old in their order."""
    known = {key: new[key] for key in old if new.get(key) is not None}
    return {**known, **{key: value for key, value in new.items() if value is not None}}
