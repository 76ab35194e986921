"""Reading a file into data with marks. JSON is YAML, so Python's json says what each file holds."""

from __future__ import annotations

import json
import string
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from guidegen.errors import DescriptionError
from guidegen.vehicle.source import MAX_DEPTH, parse_source

# Texts that YAML may hold as they are (YAML 1.2.2, section 5.1: printable characters).
texts = st.text(st.characters(min_codepoint=0x20, max_codepoint=0xD7FF, exclude_categories=["Cc", "Cs"]))
keys = st.text(string.ascii_lowercase, min_size=1)
scalars = st.one_of(st.none(), st.booleans(), st.integers(-(10**15), 10**15), texts)
trees = st.recursive(
    scalars, lambda t: st.one_of(st.lists(t, max_size=4), st.dictionaries(keys, t, max_size=4))
)
files = st.dictionaries(keys, trees, min_size=1, max_size=6)


@given(files)
def test_data_is_what_the_file_holds(data: dict[str, Any]) -> None:
    assert parse_source(json.dumps(data, ensure_ascii=False).encode(), "x").data == data


@given(files)
def test_every_value_is_marked_where_it_stands(data: dict[str, Any]) -> None:
    text = json.dumps(data, indent=1)
    lines = text.split("\n")
    source = parse_source(text.encode(), "x")
    for path, mark in source.values.items():
        value: Any = data
        for key in path:
            value = value[key]
        start = json.dumps(value)[0] if isinstance(value, (dict, list)) else json.dumps(value)
        assert lines[mark.line - 1][mark.column - 1 :].startswith(start)
    for path, mark in source.keys.items():
        assert lines[mark.line - 1][mark.column - 1 :].startswith(json.dumps(path[-1]))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("yes", True),
        ("No", False),
        ("on", "on"),
        ("off", "off"),
        ("2026-03-14", "2026-03-14"),
        ("0417", "0417"),
        ("1e3", "1e3"),
        ("0x10", "0x10"),
        ("12:30", "12:30"),
        ("1.50", 1.5),
        ("-7", -7),
        ("~", None),
        ('"7"', "7"),
        ("'yes'", "yes"),
    ],
)
def test_only_plain_words_turn_into_values(text: str, value: object) -> None:
    read = parse_source(f"key: {text}\n".encode(), "x").data["key"]
    assert read == value and isinstance(read, type(value))


def test_on_is_a_key() -> None:
    assert parse_source(b"on: nearside\n", "x").data == {"on": "nearside"}


def test_mark_of_what_is_missing_is_that_of_its_block() -> None:
    source = parse_source(b"id: a\ndealer:\n  name: b\n", "x")
    assert (source.mark(("dealer", "phone")).line, source.mark(("nothing",)).line) == (2, 1)


@pytest.mark.parametrize(
    ("raw", "rule", "line", "column"),
    [
        (b"", "file-empty", 1, 1),
        (b"- a\n", "file-not-a-map", 1, 1),
        (b"id: a\n\tname: b\n", "yaml-tab", 2, 1),
        (b"id: a\nname: b: c\n", "yaml", 2, 8),
        (b"id: a\nid: b\n", "key-twice", 2, 1),
        (b"id: a\ndealer:\n  colour: #1f4e5f\n", "value-lost", 3, 11),
        (b"id:  #12 # and more", "value-lost", 1, 6),
        (b"a: &x 1\nb: *x\n", "file-anchor", 1, 4),
        (b"id: a\n---\nid: b\n", "file-two", 2, 1),
        (b"id: a\nname: \xff\n", "file-encoding", 2, 7),
        (b"a: " + b"[" * (MAX_DEPTH + 2) + b"]" * (MAX_DEPTH + 2), "file-depth", 1, MAX_DEPTH + 4),
    ],
)
def test_what_cannot_be_read_says_where(raw: bytes, rule: str, line: int, column: int) -> None:
    with pytest.raises(DescriptionError) as caught:
        parse_source(raw, "x")
    (finding,) = caught.value.findings
    assert (finding.rule, finding.mark.line, finding.mark.column) == (rule, line, column)


@given(st.binary(max_size=200))
def test_any_bytes_are_data_or_findings(raw: bytes) -> None:
    try:
        assert isinstance(parse_source(raw, "x").data, dict)
    except DescriptionError as error:
        assert error.findings


SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
LOADERS = ["SafeLoader", "CSafeLoader"]  # the latter only where PyYAML was built with libyaml


@pytest.mark.parametrize("file", SAMPLES, ids=lambda file: file.stem)
def test_a_file_is_read_alike_without_libyaml(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read = []
    for loader in LOADERS:
        monkeypatch.setattr("guidegen.vehicle.source._LOADER", getattr(yaml, loader))
        read.append(parse_source(file.read_bytes(), file.name))
    assert read[0] == read[1]


@pytest.mark.parametrize("loader", LOADERS)
@pytest.mark.parametrize("character", ["\x01", "\x7f", "\x80", "\ufffe"])
def test_a_control_character_is_told_where_it_stands(
    loader: str, character: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """YAML 1.2.2, section 5.1, allows none of these."""
    monkeypatch.setattr("guidegen.vehicle.source._LOADER", getattr(yaml, loader))
    with pytest.raises(DescriptionError) as caught:
        parse_source(f"id: x\nname: Kö{character}b\n".encode(), "x")
    (finding,) = caught.value.findings
    assert "control character" in finding.message
    assert (finding.mark.line, finding.mark.column) == (2, 9)


@pytest.mark.parametrize(
    "text", ["id: # to check\n", "id:\n", "id: '#1'\n", "id: ''  #remark\n", "id: a #1\n", "id: #\n"]
)
def test_a_remark_is_no_lost_value(text: str) -> None:
    assert list(parse_source(text.encode(), "x").data) == ["id"]
