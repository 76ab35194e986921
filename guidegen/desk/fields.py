"""What a description can say, as fields for a form: found in its schema, so that nothing is listed twice."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import cache
from types import NoneType
from typing import Any, Literal, TypeAlias, get_args, get_origin

from msgspec import Struct
from pydantic.fields import FieldInfo

from guidegen.vehicle import written
from guidegen.vehicle.description import Part as Described
from guidegen.vehicle.schema import Twin, schema_of, type_of

Form: TypeAlias = Literal[
    "text", "choice", "yes-no", "number", "quantity", "quantities", "words", "date", "height", "data"
]
Path: TypeAlias = tuple[str, ...]

_EXAMPLES: dict[Any, str] = {
    type_of(written.Length): "7.35 m",
    type_of(written.SignedLength): "1.20 m",
    type_of(written.Power): "850 W",
    type_of(written.Mass): "11 kg",
    type_of(written.Volume): "100 l",
    type_of(written.Charge): "100 Ah",
    type_of(written.Current): "16 A",
    type_of(written.Time): "3 h",
    type_of(written.CrossSection): "2.5 mm²",
    type_of(written.GasRate): "160 g/h",
}
_SHOWN: dict[Form, str] = {
    "number": "a whole number",
    "yes-no": "yes or no",
    "date": "2026-03-14",
    "height": "low, or 0.9 m",
}
_LABELS = {
    "water_per_person_day": "water per person and day",
    "mtplm": "MTPLM",
    "miro": "MIRO",
    "dc": "on 12 V",
    "mains": "on 230 V",
}
# In place of the example of its kind of quantity, one of the size that goes with the name.
_OF_SIZE = {
    ("width", "7.35 m"): "2.31 m",
    ("height", "7.35 m"): "2.90 m",
    ("mtplm", "11 kg"): "3500 kg",
    ("miro", "11 kg"): "2950 kg",
    ("options", "11 kg"): "120 kg",
    ("luggage", "11 kg"): "150 kg",
    ("water_per_person_day", "100 l"): "15 l",
    ("lead_length", "7.35 m"): "25 m",
    ("cassette", "100 l"): "18 l",
    ("gas", "850 W"): "5 kW",
    ("diesel", "850 W"): "4 kW",
}
_ABOUT = {
    "id": "small letters, digits and hyphens",
    "printed": "the date on the prints",
    "persons": "who travel, as a rule",
    "options": "what was fitted on top of the MIRO",
    "mtplm": "the plated maximum mass",
    "miro": "mass in running order",
    "logo": "a picture file beside the vehicle's",
    "photo": "a picture file beside the vehicle's",
    "colour": "six digits such as #1f4e5f",
    "web": "https://…",
}


class Field(Struct, frozen=True):
    """One value of the description; `key` is the word in the file, the last of `path`."""

    path: Path
    form: Form
    required: bool
    default: str = ""  # what a blank means
    choices: tuple[str, ...] = ()
    example: str = ""
    about: str = ""

    @property
    def key(self) -> str:
        return self.path[-1]

    @property
    def label(self) -> str:
        return _LABELS.get(self.key) or self.key.replace("_", " ")

    @property
    def hint(self) -> str:
        """How to write it, and what a blank means."""
        blank = f"blank: {self.default}" if self.default else ""
        return "; ".join(
            part for part in (self._shown, blank, self.about or _ABOUT.get(self.key, "")) if part
        )

    @property
    def _shown(self) -> str:
        if self.form == "choice":
            return either(self.choices)
        if self.form == "quantities":
            return f"such as {self.example}, {self.example}"
        return f"such as {self.example}" if self.example else _SHOWN.get(self.form, "")


def either(words: tuple[str, ...]) -> str:
    """ "a", "a or b", "a, b or c"."""
    return " or ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


class Block(Struct, frozen=True):
    """A group of fields; one that is optional is fitted or not."""

    path: Path
    optional: bool
    parts: tuple[Field | Block | Table, ...]


class Table(Struct, frozen=True):
    """A list of records with the same fields, or of words to values where `pairs`."""

    path: Path
    columns: tuple[Field, ...]
    pairs: bool = False


Part: TypeAlias = Field | Block | Table


@cache
def parts_of(described: type[Described]) -> tuple[Part, ...]:
    """All that such a part of the description can hold, in its order."""
    return _parts(schema_of(described), ())


def fields_of(described: type[Described]) -> tuple[Field, ...]:
    """Its plain values."""
    return _fields(parts_of(described))


def all_fields(parts: tuple[Part, ...]) -> Iterator[Field]:
    """Every plain value at any depth, without those of tables."""
    for part in parts:
        if isinstance(part, Block):
            yield from all_fields(part.parts)
        elif isinstance(part, Field):
            yield part


def _parts(twin: type[Twin], path: Path) -> tuple[Part, ...]:
    return tuple(_part(field, (*path, field.alias or name)) for name, field in twin.model_fields.items())


def _fields(parts: tuple[Part, ...]) -> tuple[Field, ...]:
    return tuple(part for part in parts if isinstance(part, Field))


def _part(field: FieldInfo, path: Path) -> Part:
    optional = NoneType in get_args(field.annotation)
    annotation = _without_none(field.annotation)
    if _is_twin(annotation):
        return Block(path, optional, _parts(annotation, path))
    item = get_args(annotation)[0] if get_origin(annotation) is tuple else None
    if item is not None and _is_twin(item):
        return Table(path, _fields(_parts(item, ())))
    if get_origin(annotation) is dict:
        if get_args(annotation)[1] is object:
            return Field(path, "data", field.is_required())
        return Table(path, (), pairs=True)
    form, example = _form(field, annotation)
    return Field(
        path,
        form,
        field.is_required(),
        _default(field),
        _choices(annotation),
        _OF_SIZE.get((path[-1], example), example),
        field.description or "",
    )


def _default(field: FieldInfo) -> str:
    words: dict[Any, str] = {False: "no", True: "yes"}
    if isinstance(field.default, bool):
        return words[field.default]
    return str(field.default) if isinstance(field.default, (str, int)) else ""


def _form(field: FieldInfo, annotation: Any) -> tuple[Form, str]:
    if get_origin(annotation) is Literal:
        return ("choice" if isinstance(get_args(annotation)[0], str) else "number"), ""
    if get_origin(annotation) is tuple:
        example = _example(get_args(annotation)[0], [])
        return ("quantities", example) if example else ("words", "")
    example = _example(annotation, field.metadata)
    if example:
        return "quantity", example
    if _choices(annotation):
        others = [
            a for a in get_args(_bare(annotation)) if get_origin(a) is not Literal and a is not NoneType
        ]
        return ("height" if others else "choice"), ""
    forms: dict[Any, Form] = {bool: "yes-no", int: "number", date: "date"}
    return forms.get(_bare(annotation), "text"), ""


def _example(annotation: Any, metadata: list[Any]) -> str:
    """The example of the quantity; the schema keeps what an annotation adds apart from its type."""
    if annotation in _EXAMPLES:
        return _EXAMPLES[annotation]
    for known, example in _EXAMPLES.items():
        if known.__metadata__[0] in metadata:
            return example
    return ""


def _choices(annotation: Any) -> tuple[str, ...]:
    if get_origin(annotation) is Literal:
        return tuple(c for c in get_args(annotation) if isinstance(c, str))
    literals = [a for a in get_args(_bare(annotation)) if get_origin(a) is Literal]
    return tuple(str(c) for literal in literals for c in get_args(literal))


def _without_none(annotation: Any) -> Any:
    kept = tuple(a for a in get_args(annotation) if a is not NoneType)
    if NoneType in get_args(annotation) and len(kept) == 1:
        return kept[0]
    return annotation


def _bare(annotation: Any) -> Any:
    """The type within Annotated."""
    return get_args(annotation)[0] if hasattr(annotation, "__metadata__") else annotation


def _is_twin(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, Twin)
