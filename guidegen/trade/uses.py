"""How each system is used, read from systems-use.yaml: short paragraphs, chosen by the vehicle's facts."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct

from guidegen.resources import shipped_yaml
from guidegen.trade.records import When

_FILE = Path(__file__).resolve().parent / "systems-use.yaml"


class Use(Struct, frozen=True):
    """A paragraph; kinds: the points whose numbers stand before it, always: printed also without any."""

    text: str
    when: When = ()
    kinds: tuple[str, ...] = ()
    always: bool = False


class SystemUse(Struct, frozen=True):
    """What a system is, how it is used, and the ids of its cautions."""

    about: tuple[Use, ...]
    use: tuple[Use, ...]
    cautions: tuple[str, ...]


@cache
def load_uses() -> Mapping[str, SystemUse]:
    """By letter of the system, and "safety" and "small-fire" for what to do in a fire.

    Raises ValueError naming the record when the data is malformed.
    """
    data: dict[str, Any] = shipped_yaml(_FILE) or {}
    return {key: _system(key, fields) for key, fields in data.items()}


def _system(key: str, fields: dict[str, Any]) -> SystemUse:
    about, use = (tuple(_use(key, r) for r in fields.get(part) or ()) for part in ("about", "use"))
    return SystemUse(about, use, tuple(fields.get("cautions") or ()))


def _use(key: str, fields: dict[str, Any]) -> Use:
    ready: dict[str, Any] = {k: _words(v) if k in ("when", "kinds") else v for k, v in fields.items()}
    try:
        return Use(**ready)
    except TypeError as error:
        raise ValueError(f"{_FILE.name}: {key}: {fields}: {error}") from error


def _words(value: Any) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value or ())
