"""The trade's files as they are read, against PyYAML's own reading of them."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

import guidegen.trade
from guidegen.trade.shipped_yaml import read_data

FILES = sorted(Path(guidegen.trade.__file__).parent.glob("*.yaml"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_shipped_file_is_read_as_the_library_reads_it(file: Path) -> None:
    text = file.read_bytes()
    assert text
    assert read_data(text) == yaml.load(text, Loader=yaml.CSafeLoader)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "a: 1\nb: [true, no, 2.5, ~, '1', 0x1f, 1:30]",
        "- {a: {b: [c, 'd e']}}\n- |\n  two\n  lines\n- 2026-01-05",
    ],
)
def test_values_are_those_of_yaml_1_1(text: str) -> None:
    assert read_data(text) == yaml.load(text, Loader=yaml.CSafeLoader)


def test_what_is_no_yaml_is_told() -> None:
    with pytest.raises(yaml.YAMLError):
        read_data("a: [1")
