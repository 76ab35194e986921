"""Turns the schema's refusals into messages that a clerk understands, each with its place."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, get_args

from guidegen.errors import Finding
from guidegen.vehicle.description import Description
from guidegen.vehicle.source import KeyPath, Source

if TYPE_CHECKING:
    from pydantic import BaseModel

_TYPES = {
    "string_type": ("text is needed here", "put it in quotes if it looks like a number or a list"),
    "int_type": ("a whole number is needed here", "such as 2"),
    "int_from_float": ("a whole number is needed here", "such as 2"),
    "int_parsing": ("a whole number is needed here", "such as 2"),
    "float_type": ("a number is needed here", ""),
    "float_parsing": ("a number is needed here", ""),
    "bool_type": ("yes or no is needed here", ""),
    "bool_parsing": ("yes or no is needed here", ""),
    "tuple_type": ("a list is needed here", "start each entry on a line of its own with “- ”"),
    "list_type": ("a list is needed here", "start each entry on a line of its own with “- ”"),
    "dict_type": ("a block of “key: value” lines is needed here", ""),
    "model_type": ("a block of “key: value” lines is needed here", ""),
    "model_attributes_type": ("a block of “key: value” lines is needed here", ""),
    "date_from_datetime_parsing": ("a date is needed here", "write it as year-month-day, such as 2026-03-14"),
    "date_parsing": ("a date is needed here", "write it as year-month-day, such as 2026-03-14"),
    "date_type": ("a date is needed here", "write it as year-month-day, such as 2026-03-14"),
}
_MOST = 200  # faults explained
_PATTERNS = {
    "^#": ("is not a colour", "write six hexadecimal digits after #, such as “#1f5c99”"),
    "^https": ("is not a web address", "it must start with http:// or https:// and hold no spaces"),
    "^[A-Z]": (
        "is not a grid square",
        "write a letter, then a figure, such as “F3”; I and O are letters, 1 and 0 figures",
    ),
    "^[a-z0-9]": ("is not an id", "use small letters, digits and single hyphens, such as “pump-switch”"),
}


def findings_of(error: ValueError, source: Source) -> tuple[Finding, ...]:
    """One finding for each refusal, a pydantic.ValidationError's, in the order of the file.

    Of very many the first alone.
    """
    from pydantic import ValidationError

    assert isinstance(error, ValidationError)
    errors = error.errors(include_url=False)
    found = [_finding(e, source) for e in errors[:_MOST]]
    if len(errors) > _MOST:
        message = f"{len(errors) - _MOST} more faults are not listed"
        found.append(Finding("error", "faults-many", message, "mend these first", found[-1].mark))
    unique = {(f.mark, f.message): f for f in found}
    return tuple(sorted(unique.values(), key=lambda f: (f.mark.line, f.mark.column)))


def _finding(error: Any, source: Source) -> Finding:
    path: KeyPath = tuple(
        p for p in error["loc"] if isinstance(p, int) or p in _written(error["loc"], source)
    )
    kind, value, context = error["type"], error.get("input"), error.get("ctx", {})
    key = str(error["loc"][-1])
    if kind == "extra_forbidden":
        hint = closest(key, tuple(keys_at(tuple(error["loc"][:-1]))))
        return Finding(
            "error", "key-unknown", f"“{key}” is not a key here", hint, source.mark(path, key=True)
        )
    if kind == "missing":
        message, hint = f"“{key}” is missing", f"add a line “{key}: …”"
        mark = source.mark(tuple(error["loc"][:-1])) if len(error["loc"]) > 1 else source.mark(())
        return Finding("error", "key-missing", message, hint, mark)
    mark = source.mark(path)
    if kind == "literal_error":
        choices = tuple(c.strip("'") for c in context["expected"].replace(" or ", ", ").split(", "))
        return Finding(
            "error",
            "value-unknown",
            f"“{value}” is not known for “{key}”",
            closest(str(value), choices),
            mark,
        )
    if kind == "value_error":
        return Finding("error", "value", f"{_name(error['loc'])}: {context['error']}", "", mark)
    if kind == "string_pattern_mismatch":
        text = next(
            (v for k, v in _PATTERNS.items() if context["pattern"].startswith(k)), ("is not allowed here", "")
        )
        return Finding("error", "value", f"“{value}” {text[0]}", text[1], mark)
    if kind in _TYPES:
        message, hint = _TYPES[kind]
        if value is None:
            message, hint = "nothing is written here", "fill it in, or take its line out"
        return Finding("error", "value-type", f"{_name(error['loc'])}: {message}", hint, mark)
    if isinstance(value, str) and kind.startswith("too_"):  # characters, not entries of a list
        kind = f"string_{kind}"
    return Finding(
        "error", "value", f"{_name(error['loc'])}: {_limits(kind, context) or error['msg']}", "", mark
    )


def _limits(kind: str, context: dict[str, Any]) -> str:
    words = {
        "greater_than_equal": "must be {ge} or more",
        "less_than_equal": "must be {le} or less",
        "string_too_long": "is longer than {max_length} characters",
        "string_too_short": "must not be empty",
        "too_long": "holds more than {max_length} entries",
    }
    return words[kind].format(**context) if kind in words else ""


def _name(loc: tuple[str | int, ...]) -> str:
    words = [str(p) for p in loc if isinstance(p, str)]
    return f"“{words[-1]}”" if words else "the file"


def _written(loc: tuple[str | int, ...], source: Source) -> set[str]:
    """The parts of an error's path that stand in the file (a union adds parts of its own)."""
    path: KeyPath = ()
    found: set[str] = set()
    for part in loc:
        if (*path, part) in source.values or (*path, part) in source.keys:
            path = (*path, part)
            if isinstance(part, str):
                found.add(part)
    return found


def closest(word: str, choices: tuple[str, ...]) -> str:
    """A hint that names what was probably meant, else what there is."""
    close = get_close_matches(word, choices, 1, 0.6)
    if close:
        return f"did you mean “{close[0]}”?"
    return "there are: " + ", ".join(choices) if choices else ""


def keys_at(path: tuple[str | int, ...]) -> Iterator[str]:
    """The keys allowed in the block at a path of the description."""
    from guidegen.vehicle.schema import schema_of

    model: Any = schema_of(Description)
    for part in path:
        if isinstance(part, int) or model is None:
            continue
        field = next((f for n, f in model.model_fields.items() if part in (n, f.alias)), None)
        model = _model_in(field.annotation) if field else None
    if model is not None:
        yield from (field.alias or name for name, field in model.model_fields.items())


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if hasattr(annotation, "model_fields"):
        return annotation  # type: ignore[no-any-return]
    return next((m for m in map(_model_in, get_args(annotation)) if m), None)
