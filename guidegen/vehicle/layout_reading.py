"""Reads base layouts, layouts/*.yaml, and the changes that a vehicle makes to one.

A file holds plain numbers in mm (`unit: mm`) and pieces keyed by id under rooms, furniture,
partitions, doors, windows, hatches, roof and wheels. A file that `builds_on` another, and the
`layout_changes` of a vehicle, hold under each of these a block of

    add: {id: {field: value, …}}    change: {id: {field: value, …}}    remove: [id, …]

and may set the single values (length, name, half_outline, …) anew. `half_outline` is the nearside
half of the plan from the front's middle to the rear's middle, corners [x, y, radius]; the offside
is its mirror image.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeAlias

import yaml
from msgspec import Struct, field

from guidegen.errors import DescriptionError, Finding, Mark
from guidegen.resources import data_folder, shipped_yaml
from guidegen.vehicle.contour import mirrored
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_checks import complaints
from guidegen.vehicle.layout_fields import (
    SCALARS,
    SECTIONS,
    FieldError,
    identifier,
    read_field,
    read_record,
    shown,
    suggestion,
)

KeyPath: TypeAlias = tuple[str, ...]
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DEEPEST = 8
_NOWHERE = Mark()


class LayoutError(DescriptionError):
    """A layout that cannot be read. `paths` gives, for each finding, the keys that lead to its place
    in the vehicle's `layout_changes`; the path is empty where the layout's own file is at fault.
    """

    def __init__(self, findings: tuple[Finding, ...], paths: tuple[KeyPath, ...] = ()) -> None:
        super().__init__(findings)
        self.paths = paths or ((),) * len(findings)


def layout_ids(folder: Path | None = None) -> tuple[str, ...]:
    """The ids of all layouts, in alphabetical order."""
    return tuple(sorted(path.stem for path in (folder or data_folder("layouts")).glob("*.yaml")))


def layout_file(id: str, folder: Path | None = None) -> Path:
    """The file of one layout. Raises LayoutError, with the nearest ids, when there is none."""
    place = folder or data_folder("layouts")
    known = layout_ids(place)
    if id not in known:
        raise LayoutError((_finding(f"there is no layout {shown(id)}", suggestion(id, known)),))
    return place / f"{id}.yaml"


def read_layout(id: str, changes: Mapping[str, object] | None = None, folder: Path | None = None) -> Layout:
    """The layout of that id, with a vehicle's changes made to it.

    Raises LayoutError with one finding for each fault.
    """
    draft = _Draft()
    _read_file(draft, id, folder, 0)
    if changes is not None:
        draft.take(changes, _Source(None), whole=False)
    layout = draft.finished()
    found = tuple(complaints(layout))
    if found:
        faults = [(draft.source_of(path), path, message, hint) for path, message, hint in found]
        raise _error(faults)
    return layout


class _Source(Struct, frozen=True):
    """Where a value was written: a layout file, or None for the vehicle's changes."""

    file: Path | None


_Fault: TypeAlias = tuple[tuple[_Source, KeyPath], KeyPath, str, str]
_Complain: TypeAlias = Callable[[KeyPath, str, str], None]


