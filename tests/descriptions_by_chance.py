"""Descriptions for tests that nobody would write: by the schema with values at its edges, or broken samples.

Plain functions of a random.Random, so that a seed gives one description, and hypothesis, which hands in a
Random of its own, can make a failing one smaller.
"""

from __future__ import annotations

import random
import re
import types
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import yaml
from pydantic import BaseModel, TypeAdapter, ValidationError

from guidegen.trade.load import load_trade
from guidegen.vehicle import description
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.model import HEIGHTS
from guidegen.vehicle.schema import schema_of
from guidegen.vehicle.source import read_source

Description, Equipment, PointEntry = map(
    schema_of, (description.Description, description.Equipment, description.PointEntry)
)
SAMPLES = Path(__file__).parents[1] / "sample_vehicles"

_AMOUNTS = ("0", "0.001", "1", "2,5", "7.35", "16", "100", "999", "4000", "99999")
_UNITS = ("mm", "cm", "m", "W", "kW", "kg", "g", "l", "Ah", "A", "V", "h", "min", "mm²", "g/h", "mbar", "°C")
_WORDS = (
    "Pump", "a", "Smith & Sons <b>Caravans</b>", '"quoted" \\ \'words\'', "]]>", "<![CDATA[", "-->", "%s {0} ${x}",
    "Wohnmobilfrischwassertankentleerungsventilabdeckungsschraube", "W" * 60, "x" * 200, "one word " * 22,
    "Größe – 5 m²", "Żółw", "Кран воды", "Βρύση νερού", "Cafe\u0301", "soft\u00adhyphen\u200bzero", "1,2 / 3;4",
    "(brackets) )( \\n \\001", "=1+1", "@home", "- list", "key: value", "# no comment", "yes", "12", "2026-03-14",
)  # fmt: skip
_UNDRAWABLE = (
    "名前",
    "🚐",
    "\u202eright to left",
    "\x1b[31mred",
    "\x00",
    "ﷺ",
    "a\u0301\u0302b\u0303",
    "\u200b",
)
_OTHERS = (
    0, 1, 2, 5, 9, 20, 999, -1, 10**15, 1.5, True, "pump-switch", "a-b-c", "A1", "F3", "Z99", "#1f5c99",
    "2026-03-14", "1999-12-31", "https://example.com/van", "http://example.com/?a=1&b=(2)<", "under-seat", "roof",
    "https://example.com/" + "a" * 270, "javascript:alert(1)", "https://[::1", "../x.png", "photos/none.jpg",
)  # fmt: skip
_ODD = 0.01  # share of values that need not fit


@cache
def _pool() -> tuple[Any, ...]:
    quantities = tuple(f"{amount} {unit}" for unit in _UNITS for amount in _AMOUNTS)
    return quantities + _WORDS + _OTHERS


@cache
def _accepted(annotation: Any) -> tuple[Any, ...]:
    """The values of the pool that the schema takes at this place."""
    adapter = TypeAdapter(annotation)

    def takes(value: Any) -> bool:
        try:
            adapter.validate_python(value)
        except ValidationError:
            return False
        return True

    return tuple(value for value in _pool() if takes(value)) or _pool()


def described(chance: random.Random) -> dict[str, Any]:
    """The data of a description: a sample with some of its blocks made anew, or all of it made anew."""
    if chance.random() < 0.3:
        return _block(Description, chance, layout=chance.choice(layout_ids()))
    data = dict(chance.choice(_samples()))
    layout = data["layout"] if chance.random() < 0.9 else chance.choice(layout_ids())
    data["layout"] = layout
    fields = Description.model_fields
    for name in chance.sample(sorted(fields), chance.choice((0, 1, 1, 2, 4))):
        key = fields[name].alias or name
        if chance.random() < 0.2:
            data.pop(key, None)
        elif name == "equipment":
            data[key] = dict(data[key])
            for part in chance.sample(sorted(Equipment.model_fields), 3):
                data[key][part] = _field(Equipment, part, chance, layout)
        elif name not in ("layout", "points", "guidegen"):
            data[key] = _field(Description, name, chance, layout)
    points = list(data.get("points") or ())
    for _ in range(chance.choice((0, 1, 1, 3, 10, 40))):
        points.insert(chance.randint(0, len(points)), _block(PointEntry, chance, layout))
    for _ in range(chance.choice((0, 0, 1, 3))):
        if points:
            del points[chance.randrange(len(points))]
    return data | {"points": points}


