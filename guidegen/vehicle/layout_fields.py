"""What may stand in a layout file, field by field: plain values in, typed records out.

Hand-written rather than a pydantic model, because a layout is read on every cold start and building
a schema costs more than reading the file.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any, TypeAlias

from msgspec import NODEFAULT, Struct

from guidegen.vehicle.layout import (
    Area,
    Door,
    Furniture,
    Hatch,
    Partition,
    RoofOpening,
    Room,
    Wheel,
    Window,
)

Reader: TypeAlias = Callable[[object], Any]
IDENTIFIER = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
FURTHEST_MM = 20_000.0
SIDES = ("front", "rear", "nearside", "offside")
FURNITURE_KINDS = (
    "bed", "bunk", "over-cab-bed", "drop-down-bed", "bench", "dinette-seat", "cab-seat", "dashboard",
    "table", "wardrobe", "cupboard", "worktop", "hob", "sink", "oven", "fridge", "washbasin", "toilet",
    "shower", "shelf", "locker", "step", "garage",
)  # fmt: skip


class FieldError(ValueError):
    """One value that cannot stand; `path` leads to it from the record that holds it."""

    def __init__(self, message: str, hint: str = "", path: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.message, self.hint, self.path = message, hint, path


def number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise FieldError(f"{shown(value)} is not a plain number of mm")
    if abs(value) > FURTHEST_MM:
        raise FieldError(f"{value} mm is more than any vehicle measures")
    return float(value)


def size(value: object) -> float:
    found = number(value)
    if found <= 0:
        raise FieldError(f"{shown(value)} mm is no size: it must be more than 0")
    return found


def distance(value: object) -> float:
    found = number(value)
    if found < 0:
        raise FieldError(f"{shown(value)} mm is negative")
    return found


def words(value: object) -> str:
    if not isinstance(value, str) or not value.strip() or len(value) > 300:
        raise FieldError(f"{shown(value)} is not a short text")
    return value.strip()


def identifier(value: object) -> str:
    if not isinstance(value, str) or not IDENTIFIER.fullmatch(value):
        raise FieldError(f"{shown(value)} is not an id: use small letters, figures and hyphens")
    return value


def yes_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise FieldError(f"{shown(value)} is neither true nor false")
    return value


def berths(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 8:
        raise FieldError(f"{shown(value)} is not a number of berths")
    return value


def one_of(*choices: str) -> Reader:
    def read(value: object) -> str:
        if not isinstance(value, str) or value not in choices:
            raise FieldError(f"{shown(value)} is not known here", suggestion(value, choices, "use one of {}"))
        return value

    return read


def row(*readers: Reader) -> Reader:
    """A list of just so many values."""

    def read(value: object) -> tuple[Any, ...]:
        if not isinstance(value, (list, tuple)) or len(value) != len(readers):
            raise FieldError(f"{shown(value)} is not a list of {len(readers)} numbers")
        return tuple(reader(item) for reader, item in zip(readers, value, strict=True))

    return read


def area(value: object) -> Area:
    return Area(*row(number, number, size, size)(value))


def corners(value: object) -> tuple[Any, ...]:
    if not isinstance(value, (list, tuple)) or not 3 <= len(value) <= 60:
        raise FieldError("an outline is a list of 3 corners or more, each [x, y, radius]")
    corner = row(number, number, distance)
    return tuple(corner(item) for item in value)


class Shape(Struct, frozen=True):
    """A record class and how each of its fields is read; fields with a default may be left out."""

    record: type[Struct]
    readers: Mapping[str, Reader]


_SIDE = one_of(*SIDES)
SECTIONS: Mapping[str, Shape] = {
    "rooms": Shape(Room, {"name": words, "area": area, "sleeps": yes_no}),
    "furniture": Shape(
        Furniture,
        {
            "kind": one_of(*FURNITURE_KINDS),
            "name": words,
            "room": identifier,
            "area": area,
            "facing": _SIDE,
            "top_mm": distance,
            "hidden": yes_no,
            "berths": berths,
            "head": _SIDE,
        },
    ),
    "partitions": Shape(
        Partition,
        {
            "start": row(number, number),
            "end": row(number, number),
            "opening": row(distance, size),
            "door": one_of("swing", "sliding", "curtain"),
            "hinge": one_of("start", "end"),
            "opens": _SIDE,
        },
    ),
    "doors": Shape(
        Door,
        {
            "name": words,
            "side": _SIDE,
            "start": number,
            "width": size,
            "hinge": _SIDE,
            "kind": one_of("habitation", "cab", "sliding", "rear", "garage"),
        },
    ),
    "windows": Shape(
        Window,
        {
            "side": _SIDE,
            "start": number,
            "width": size,
            "room": identifier,
            "sill_mm": distance,
            "top_mm": distance,
            "opens": yes_no,
            "escape": yes_no,
        },
    ),
    "hatches": Shape(
        Hatch,
        {
            "name": words,
            "side": _SIDE,
            "start": number,
            "width": size,
            "bottom_mm": distance,
            "top_mm": distance,
            "depth": distance,
        },
    ),
    "roof": Shape(RoofOpening, {"name": words, "area": area, "escape": yes_no}),
    "wheels": Shape(Wheel, {"x": number, "y": number, "diameter": size, "width": size}),
}
SCALARS: Mapping[str, Reader] = {
    "unit": one_of("mm"),
    "id": identifier,
    "name": words,
    "about": words,
    "body": one_of("coachbuilt", "low-profile", "a-class", "panel-van", "caravan"),
    "length": size,
    "width": size,
    "height": size,
    "floor": distance,
    "wall": size,
    "bonnet": distance,
    "drawbar": distance,
    "half_outline": corners,
    "profile": corners,
}


def read_record(shape: Shape, id: str, values: object) -> Any:
    """One piece as its record. Raises FieldError with the path of the bad field."""
    identifier(id)
    if not isinstance(values, Mapping):
        raise FieldError(f"“{id}” is not a block of fields")
    needless = _with_default(shape.record)
    ready: dict[str, Any] = {"id": id}
    for key, value in values.items():
        reader = shape.readers.get(key) if isinstance(key, str) else None
        if reader is None:
            raise FieldError(
                f"{shown(key)} is no field of “{id}”", suggestion(key, tuple(shape.readers)), (str(key),)
            )
        ready[key] = read_field(reader, key, value)
    for missing in (name for name in shape.readers if name not in ready and name not in needless):
        raise FieldError(f"“{id}” has no “{missing}”", f"add “{missing}:”")
    return shape.record(**ready)


def _with_default(record: type[Struct]) -> set[str]:
    defaults = record.__struct_defaults__
    last = record.__struct_fields__[len(record.__struct_fields__) - len(defaults) :]
    return {name for name, default in zip(last, defaults, strict=True) if default is not NODEFAULT}


def read_field(reader: Reader, key: str, value: object) -> Any:
    try:
        return reader(value)
    except FieldError as fault:
        raise FieldError(f"{key}: {fault.message}", fault.hint, (key, *fault.path)) from None


def suggestion(word: object, known: tuple[str, ...], otherwise: str = "known here: {}") -> str:
    """A hint for a word that is not known: the nearest known ones, or all of them."""
    near = get_close_matches(str(word)[:60], known, n=3, cutoff=0.6)
    if near:
        return "did you mean " + " or ".join(f"“{n}”" for n in near) + "?"
    return otherwise.format(", ".join(known)) if known else ""


def shown(value: object) -> str:
    """A value as it stands in the file, short enough for a message."""
    text = str(value)
    return f"“{text[:57]}…”" if len(text) > 60 else f"“{text}”"