class _Draft(Struct):
    """Raw values of a layout while files and changes are laid over each other."""

    scalars: dict[str, object] = field(default_factory=dict)
    sections: dict[str, dict[str, dict[str, object]]] = field(
        default_factory=lambda: {name: {} for name in SECTIONS}
    )
    written: dict[KeyPath, tuple[_Source, KeyPath]] = field(default_factory=dict)

    def take(self, raw: object, source: _Source, *, whole: bool) -> None:
        """Lay a document over the draft: a whole layout, or changes to what is there."""
        faults: list[_Fault] = []

        def complain(path: KeyPath, message: str, hint: str) -> None:
            faults.append(((source, path), path, message, hint))

        if not isinstance(raw, Mapping):
            complain((), "a layout is a block of keys and values", "")
            raise _error(faults)
        for key, value in raw.items():
            if key in self.sections:
                take = self._take_pieces if whole else self._take_changes
                take(key, value, source, complain)
            elif key in SCALARS:
                self.scalars[key] = value
                self.written[(key,)] = (source, (key,))
            elif key != "builds_on":
                known = (*SCALARS, *SECTIONS, "builds_on")
                complain((str(key),), f"{shown(key)} is no key of a layout", suggestion(key, known))
        if faults:
            raise _error(faults)

    def _take_pieces(self, section: str, block: object, source: _Source, complain: _Complain) -> None:
        if not isinstance(block, Mapping):
            complain((section,), f"{section}: pieces are keyed by their ids", "write “id: {…}” for each")
            return
        for id, values in block.items():
            self._put(section, id, values, source, (section, str(id)), complain)

    def _take_changes(self, section: str, block: object, source: _Source, complain: _Complain) -> None:
        acts = ("add", "change", "remove")
        if not isinstance(block, Mapping):
            complain((section,), f"{section}: changes are add, change and remove", "")
            return
        for act in block:
            if act not in acts:
                complain((section, str(act)), f"{shown(act)} is no change", suggestion(act, acts))
        for act in ("add", "change"):
            if not isinstance(block.get(act) or {}, Mapping):
                complain((section, act), f"{section}: under “{act}”, pieces are keyed by their ids", "")
        pieces = self.sections[section]
        for id in _listed(block.get("remove")):
            if id in pieces:
                del pieces[id]
            else:
                complain((section, "remove"), *_unknown(section, id, tuple(pieces)))
        for id, values in _keyed(block.get("change")).items():
            path = (section, "change", str(id))
            if id not in pieces:
                complain(path, *_unknown(section, id, tuple(pieces)))
            elif not isinstance(values, Mapping):
                complain(path, f"“{id}” is not a block of fields", "write “field: value”")
            else:
                self._put(section, id, {**pieces[id], **values}, source, path, complain)
        for id, values in _keyed(block.get("add")).items():
            path = (section, "add", str(id))
            if id in pieces:
                complain(path, f"{section}: “{id}” is there already", "use “change”, or another id")
            else:
                self._put(section, id, values, source, path, complain)

    def _put(
        self, section: str, id: Any, values: object, source: _Source, path: KeyPath, complain: _Complain
    ) -> None:
        try:
            self.sections[section][identifier(id)] = _fields(id, values)
        except FieldError as fault:
            complain(path, fault.message, fault.hint)
            return
        self.written[(section, id)] = (source, path)

    def source_of(self, path: KeyPath) -> tuple[_Source, KeyPath]:
        """The file and the keys in it where the value at that path of the layout was written."""
        for count in range(len(path), 0, -1):
            if path[:count] in self.written:
                source, keys = self.written[path[:count]]
                return source, (*keys, *path[count:])
        return next(iter(self.written.values()), (_Source(None), ()))[0], ()

    def finished(self) -> Layout:
        """The typed layout. Raises LayoutError for values that cannot be."""
        faults: list[_Fault] = []

        def complain(path: KeyPath, fault: FieldError) -> None:
            whole = (*path, *fault.path)
            faults.append((self.source_of(whole), whole, fault.message, fault.hint))

        values: dict[str, Any] = {}
        for key, reader in SCALARS.items():
            if key not in self.scalars:
                complain((), FieldError(f"the layout has no “{key}”", f"add “{key}:”"))
                continue
            try:
                values[key] = read_field(reader, key, self.scalars[key])
            except FieldError as fault:
                complain((), fault)
        for section, shape in SECTIONS.items():
            records = []
            for id, raw in self.sections[section].items():
                try:
                    records.append(read_record(shape, id, raw))
                except FieldError as fault:
                    complain(
                        (section, id),
                        FieldError(f"{section}: “{id}”: {fault.message}", fault.hint, fault.path),
                    )
            values[section] = tuple(records)
        if faults:
            raise _error(faults)
        del values["unit"]
        return Layout(outline=mirrored(values.pop("half_outline"), values["width"]), **values)


def _read_file(draft: _Draft, id: str, folder: Path | None, depth: int) -> None:
    """Lay the file over the draft, after the one that it builds on."""
    path = layout_file(id, folder)
    source = _Source(path)
    try:
        raw = yaml.load(path.read_bytes(), Loader=_LOADER) if folder else shipped_yaml(path)
    except (yaml.YAMLError, UnicodeDecodeError, RecursionError) as error:
        line = getattr(getattr(error, "problem_mark", None), "line", -1) + 1
        finding = Finding(
            "error", "layout", f"{path.name} is not readable as YAML", "", Mark(str(path), line)
        )
        raise LayoutError((finding,)) from error
    base = raw.get("builds_on") if isinstance(raw, Mapping) else None
    if base is not None:
        if depth >= _DEEPEST:
            raise LayoutError((_finding(f"“{id}” builds on itself in the end", ""),))
        _read_file(draft, str(base), folder, depth + 1)
    draft.take(raw, source, whole=base is None)


def _fields(id: str, values: object) -> dict[str, object]:
    if not isinstance(values, Mapping):
        raise FieldError(f"“{id}” is not a block of fields", "write “field: value”")
    return dict(values)


def _keyed(block: object) -> Mapping[Any, object]:
    return block if isinstance(block, Mapping) else {}


def _listed(block: object) -> tuple[Any, ...]:
    if isinstance(block, str):
        return (block,)
    return tuple(item for item in block if isinstance(item, str)) if isinstance(block, (list, tuple)) else ()


def _unknown(section: str, id: object, known: tuple[str, ...]) -> tuple[str, str]:
    return f"{section}: the layout has no {shown(id)}", suggestion(id, known)


def _finding(message: str, hint: str, mark: Mark = _NOWHERE) -> Finding:
    return Finding("error", "layout", message, hint, mark)


def _error(faults: list[_Fault]) -> LayoutError:
    findings, paths = [], []
    for (source, keys), _, message, hint in faults:
        findings.append(_finding(message, hint, _mark(source, keys)))
        paths.append(keys if source.file is None else ())
    return LayoutError(tuple(findings), tuple(paths))


def _mark(source: _Source, keys: KeyPath) -> Mark:
    """Line and column of a key in a layout file; found by composing it anew, as only errors need it."""
    if source.file is None:
        return Mark()
    with source.file.open("rb") as stream:
        node = yaml.compose(stream, Loader=_LOADER)
    if node is None:
        return Mark(str(source.file), 1, 1)
    place = node.start_mark
    for key in keys:
        entries = node.value if isinstance(node, yaml.MappingNode) else ()
        found = next(((k, v) for k, v in entries if k.value == key), None)
        if found is None:
            break
        place, node = found[0].start_mark, found[1]
    return Mark(str(source.file), place.line + 1, place.column + 1)