def as_yaml(data: dict[str, Any]) -> bytes:
    return yaml.safe_dump(data, allow_unicode=True, sort_keys=False, width=10_000).encode()


@cache
def _samples() -> tuple[dict[str, Any], ...]:
    return tuple(read_source(file).data for file in sorted(SAMPLES.glob("*.yaml")))


def _block(model: type[BaseModel], chance: random.Random, layout: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    share = chance.choice((0.1, 0.5, 0.9))
    for name, field in model.model_fields.items():
        if model is PointEntry and name in _PLACE_KEYS:
            continue
        if field.is_required() or chance.random() < share:
            found[field.alias or name] = _field(model, name, chance, layout)
    if model is PointEntry:
        found |= _place(chance, layout)
    if chance.random() < _ODD / 4:
        found[chance.choice(("colour", "x-y", "Name", "id "))] = chance.choice(_pool())
    return found


def _field(model: type[BaseModel], name: str, chance: random.Random, layout: str) -> Any:
    if chance.random() < _ODD:
        return chance.choice(_pool())
    field = model.model_fields[name]
    known = _known(model, name, layout)
    if known:
        many = name in ("serves", "before", "after")
        return [chance.choice(known) for _ in range(chance.randint(0, 3))] if many else chance.choice(known)
    if name == "id" and model is not Description:
        return f"{chance.choice(('a', 'long-' * 8 + 'id'))}-{chance.randrange(10**6)}"
    if name == "number":
        return chance.randrange(1, 1000)
    if model is Description and name in ("id", "orders", "layout_changes"):
        return _special(name, chance, layout)
    return _value(
        Annotated[field.annotation, *field.metadata] if field.metadata else field.annotation, chance, layout
    )


def _known(model: type[BaseModel], name: str, layout: str) -> Sequence[Any]:
    """The words that mean something at this place, which the schema alone does not know."""
    trade = load_trade()
    kinds = tuple(trade.kinds)
    if name == "layout":
        return (layout,)
    if name in ("kind", "at") and model is not Description:
        return kinds
    if name == "serves":
        return (*kinds, *(key.replace("_", "-") for key in Equipment.model_fields))
    if name in ("before", "after"):
        return tuple(step.id for step in trade.steps)
    if name in ("photo", "logo"):
        vector = ".svg" if name == "logo" else ".png"
        return tuple(
            f.relative_to(SAMPLES).as_posix() for f in SAMPLES.rglob("*") if f.suffix in (".jpg", vector)
        )
    if name == "height" and model is PointEntry:
        return (*HEIGHTS, "0.5 m", "1.9 m")
    return ()


def _special(name: str, chance: random.Random, layout: str) -> Any:
    if name == "id":
        return chance.choice(("van", "a", "0", "x" * 60, "larch-2"))
    if name == "orders":
        steps = [step.id for step in load_trade().steps]
        return {
            chance.choice(("arrive", "leave", "lay-up", "recommission")): chance.sample(
                steps, chance.randint(0, 9)
            )
        }
    plan = read_layout(layout)
    changed = {
        piece.id: {
            chance.choice(("x", "y", "length", "width")): chance.choice((-500, 0, 1, 50, 700, 5000, 1e9))
        }
        for piece in chance.sample(plan.furniture, min(2, len(plan.furniture)))
    }
    length = {"length": chance.choice((1, 3000, 6000, 7350, 10**9))} if chance.random() < 0.2 else {}
    return length | {"furniture": {"change": changed, "remove": [chance.choice(plan.furniture).id]}}


_PLACE_KEYS = ("in_", "spot", "on", "from_front", "from_nearside", "grid", "x", "y")


def _place(chance: random.Random, layout: str) -> dict[str, Any]:
    """One of the four ways to say where a point is."""
    plan = read_layout(layout)
    along, across = (f"{chance.uniform(-0.02, 1.02) * side:.0f} mm" for side in (plan.length, plan.width))
    way = chance.randrange(4)
    if way == 0:
        pieces = (*plan.rooms, *plan.furniture, *plan.hatches, *plan.doors)
        spot = (
            {"spot": chance.choice(("front end", "rear", "nearside", "middle"))}
            if chance.random() < 0.3
            else {}
        )
        return {"in": chance.choice(pieces).id, **spot}
    if way == 1:
        side = chance.choice(("front", "rear", "nearside", "offside", "roof", "under-floor"))
        return {
            "on": side,
            **({"from_nearside": across} if side in ("front", "rear") else {"from_front": along}),
        }
    if way == 2:
        return {"grid": chance.choice("ABCDEF") + str(chance.randint(1, 9))}
    return {"x": along, "y": across}


def _value(annotation: Any, chance: random.Random, layout: str) -> Any:
    if chance.random() < _ODD / 4:
        return chance.choice(_UNDRAWABLE)
    base = get_args(annotation)[0] if get_origin(annotation) is Annotated else annotation
    origin, arguments = get_origin(base), get_args(base)
    if isinstance(base, type) and issubclass(base, BaseModel):
        return _block(base, chance, layout)
    if origin is Literal:
        return chance.choice(arguments)
    if origin in (Union, types.UnionType) and type(None) in arguments:
        rest = [a for a in arguments if a is not type(None)]
        return _value(rest[0], chance, layout) if len(rest) == 1 else chance.choice(_accepted(annotation))
    if origin is tuple:
        return [_value(arguments[0], chance, layout) for _ in range(chance.choice((0, 1, 1, 2, 6)))]
    if origin is dict:
        keys = arguments[0]
        return {str(_value(keys, chance, layout)): _value(arguments[1], chance, layout) for _ in range(2)}
    return chance.choice(_accepted(annotation))


NASTY = (
    "", "~", "no", "-1", "0", "1e999", ".nan", ".inf", "9" * 40, "'", '"', "[", "{", "]", "}", "- ", ": ",
    "#", "&a", "*a", "!!python/object:os.system", "|", ">", "%YAML 9.9", "---", "...", "\t", "\x00",
    "\x1b[31m", '"\\e[31m"', '"\\0"', "\ufeff", "\u202e", "𝕏", "名前", "ﷺ", "é", "a" * 5000, "[" * 400,
    "{a: " * 200, "../../etc/passwd", "/dev/zero", "0 m", "-5 m", "1e9 m", "735", "7,35 m", "7.35 km",
    "99999 W", "0.0001 kW", "2026-02-30", "roof", "nearside", "Z99", "A1", "water-heater", "cab", "true",
    "null", "0x10", "1_000", "12:30:45", "http://", "C:\\van.jpg", "\u0085", "\u2028",
)  # fmt: skip


def broken(chance: random.Random) -> bytes:
    """A sample with one to six passages broken, by lines, by words and by bytes."""
    data = chance.choice(_texts())
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        data = chance.choice((_line, _line, _word, _word, _nasty, _nasty, _byte))(data, chance)
    return data


@cache
def _texts() -> tuple[bytes, ...]:
    return tuple(file.read_bytes() for file in sorted(SAMPLES.glob("*.yaml")))


def by_chance(seed: int) -> bytes:
    """The description file of that seed: one half by the schema, one half broken samples."""
    chance = random.Random(seed)
    return as_yaml(described(chance)) if seed % 2 else broken(chance)


def pictures(folder: Path) -> Iterator[Path]:
    """Copies the samples' folders of pictures into the folder, so that descriptions find them."""
    import shutil

    for pictures in (f for f in SAMPLES.iterdir() if f.is_dir()):
        yield shutil.copytree(pictures, folder / pictures.name)


def _line(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True) or [b"\n"]
    at = chance.randrange(len(lines))
    other = lines[chance.randrange(len(lines))]
    change = chance.randrange(4)
    if change == 0:
        del lines[at]
    elif change == 1:
        lines.insert(at, other)
    elif change == 2:
        lines[at] = b" " * chance.randrange(1, 4) + lines[at]
    else:
        lines[at] = other
    return b"".join(lines)


def _word(data: bytes, chance: random.Random) -> bytes:
    words = list(re.finditer(rb"[\w.-]+", data))
    if not words:
        return data
    old, new = chance.choice(words), chance.choice(words)
    return data[: old.start()] + new.group() + data[old.end() :]


def _nasty(data: bytes, chance: random.Random) -> bytes:
    values = list(re.finditer(rb"(?<=: )[^,}\n]+", data))
    if not values:
        return data
    old = chance.choice(values)
    return data[: old.start()] + chance.choice(NASTY).encode() + data[old.end() :]


def _byte(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + chance.randrange(3) :]
