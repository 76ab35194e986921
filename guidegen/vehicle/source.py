"""Reads a YAML file into plain data, with the line and column of every key and value.

Plainer than YAML on purpose: keys are words (so `on:` stays "on"), dates stay text, only true,
false, yes and no are truth values, and anchors are refused, so no file can grow when it is read.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, Self, TypeAlias

from msgspec import Struct

from guidegen.errors import DescriptionError, Finding, Mark
from guidegen.vehicle.yaml_library import yaml

KeyPath: TypeAlias = tuple[str | int, ...]

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_INTEGER = re.compile(r"[-+]?(0|[1-9]\d{0,15})")
_DECIMAL = re.compile(r"[-+]?\d+\.\d+")
_LOST = re.compile(r"\s*:\s+(#[^\s#].*?)\s*$")
_TRUTH = {"true": True, "false": False, "yes": True, "no": False}
_NOTHING = {"", "~", "null"}


class Source(Struct, frozen=True):
    """The data of one file, and where each part of it stands."""

    file: str
    data: dict[str, Any]
    keys: dict[KeyPath, Mark]
    values: dict[KeyPath, Mark]
    text: str = ""

    def mark(self, path: KeyPath, *, key: bool = False) -> Mark:
        """Where a value (or its key) stands; for a missing one, the block that should hold it."""
        first, second = (self.keys, self.values) if key else (self.values, self.keys)
        while path:
            if path in first:
                return first[path]
            if path in second:
                return second[path]
            first, second = self.keys, self.values
            path = path[:-1]
        return Mark(self.file, 1, 1)


def unreadable(
    file: str, rule: str, message: str, hint: str = "", line: int = 0, column: int = 0
) -> DescriptionError:
    """An error that stops reading at once."""
    return DescriptionError((Finding("error", rule, message, hint, Mark(file, line, column)),))


def read_source(path: Path) -> Source:
    """The file's data and marks.

    Raises DescriptionError for a file that is missing, too large, not UTF-8, not YAML or not a map.
    """
    file = str(path)
    try:
        with path.open("rb") as stream:
            raw = stream.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise unreadable(
            file, "file-missing", "there is no such file", "check the name and the folder"
        ) from None
    except IsADirectoryError:
        raise unreadable(file, "file-folder", "this is a folder", "name the .yaml file in it") from None
    except OSError as error:
        hint = "close the program that has it open, or ask who may read it"
        raise unreadable(file, "file-unreadable", f"cannot be read: {error.strerror}", hint) from None
    if len(raw) > MAX_BYTES:
        raise unreadable(
            file, "file-large", f"is larger than {MAX_BYTES // 1000} kB", "is it a vehicle description?"
        )
    return parse_source(raw, file)


def parse_source(raw: bytes, file: str) -> Source:
    """As read_source, from bytes; `file` is the name said in messages."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        column = len(before.rpartition(b"\n")[2].decode("utf-8", "replace")) + 1
        raise unreadable(
            file,
            "file-encoding",
            "is not UTF-8 text",
            "save the file as UTF-8 in your editor",
            before.count(b"\n") + 1,
            column,
        ) from None
    try:
        builder = _Builder(file, text)
        data = builder.document()
    except yaml.YAMLError as error:
        raise _explained(error, text, file) from None
    return Source(file, data, builder.keys, builder.values, text)


def _explained(error: yaml.YAMLError, text: str, file: str) -> DescriptionError:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line, column = (mark.line, mark.column) if mark else _place_of(getattr(error, "character", 0), text)
    lines = text.splitlines()
    here = lines[line] if line < len(lines) else ""
    problem = getattr(error, "problem", None) or getattr(error, "reason", None) or "is not YAML"
    hint = "look at this line and the one above it: a missing colon, quote or bracket?"
    for number in (line, line - 1):
        if (
            0 <= number < len(lines)
            and "\t" in lines[number][: len(lines[number]) - len(lines[number].lstrip())]
        ):
            line, column = number, lines[number].index("\t")
            problem, hint = "a tab is used to indent", "indent with spaces: two for each level"
            return unreadable(file, "yaml-tab", problem, hint, line + 1, column + 1)
    if "mapping values are not allowed" in problem:
        problem, hint = "a second colon stands in this line", "put a text that holds “: ” in quotes"
    elif "could not find expected ':'" in problem:
        problem, hint = "a colon is missing", "every entry is “key: value”; see this line and the one above"
    elif "expected '-' indicator" in problem:
        problem = "this line does not stand under the dashes of the list above it"
        hint = "begin every entry of a list at one column: two spaces, then “- ”"
    elif "expected ',' or" in problem:
        problem = f"a comma or {problem[-2]} is missing"
        hint = "inside {…} and […] a comma parts one entry from the next"
    elif "special characters are not allowed" in problem or "control characters" in problem:
        problem, hint = "holds a control character", "delete the invisible character"
    elif "did not find expected" in problem and not here.strip():
        hint = "the indentation before this line does not fit"
    return unreadable(file, "yaml", f"is not valid YAML: {problem}", hint, line + 1, column + 1)


