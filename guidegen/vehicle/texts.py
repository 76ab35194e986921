"""The texts of a description that are printed, and characters in them that no typeface can draw."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from guidegen.errors import Finding, Mark
from guidegen.vehicle.source import KeyPath, Source

_FILE_NAMES = {"photo", "logo"}
_PRINTED_KEYS = {"emergency", "readings"}  # blocks whose keys are texts of the writer's own
_NAMED = 5  # characters that one message names
_LINE_END = re.compile("\r\n|[\r\n\x85\u2028\u2029]")  # YAML 1.1, b-char


def unprintable(source: Source, undrawable: Callable[[str], str]) -> Iterator[Finding]:
    """An error for each text with characters that cannot be drawn, at the first of them.

    undrawable: gives the characters of a text that no typeface has; the rooms of paper know it.
    """
    for text, mark in _texts(source):
        characters = undrawable(re.sub(r"[\t\r\n]", " ", text))
        if characters:
            many = len(characters) > 1
            yield Finding(
                "error",
                "character-undrawable",
                f"{_named(characters)} cannot be printed: no typeface here has {'them' if many else 'it'}",
                "write it with Latin, Greek or Cyrillic letters and common signs",
                _place(source, mark, characters[0]),
            )


def place_of(source: Source, words: str) -> Mark | None:
    """Where the first printed text with these words begins; None when they are not the writer's."""
    wanted = words.strip(" .,:;").casefold()
    return next((mark for text, mark in _texts(source) if wanted and wanted in text.casefold()), None)


def place_of_file(source: Source, file: Path) -> Mark | None:
    """Where the description first names a picture; None when it does not."""
    folder = Path(source.file).parent
    named = ((path, mark) for path, mark in source.values.items() if path[-1:] and path[-1] in _FILE_NAMES)
    return next((mark for path, mark in named if folder / str(_value(source.data, path)) == file), None)


def _value(data: Any, path: KeyPath) -> Any:
    for key in path:
        data = data[key]
    return data


def _texts(source: Source) -> Iterator[tuple[str, Mark]]:
    """Every printed text, and where it begins."""

    def within(value: Any, path: KeyPath) -> Iterator[tuple[str, Mark]]:
        if isinstance(value, str):
            yield value, source.values[path]
        elif isinstance(value, list):
            for number, item in enumerate(value):
                yield from within(item, (*path, number))
        elif isinstance(value, dict):
            own_words = bool(path) and path[-1] in _PRINTED_KEYS
            for key, item in value.items():
                if own_words:
                    yield key, source.keys[(*path, key)]
                if key not in _FILE_NAMES:
                    yield from within(item, (*path, key))

    return within(source.data, ())


def _place(source: Source, mark: Mark, character: str) -> Mark:
    """The first place of the character from the mark on, before the next thing in the file begins.

    The mark itself where the character is not written as such, as an escape in quotes is not.
    """
    starts = [0, *(end.end() for end in _LINE_END.finditer(source.text))]

    def offset(m: Mark) -> int:
        return starts[m.line - 1] + m.column - 1

    marks = {(m.line, m.column) for known in (source.keys, source.values) for m in known.values()}
    following = sorted(place for place in marks if place > (mark.line, mark.column))
    end = offset(Mark("", *following[0])) if following else len(source.text)
    found = source.text.find(character, offset(mark), end)
    if found < 0:
        return mark
    line = bisect_right(starts, found)
    return Mark(source.file, line, found - starts[line - 1] + 1)


def _named(characters: str) -> str:
    named = ", ".join(_name(character) for character in islice(characters, _NAMED))
    return f"{named} and {len(characters) - _NAMED} more" if len(characters) > _NAMED else named


def _name(character: str) -> str:
    shown = f"“{character}” " if character.isprintable() and not unicodedata.combining(character) else ""
    name = unicodedata.name(character, "a control character").lower()
    return f"{shown}(U+{ord(character):04X}, {name})"
