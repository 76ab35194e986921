"""Collects what was read from cells: the data of a description, and which cell each value came from."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from guidegen.desk.fields import Block, Field, Part, Path, all_fields, fields_of, parts_of
from guidegen.desk.form import title_of, value_at
from guidegen.errors import Finding, Mark
from guidegen.vehicle.description import Description, PointEntry
from guidegen.vehicle.source import KeyPath, Source


class Gathered(Struct):
    """The data so far. A mark's file is the name of the sheet; its line and column are those of the cell."""

    file: str
    data: dict[str, Any] = field(default_factory=lambda: {"guidegen": 1})
    marks: dict[KeyPath, Mark] = field(default_factory=dict)
    faults: list[Finding] = field(default_factory=list)
    remarks: list[Finding] = field(default_factory=list)
    to_check: set[KeyPath] = field(default_factory=set)
    silent: set[Path] = field(default_factory=set)  # of which the workbook has lost the lines
    markable: set[KeyPath] = field(default_factory=set)  # what has a cell to be marked "to check" in

    def put(self, path: KeyPath, value: Any, mark: Mark) -> None:
        """A value in its place; blocks on the way are made."""
        self.marks[path] = mark
        for depth in range(1, len(path)):
            self.marks.setdefault(path[:depth], mark)
        block: Any = self.data
        for key in path[:-1]:
            block = block[key] if isinstance(key, int) else block.setdefault(key, {})
        block[path[-1]] = value

    def mark(self, path: KeyPath, to_check: bool) -> None:
        """Notes whether a value is marked "to check"."""
        self.markable.add(path)
        if to_check:
            self.to_check.add(path)

    def append(self, path: Path, record: dict[str, Any], marks: dict[str, Mark], mark: Mark) -> KeyPath:
        """One more record of a list; its path."""
        records = value_at(self.data, path)
        if records is None:
            self.put(path, records := [], mark)
        number = len(records)
        records.append(record)
        self.marks[(*path, number)] = mark
        self.marks |= {(*path, number, key): at for key, at in marks.items()}
        return (*path, number)

    def keep(self, before: Mapping[str, Any]) -> None:
        """Of what the workbook has lost, says what the file said before."""
        for path in self.silent:
            value, block = value_at(before, path), path[:-1]
            not_fitted = len(path) > 2 and block in self.marks and value_at(self.data, block) is None
            if value is not None and not not_fitted:
                self.put(path, value, Mark(self.file))

    def take_out(self, path: Path) -> None:
        """What stands at a path goes, with its marks."""
        block = value_at(self.data, path[:-1])
        del block[path[-1]]
        gone = {one for one in self.marks if one[: len(path)] == path}
        self.marks = {one: mark for one, mark in self.marks.items() if one not in gone or one == path}
        self.to_check -= gone

    def remark(self, message: str, hint: str, mark: Mark) -> None:
        """Something to be told that does not keep the file from being written."""
        self.remarks.append(Finding("warning", "cell", message, hint, mark))

    def fault(self, message: str, hint: str, mark: Mark, rule: str = "cell") -> None:
        self.faults.append(Finding("error", rule, message, hint, mark))

    @property
    def source(self) -> Source:
        return Source(self.file, self.data, dict(self.marks), dict(self.marks))

    def missing(self) -> tuple[Finding, ...]:
        """Cells that must not be blank."""
        told = {fault.mark for fault in self.faults}
        asked = (f for f in _required(parts_of(Description)) if f.path in self.marks)
        found = (f for f in asked if value_at(self.data, f.path) is None)
        blank = (self._blank(f) for f in found if self._wanted(f.path[:-1]))
        return tuple(finding for finding in blank if finding.mark not in told)

    def _wanted(self, block: Path) -> bool:
        return not block or value_at(self.data, block) is not None

    def _blank(self, field: Field) -> Finding:
        block = f" ({title_of(field.path[:-1]).lower()})" if len(field.path) > 1 else ""
        mark = self.marks[field.path]
        hint = f"fill it in: {field.hint}" if field.hint else "fill it in"
        return Finding("error", "key-missing", f"“{field.label}”{block} is blank", hint, mark)


def _in_words(message: str) -> str:
    """A message that begins with a key of the file, with the words of the sheet in its place."""
    known = {f.key: f.label for f in all_fields(parts_of(Description)) if f.key != f.label}
    known |= {f.key: f.label for f in fields_of(PointEntry)}
    found = re.match(r"“(\w+)”: ", message)
    label = known.get(found[1]) if found else None
    return f"“{label}”{message[len(found[0]) - 2 :]}" if found and label else message


def _required(parts: tuple[Part, ...]) -> Iterable[Field]:
    return (f for f in all_fields(tuple(p for p in parts if isinstance(p, (Block, Field)))) if f.required)


def in_cells(findings: Iterable[Finding], file: str, sheets: tuple[str, ...]) -> tuple[Finding, ...]:
    """The findings with sheet and cell in their message, in the order of the workbook, each once."""
    from openpyxl.utils import get_column_letter

    def order(finding: Finding) -> tuple[int, int, int]:
        mark = finding.mark
        return (sheets.index(mark.file) if mark.file in sheets else -1, mark.line, mark.column)

    found: dict[Finding, None] = {}
    for finding in sorted(findings, key=order):
        mark, message = finding.mark, _in_words(finding.message)
        if mark.file in sheets and mark.line:
            message = f"sheet {mark.file}, cell {get_column_letter(mark.column or 1)}{mark.line}: {message}"
        elif mark.file in sheets:
            message = f"sheet {mark.file}: {message}"
        found[replace(finding, message=message, mark=Mark(file))] = None
    return tuple(found)
