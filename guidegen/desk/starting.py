"""From a few words ("gas:two,hob,heating:diesel") to the equipment of a description with usual figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct

from guidegen.errors import GuidegenError
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.explain import closest
from guidegen.vehicle.source import read_source

USUAL = "usual"
# What an appliance can have its gas and its 230 V from; first what it has, as a rule.
_SUPPLIES = {"gas": ("gas",), "mains": ("hook-up", "inverter")}
_FILE = Path(__file__).with_name("equipment.yaml")


class UnknownWordError(GuidegenError):
    """A word that names no equipment, or an option that the equipment does not have."""

    exit_code = 2


class Word(Struct, frozen=True):
    """One piece of equipment that can be named; a record of equipment.yaml."""

    name: str
    about: str
    block: Any
    options: Mapping[str, Mapping[str, Any]]
    needs: tuple[str, ...]
    unless: tuple[str, ...]

    @property
    def key(self) -> str:
        """The key of the description's equipment block."""
        return self.name.replace("-", "_")


@cache
def equipment_words() -> Mapping[str, Word]:
    """All words by name, in the order of the description."""
    return {name: _word(name, record) for name, record in _data()["words"].items()}


def usual_equipment(kind: str) -> str:
    """What "usual" stands for in a motorhome, campervan or caravan."""
    return str(_data()[USUAL][kind])


@cache
def _data() -> Mapping[str, Any]:
    return read_source(_FILE).data


def _word(name: str, record: Mapping[str, Any]) -> Word:
    options = record.get("options", {})
    return Word(
        name,
        record["about"],
        record["block"],
        options,
        tuple(record.get("needs", options)),
        tuple(record.get("unless", ())),
    )


def equipment_data(text: str, kind: str) -> dict[str, Any]:
    """The equipment block for words such as "usual,solar,-oven" or "gas:two,water-heater:gas+mains".

    A hyphen takes out what was named before. What burns gas or takes 230 V brings the supply with it, unless
    that was named or taken out.

    Raises UnknownWordError.
    """
    found: dict[str, Any] = dict(_blocks(text, kind))
    for key, supplies in _SUPPLIES.items():
        wanted = any(isinstance(block, dict) and key in block for block in found.values())
        if wanted and not any(_known(supply).key in found for supply in supplies):
            word = _known(supplies[0])
            found[word.key] = _block(word, ())
    return {key: found[key] for key in Equipment.__struct_fields__ if found.get(key) is not None}


def _blocks(text: str, kind: str) -> Iterator[tuple[str, Any]]:
    for part in (part.strip() for part in text.split(",")):
        name, _, options = part.partition(":")
        if part == USUAL:
            yield from _blocks(usual_equipment(kind), kind)
        elif part.startswith("-"):
            yield _known(part[1:].strip().replace("_", "-")).key, None
        elif part:
            word = _known(name.strip().replace("_", "-"))
            yield word.key, _block(word, tuple(o.strip() for o in options.split("+") if o.strip()))


def _known(name: str) -> Word:
    words = equipment_words()
    if name not in words:
        raise UnknownWordError(f"there is no equipment “{name}”: {closest(name, (*words, USUAL))}")
    return words[name]


def _block(word: Word, options: tuple[str, ...]) -> Any:
    if not isinstance(word.block, dict):
        return _count(word, options)
    for option in options:
        if option not in word.options:
            there_are = closest(option, tuple(word.options)) or "it has no options"
            raise UnknownWordError(f"“{word.name}” has no option “{option}”: {there_are}")
    if not set(options) & set(word.needs):
        options = (*options, *word.unless)
    block = dict(word.block)
    for option in options:
        block |= word.options[option]
    model = _model(word.key)
    return {key: block[key] for key in model.__struct_fields__ if key in block}


def _count(word: Word, options: tuple[str, ...]) -> Any:
    """A plain number of things, such as "roof-lights:3"."""
    if not options:
        return word.block
    if word.block is True or not options[0].isdigit() or not 1 <= int(options[0]) <= 20 or len(options) > 1:
        hint = "it has no options" if word.block is True else f"say how many, such as {word.name}:2"
        raise UnknownWordError(f"“{word.name}” has no option “{'+'.join(options)}”: {hint}")
    return int(options[0])


def _model(key: str) -> Any:
    """The block's schema."""
    from typing import get_args

    return next(a for a in get_args(Equipment.__annotations__[key]) if issubclass(a, Struct))
