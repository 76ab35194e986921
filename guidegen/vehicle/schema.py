"""The schema of a description as pydantic knows it: every fault of a file, and the JSON Schema.

Made from the classes of `description`, field for field, when it is first asked for: what is sound is read
without it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, reduce
from operator import or_
from types import UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from msgspec import NODEFAULT, Meta, structs
from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    create_model,
)

from guidegen.vehicle import written
from guidegen.vehicle.description import Part
from guidegen.vehicle.model import Height
from guidegen.vehicle.units import EXAMPLES, pattern_of
from guidegen.vehicle.written import Quantity, Text, Written

AnyPart = TypeVar("AnyPart", bound=Part)

# What msgspec and pydantic call alike.
_LIMITS = ("gt", "ge", "lt", "le", "multiple_of", "min_length", "max_length", "pattern", "description")


class Twin(BaseModel):
    """What the twins of all parts share."""

    model_config = ConfigDict(extra="forbid", frozen=True, coerce_numbers_to_str=True, defer_build=True)


def read(part: type[AnyPart], data: object) -> AnyPart:
    """The part that the data describe. Raises ValidationError, which tells every fault."""
    return part(**_values(part, schema_of(part).model_validate(data)))


@cache
def schema_of(part: type[Part]) -> type[Twin]:
    """The part's twin: fields, choices and limits are the same."""
    made: dict[str, Any] = {field.name: _field(field) for field in structs.fields(part)}
    return create_model(part.__name__, __base__=Twin, __doc__=part.__doc__, **made)


def _values(part: type[Part], twin: BaseModel) -> dict[str, Any]:
    return {name: _value(getattr(twin, name)) for name in part.__struct_fields__}


def _value(value: Any) -> Any:
    """The value with parts for their twins."""
    if isinstance(value, Twin):
        part = _PARTS[type(value).__name__]
        return part(**_values(part, value))
    return tuple(map(_value, value)) if isinstance(value, tuple) else value


def _field(field: structs.FieldInfo) -> tuple[Any, Any]:
    """Type and field of the twin for one of the part's."""
    hint, limits, blank = _apart(field.type)
    kind = _twin(hint)
    if blank is not None:
        meant = BeforeValidator(
            lambda value: blank if value is None else value, json_schema_input_type=kind | None
        )
        kind = _annotated(kind, meant)
    if field.encode_name != field.name:
        limits["alias"] = field.encode_name
    if isinstance(field.default, Part):
        limits["default_factory"] = schema_of(type(field.default))
    elif field.default is not NODEFAULT:
        limits["default"] = field.default
    elif field.default_factory is not NODEFAULT:
        limits["default"] = field.default_factory()
    return kind, Field(**limits)


def _apart(hint: Any) -> tuple[Any, dict[str, Any], Any]:
    """The bare type, its limits by pydantic's names, and what a blank means where it means something."""
    if get_origin(hint) is not Annotated:
        return hint, {}, None
    bare, *metas = get_args(hint)
    limits: dict[str, Any] = {"strict": True} if bare is int else {}
    blank = None
    for meta in metas:
        assert isinstance(meta, Meta)
        limits |= {name: getattr(meta, name) for name in _LIMITS if getattr(meta, name) is not None}
        blank = (meta.extra or {}).get("blank", blank)
    return bare, limits, blank


def _twin(hint: Any) -> Any:
    """The type as pydantic knows it."""
    if get_origin(hint) is Annotated:
        bare, limits, _ = _apart(hint)
        return _annotated(_twin(bare), Field(**limits))
    if isinstance(hint, type) and issubclass(hint, Part):
        return schema_of(hint)
    if isinstance(hint, type) and issubclass(hint, Written):
        return type_of(hint)
    if hint is Any:
        return object
    if get_origin(hint) in (None, Literal):
        return hint
    arguments = tuple(a if a is Ellipsis else _twin(a) for a in get_args(hint))
    return reduce(or_, arguments) if get_origin(hint) in (Union, UnionType) else get_origin(hint)[arguments]


def _annotated(bare: Any, *more: object) -> Any:
    return Annotated[(bare, *more)]


@cache
def type_of(kind: Any) -> Any:
    """A type of `written`, as pydantic knows it."""
    kinds: Any = written  # their names mean plain types to a type checker
    if issubclass(kind, Quantity):
        return _read(float, kind.read, _quantity(kind))
    if issubclass(kind, Text):
        return _text(kind)
    if kind is kinds.Ids:
        return _read(_twin(tuple[kinds.Id, ...]), _as_list, _twin(kinds.Id | list[kinds.Id]))
    if kind is kinds.ReadingValue:
        return _read(str | int | float, written.answer, str | int | float | bool)
    if kind is kinds.HeightOrLength:
        return _read(Height | float, written.height, Height | _quantity(kinds.SignedLength))
    raise TypeError(kind)


def _read(kind: Any, read: Callable[[Any], object], as_written: Any) -> Any:
    """The type of what `read` makes of what a file may hold there."""
    return _annotated(kind, BeforeValidator(read, json_schema_input_type=as_written))


def _quantity(kind: type[Quantity]) -> Any:
    """The type of such a quantity as the file holds it: a text of a figure with its unit."""
    pattern = pattern_of(kind.dimension, signed=kind.signed)
    return Annotated[str, Field(pattern=pattern, examples=[EXAMPLES[kind.dimension]])]


def _text(kind: type[Text]) -> Any:
    limits = StringConstraints(
        pattern=kind.pattern or None,
        min_length=kind.shortest or None,
        max_length=kind.longest,
        strip_whitespace=kind.one_line or None,
    )
    before = (BeforeValidator(_on_one_line),) if kind.one_line else ()
    return _annotated(str, *before, limits, AfterValidator(kind.sound))


def _on_one_line(value: object) -> object:
    return written.on_one_line(value).strip(" ") if isinstance(value, str) else value


def _as_list(value: object) -> object:
    return (value,) if isinstance(value, str) else value


def _parts(part: type[Part]) -> dict[str, type[Part]]:
    """All kinds of parts by their names."""
    return {
        part.__name__: part,
        **{n: p for below in part.__subclasses__() for n, p in _parts(below).items()},
    }


_PARTS = _parts(Part)
