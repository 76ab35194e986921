"""The YAML files that are shipped, against PyYAML's own reading of them."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
import yaml

import guidegen
from guidegen.resources import data_folder, shipped_yaml

PACKAGE = Path(guidegen.__file__).parent
FILES = sorted({*PACKAGE.rglob("*.yaml"), *data_folder("layouts").glob("*.yaml")})


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}-{file.stem}")
def test_a_shipped_file_is_kept_as_the_library_reads_it(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path))
    expected = yaml.safe_load(file.read_bytes())
    assert expected
    assert [shipped_yaml(file), shipped_yaml(file)] == [expected, expected]


def test_each_has_a_name_of_its_own() -> None:
    names = [f"{file.parent.name}-{file.stem}" for file in FILES]
    assert len(names) == len(set(names))


def test_what_is_no_yaml_is_told(tmp_path: Path) -> None:
    file = tmp_path / "broken.yaml"
    file.write_text("a: [1")
    with pytest.raises(yaml.YAMLError):
        shipped_yaml(file)
