"""Reads the trade's YAML files, which lie beside this module, into records.

systems.yaml   id: {letter, name, colour, shape, source, outlined}
kinds.yaml     id: {name, system, symbol, usual: [...], outside, about, says, colour}
requirements.yaml, steps.yaml, symptoms.yaml   lists of records
cautions.yaml  id: {signal, text, sign, when, source}
Steps may be spread over several files steps-*.yaml, one for each sequence; a step that several
sequences share names them all. Several records may have one id: the first whose `when` holds counts.
conditions.yaml id: {holds, fails, help, kinds, short}
journeys.yaml   sequence: {start: [...], goal: [...]}
stickers.yaml  id: {title, lines, when, at, signal, sign, numbered, tag, write, source}
readings.yaml, handed-over.yaml   lists of records
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from guidegen.trade.records import (
    Caution,
    Condition,
    HandedOver,
    Journey,
    Kind,
    Reading,
    Requirement,
    Step,
    Symptom,
    SymptomHint,
    System,
    Trade,
    WarningSticker,
)

_FOLDER = Path(__file__).resolve().parent
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WORD_LISTS = {
    "when",
    "kinds",
    "at",
    "needs",
    "gives",
    "cautions",
    "after",
    "usual",
    "lines",
    "write",
    "possible",
}


@cache
def load_trade() -> Trade:
    """The whole trade; read once a process.

    Raises ValueError naming the file and record when the data is malformed.
    """
    return Trade(
        systems={
            key: _record(System, "systems.yaml", {"id": key, **r}) for key, r in _read("systems.yaml").items()
        },
        kinds={key: _record(Kind, "kinds.yaml", {"id": key, **r}) for key, r in _read("kinds.yaml").items()},
        requirements=tuple(_record(Requirement, "requirements.yaml", r) for r in _read("requirements.yaml")),
        steps=tuple(
            _record(Step, file.name, {**r, "sequence": sequence})
            for file in sorted(_FOLDER.glob("steps-*.yaml"))
            for r in _read(file.name)
            for sequence in _words(r.get("sequence"))
        ),
        cautions={
            key: _record(Caution, "cautions.yaml", {"id": key, **r})
            for key, r in _read("cautions.yaml").items()
        },
        symptoms=tuple(_symptom(r) for r in _read("symptoms.yaml")),
        conditions={
            key: _record(Condition, "conditions.yaml", {"id": key, **r})
            for key, r in _read("conditions.yaml").items()
        },
        journeys={
            key: Journey(_words(r["start"]), _words(r["goal"])) for key, r in _read("journeys.yaml").items()
        },
        stickers={
            key: _record(WarningSticker, "stickers.yaml", {"id": key, **r})
            for key, r in _read("stickers.yaml").items()
        },
        readings=tuple(_record(Reading, "readings.yaml", r) for r in _read("readings.yaml")),
        handed_over=tuple(_record(HandedOver, "handed-over.yaml", r) for r in _read("handed-over.yaml")),
    )


def _read(name: str) -> Any:
    with (_FOLDER / name).open("rb") as stream:
        return yaml.load(stream, Loader=_LOADER) or {}


def _record(cls: Any, name: str, fields: dict[str, Any]) -> Any:
    ready = {key: _words(value) if key in _WORD_LISTS else value for key, value in fields.items()}
    try:
        return cls(**ready)
    except TypeError as error:
        raise ValueError(f"{name}: record {fields.get('id', fields)}: {error}") from error


def _words(value: Any) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value or ())


def _symptom(fields: dict[str, Any]) -> Symptom:
    hints = tuple(_record(SymptomHint, "symptoms.yaml", h) for h in fields.get("hints", ()))
    plain: Symptom = _record(Symptom, "symptoms.yaml", {**fields, "hints": hints})
    return plain
