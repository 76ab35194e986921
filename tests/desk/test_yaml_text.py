"""Text written by the desk reads back as the same data, judged by the description's own reader."""

from __future__ import annotations

from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from guidegen.desk.yaml_text import entry, flow
from guidegen.vehicle.source import parse_source

TEXT = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00"), max_size=40)
NUMBER = st.integers(-(10**15), 10**15) | st.floats(-1e9, 1e9, allow_nan=False).map(lambda x: round(x, 6))
KEY = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=12)
VALUE = st.recursive(
    TEXT | st.booleans() | NUMBER | st.none(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEY, inner, max_size=4),
    max_leaves=12,
)


def read(lines: str) -> Any:
    return parse_source(lines.encode(), "x").data


@settings(max_examples=120, deadline=None)
@given(VALUE)
def test_any_value_on_one_line(value: Any) -> None:
    text = flow(value)
    assert "\n" not in text
    assert read(f"key: {text}")["key"] == value


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(KEY, VALUE, min_size=1, max_size=5))
def test_any_block(data: dict[str, Any]) -> None:
    assert read("\n".join(line for key, value in data.items() for line in entry(key, value))) == data


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(KEY, TEXT, min_size=1))
def test_it_is_yaml_for_others_too(data: dict[str, str]) -> None:
    # Judge: PyYAML's base loader, which takes every scalar for text.
    text = "\n".join(line for key, value in data.items() for line in entry(key, value))
    assert yaml.load(text, Loader=yaml.BaseLoader) == data


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("12 Example Quay, Sampleton", "12 Example Quay, Sampleton"),
        ("yes", '"yes"'),
        ("12", '"12"'),
        (True, "yes"),
        ("2026-03-14", "2026-03-14"),
        ("7.35 m", "7.35 m"),
        ("", '""'),
    ],
)
def test_texts_are_quoted_only_where_they_must_be(value: Any, text: str) -> None:
    assert list(entry("key", value)) == [f"key: {text}"]


def test_what_is_too_long_for_a_line_becomes_a_block() -> None:
    long = "word " * 20 + "end"
    assert list(entry("a", {"b": long, "c": [1]})) == ["a:", f"  b: {long}", "  c: [1]"]
    assert list(entry("a", [{"b": long, "c": "d"}])) == ["a:", f"  - b: {long}", "    c: d"]