def _place_of(character: int | str, text: str) -> tuple[int, int]:
    """Line and column, from 0, of the character that the reader refused."""
    before = text.partition(character if isinstance(character, str) else chr(character))[0]
    return (before.count("\n"), len(before.rpartition("\n")[2])) if before != text else (0, 0)


class _Builder:
    """Turns the parser's events into plain data and notes the marks, in one pass."""

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.lines = text.splitlines()
        self.loader = _LOADER(text)
        self.keys: dict[KeyPath, Mark] = {}
        self.values: dict[KeyPath, Mark] = {}

    def document(self) -> dict[str, Any]:
        try:
            self._next()  # the stream's start
            if isinstance(self.loader.peek_event(), yaml.StreamEndEvent):
                hint = "start with: guidegen new NAME --layout LAYOUT"
                raise unreadable(self.file, "file-empty", "is empty", hint, 1, 1)
            self._next()  # the document's start
            first = self._next()
            if not isinstance(first, yaml.MappingStartEvent):
                mark = self._at(first)
                message = "is empty" if not getattr(first, "value", "-") else "does not start with a key"
                hint = "the first lines should be like “id: my-vehicle” and “name: My vehicle”"
                raise unreadable(self.file, "file-not-a-map", message, hint, mark.line, mark.column)
            data = self._map((), 0)
            self._next()  # the document's end
            if not isinstance(self.loader.peek_event(), yaml.StreamEndEvent):
                mark = self._at(self.loader.peek_event())
                hint = "one file describes one vehicle: delete the line “---”"
                raise unreadable(
                    self.file, "file-two", "holds a second document", hint, mark.line, mark.column
                )
            return data
        finally:
            self.loader.dispose()

    def _next(self) -> Any:
        event = self.loader.get_event()
        if isinstance(event, yaml.AliasEvent) or (isinstance(event, yaml.NodeEvent) and event.anchor):
            mark = self._at(event)
            message = "anchors (&) and aliases (*) are not used in a vehicle description"
            hint = "write the text out; put a text that starts with & or * in quotes"
            raise unreadable(self.file, "file-anchor", message, hint, mark.line, mark.column)
        return event

    def _refuse_lost(self, key: str, event: Any) -> None:
        """A value that begins with # is lost: YAML takes it for a remark."""
        line = "".join(self.lines[event.end_mark.line :][:1])
        lost = _LOST.match(line, event.end_mark.column)
        if lost:
            mark = Mark(self.file, event.end_mark.line + 1, lost.start(1) + 1)
            hint = f'put it in quotes: {key}: "{lost[1]}"; or, if it is a remark, put a space after #'
            message = f"“{key}” is empty, as {lost[1]} counts as a remark"
            raise unreadable(self.file, "value-lost", message, hint, mark.line, mark.column)

    def _at(self, event: Any) -> Mark:
        return Mark(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _value(self, event: Any, path: KeyPath, depth: int) -> Any:
        self.values[path] = mark = self._at(event)
        if depth > MAX_DEPTH:
            raise unreadable(self.file, "file-depth", "is nested too deeply", "", mark.line, mark.column)
        if isinstance(event, yaml.MappingStartEvent):
            return self._map(path, depth)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(path, depth)
        return scalar(event.value, plain=not event.style)

    def _list(self, path: KeyPath, depth: int) -> list[Any]:
        found: list[Any] = []
        while not isinstance(event := self._next(), yaml.SequenceEndEvent):
            found.append(self._value(event, (*path, len(found)), depth + 1))
        return found

    def _map(self, path: KeyPath, depth: int) -> dict[str, Any]:
        found: dict[str, Any] = {}
        while not isinstance(event := self._next(), yaml.MappingEndEvent):
            mark = self._at(event)
            if not isinstance(event, yaml.ScalarEvent):
                raise unreadable(self.file, "yaml-key", "a key must be a word", "", mark.line, mark.column)
            key = str(event.value)
            if key in found:
                message = f"“{key}” stands twice in this block (first in line {self.keys[(*path, key)].line})"
                raise unreadable(self.file, "key-twice", message, "keep one of them", mark.line, mark.column)
            self.keys[(*path, key)] = mark
            value = self._next()
            if isinstance(value, yaml.ScalarEvent) and not value.value:
                self._refuse_lost(key, event)
            found[key] = self._value(value, (*path, key), depth + 1)
        return found


def scalar(text: str, *, plain: bool = True) -> Any:
    """The value of a scalar; a quoted one is always text."""
    if not plain:
        return text
    if text.lower() in _NOTHING:
        return None
    if text.lower() in _TRUTH:
        return _TRUTH[text.lower()]
    if _INTEGER.fullmatch(text):
        return int(text) if str(int(text)) == text else _Integer(text)
    if _DECIMAL.fullmatch(text):
        return float(text) if str(float(text)) == text else _Decimal(text)
    return text


class _AsWritten:
    """A number that says how it was written, as a telephone number must stay: "+44", "000.555"."""

    text: str

    def __new__(cls, text: str) -> Self:
        self = super().__new__(cls, text)  # type: ignore[call-arg]  # of the number that it is beside
        self.text = text
        return self

    def __str__(self) -> str:
        return self.text


class _Integer(_AsWritten, int):
    pass


class _Decimal(_AsWritten, float):
    pass
