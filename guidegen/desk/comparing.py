"""What differs between two vehicles: identity, layout, equipment, places and numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from guidegen.desk.cells import plain
from guidegen.desk.fields import Block, Field, Part, Table, parts_of
from guidegen.desk.form import title_of, value_at
from guidegen.vehicle.description import Description, Figures
from guidegen.vehicle.model import ServicePoint, Vehicle
from guidegen.vehicle.source import read_source

_ELSEWHERE = {"guidegen", "id", "points", "checks"}


class Difference(Struct, frozen=True):
    """One thing that differs; "" where one of the two has nothing."""

    subject: str  # "vehicle", "equipment", "place", "number", "point"
    what: str
    a: str
    b: str
    name: str = ""  # of the point, as printed


class _Side(Struct, frozen=True):
    """One of the two: as its file says it, as the schema reads it, and as a numbered vehicle."""

    data: Mapping[str, Any]
    read: Description
    vehicle: Vehicle


def compare(a: Path, b: Path) -> tuple[Difference, ...]:
    """All differences, in the order of a description. Raises as pipeline.prepare for either file."""
    sides = _side(a), _side(b)
    parts = sorted(parts_of(Description), key=lambda part: part.path[0] in Figures.__struct_fields__)
    return (*_fields(tuple(parts), *sides), *_points(*sides))


def overwritten(
    before: tuple[Mapping[str, Any], Vehicle], after: tuple[Mapping[str, Any], Vehicle]
) -> tuple[Difference, ...]:
    """What one and the same vehicle's file said otherwise before: values, and places of points.

    before, after: the data of the file, and the vehicle that they describe.
    """
    a, b = (_Side(data, Description.read(data), vehicle) for data, vehicle in (before, after))
    parts = sorted(parts_of(Description), key=lambda part: part.path[0] in Figures.__struct_fields__)
    now = {point.id: point for point in b.vehicle.points}
    pairs = ((was, now[was.id]) for was in a.vehicle.points if was.id in now)
    moved = (replace(found, what=found.name) for was, one in pairs for found in _moved(was, one))
    return (*(found for found in _fields(tuple(parts), a, b) if found.a and found.b), *moved)


def _side(path: Path) -> _Side:
    from guidegen.pipeline import prepare

    vehicle = prepare(path).vehicle
    data = read_source(path).data
    return _Side(data, Description.read(data), vehicle)


def _fields(parts: tuple[Part, ...], a: _Side, b: _Side) -> Iterator[Difference]:
    for part in parts:
        if part.path[0] in _ELSEWHERE:
            continue
        left, right = _read(a.read, part.path), _read(b.read, part.path)
        if left == right:
            continue
        if isinstance(part, Block) and left is not None and right is not None:
            yield from _fields(part.parts, a, b)
            continue
        subject = "equipment" if part.path[0] == "equipment" else "vehicle"
        yield Difference(subject, _what(part), _said(part, a), _said(part, b))


def _read(model: Any, path: tuple[str, ...]) -> Any:
    """The value as the schema reads it, so that 0.9 m and 90 cm are the same."""
    for key in path:
        model = getattr(model, key, None) if isinstance(model, Struct) else None
    return model


def _what(part: Part) -> str:
    blocks = [title_of(part.path[:n]) for n in range(1, len(part.path)) if part.path[:n] != ("equipment",)]
    name = part.label if isinstance(part, Field) else title_of(part.path)
    return ": ".join((*blocks, name if blocks else name[:1].upper() + name[1:]))


def _said(part: Part, side: _Side) -> str:
    """As the file says it; what the schema takes for granted where the file says nothing."""
    value = value_at(side.data, part.path)
    if value is None:
        return part.default if isinstance(part, Field) and _read(side.read, part.path) is not None else ""
    if isinstance(part, Block):
        return _block(value) or "fitted"
    if isinstance(part, Table) and isinstance(value, list):
        return "; ".join(_block(record) for record in value)
    return _value(value)


def _block(record: Mapping[str, Any]) -> str:
    return ", ".join(f"{key.replace('_', ' ')} {_value(value)}" for key, value in record.items())


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return _block(value)
    if isinstance(value, list):
        return ", ".join(f"({_block(v)})" if isinstance(v, Mapping) else plain(v) for v in value)
    return plain(value)


def _points(a: _Side, b: _Side) -> Iterator[Difference]:
    """Points by id: those of one side only, then names, notes, places and numbers that differ."""
    left = {point.id: point for point in a.vehicle.points}
    right = {point.id: point for point in b.vehicle.points}
    for id in dict.fromkeys((*left, *right)):
        one, two = left.get(id), right.get(id)
        if one and two:
            yield from _point(one, two)
        elif known := one or two:
            yield Difference("point", id, _shown(one), _shown(two), known.name)


def _shown(point: ServicePoint | None) -> str:
    return f"{point.number} {point.name}. {point.place}" if point else ""


def _point(a: ServicePoint, b: ServicePoint) -> Iterator[Difference]:
    texts = (
        ("kind", a.kind, b.kind),
        ("name", a.name, b.name),
        ("note", a.note, b.note),
        ("serves", ", ".join(a.serves), ", ".join(b.serves)),
        ("web", a.web, b.web),
    )
    for name, one, two in texts:
        if one != two:
            yield Difference("point", f"{a.id}: {name}", one, two, f"{a.name}: {name}")
    yield from _moved(a, b)
    if a.number != b.number:
        yield Difference("number", a.id, str(a.number), str(b.number), a.name)


def _moved(a: ServicePoint, b: ServicePoint) -> Iterator[Difference]:
    if a.place != b.place or (a.x, a.y, a.z) != (b.x, b.y, b.z):
        same = a.place == b.place
        yield Difference("place", a.id, _place(a, exact=same), _place(b, exact=same), a.name)


def _place(point: ServicePoint, *, exact: bool) -> str:
    """The words for the place; with metres where the words are the same."""
    metres = f" ({point.x / 1000:.2f}, {point.y / 1000:.2f}, {point.z / 1000:.2f} m)" if exact else ""
    return f"{point.place}{metres}"
