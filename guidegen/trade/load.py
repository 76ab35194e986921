"""Reads the trade's YAML files, which lie beside this module, into records.

systems.yaml   id: {letter, name, colour, shape, source, outlined}
kinds.yaml     id: {name, system, symbol, usual: [...], outside, about, told, says, colour,
               form: shape and size}
requirements.yaml, steps.yaml, symptoms.yaml   lists of records
cautions.yaml  id: {signal, text, sign, when, source, told, before: [{text, when}]}
Steps may be spread over several files steps-*.yaml, one for each sequence; a step that several
sequences share names them all. Several records may have one id: the first whose `when` holds counts.
conditions.yaml id: {holds, fails, help, kinds, short}
journeys.yaml   sequence: {start: [...], goal: [...]}
stickers.yaml  id: {title, lines, caution, when, at, signal, sign, numbered, tag, write, source}
readings.yaml, handed-over.yaml   lists of records
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from guidegen.resources import shipped_yaml
from guidegen.trade.records import (
    Caution,
    Condition,
    Form,
    HandedOver,
    Journey,
    Kind,
    Named,
    Reading,
    Requirement,
    Step,
    Symptom,
    SymptomHint,
    System,
    Told,
    Trade,
    WarningSticker,
)

_FOLDER = Path(__file__).resolve().parent
_RECORDS: dict[str, type] = {
    "requirements": Requirement,
    "conditions": Condition,
    "stickers": WarningSticker,
    "readings": Reading,
}
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
    """The trade; each part is read once a process, when it is first asked for.

    Asking for a part raises ValueError naming file and record when its data is malformed.
    """
    return Trade(_part)


def _part(name: str) -> Any:
    """The records of one part, keyed by id or in the order of the file."""
    match name:
        case "systems":
            return {key: _system({"id": key, **r}) for key, r in _read("systems.yaml").items()}
        case "kinds":
            return {key: _kind({"id": key, **r}) for key, r in _read("kinds.yaml").items()}
        case "cautions":
            return {key: _caution({"id": key, **r}) for key, r in _read("cautions.yaml").items()}
        case "steps":
            return tuple(_steps())
        case "symptoms":
            return tuple(_symptom(r) for r in _read("symptoms.yaml"))
        case "handed_over":
            return tuple(_handed_over(r) for r in _read("handed-over.yaml"))
        case "journeys":
            records = _read("journeys.yaml").items()
            return {key: Journey(_words(r["start"]), _words(r["goal"])) for key, r in records}
    file = f"{name.replace('_', '-')}.yaml"
    records, cls = _read(file), _RECORDS[name]
    if isinstance(records, dict):
        return {key: _record(cls, file, {"id": key, **r}) for key, r in records.items()}
    return tuple(_record(cls, file, r) for r in records)


def _steps() -> Iterator[Step]:
    for file in sorted(_FOLDER.glob("steps-*.yaml")):
        for record in _read(file.name):
            for sequence in _words(record.get("sequence")):
                yield _record(Step, file.name, {**record, "sequence": sequence})


def _read(name: str) -> Any:
    return shipped_yaml(_FOLDER / name) or {}


def _record(cls: Any, name: str, fields: dict[str, Any]) -> Any:
    ready = {key: _words(value) if key in _WORD_LISTS else value for key, value in fields.items()}
    try:
        return cls(**ready)
    except TypeError as error:
        raise ValueError(f"{name}: record {fields.get('id', fields)}: {error}") from error


def _words(value: Any) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(value or ())


def _system(fields: dict[str, Any]) -> System:
    named = tuple(_record(Named, "systems.yaml", n) for n in fields.get("named", ()))
    plain: System = _record(System, "systems.yaml", {**fields, "named": named})
    return plain


def _caution(fields: dict[str, Any]) -> Caution:
    texts = {key: _told("cautions.yaml", fields.get(key, ())) for key in ("told", "before")}
    plain: Caution = _record(Caution, "cautions.yaml", {**fields, **texts})
    return plain


def _told(file: str, records: Iterable[dict[str, Any]]) -> tuple[Told, ...]:
    return tuple(_record(Told, file, record) for record in records)


def _handed_over(fields: dict[str, Any]) -> HandedOver:
    named = tuple(_record(Named, "handed-over.yaml", n) for n in fields.get("named", ()))
    thing: HandedOver = _record(HandedOver, "handed-over.yaml", {**fields, "named": named})
    return thing


def _kind(fields: dict[str, Any]) -> Kind:
    form = {"form": _form(fields["form"], fields["id"])} if "form" in fields else {}
    told = _told("kinds.yaml", fields.get("told", ()))
    others = tuple(fields.get("symbol_if", {}).items())
    plain: Kind = _record(Kind, "kinds.yaml", {**fields, **form, "told": told, "symbol_if": others})
    return plain


def _form(words: str, id: str) -> Form:
    """Such as "flap 220 x 200"."""
    try:
        shape, width, _, height = words.split()
        return Form(shape, float(width), float(height))
    except ValueError as error:
        message = f"kinds.yaml: record {id}: a form is written as flap 220 x 200, not {words}"
        raise ValueError(message) from error


def _symptom(fields: dict[str, Any]) -> Symptom:
    hints = tuple(_record(SymptomHint, "symptoms.yaml", h) for h in fields.get("hints", ()))
    plain: Symptom = _record(Symptom, "symptoms.yaml", {**fields, "hints": hints})
    return plain
