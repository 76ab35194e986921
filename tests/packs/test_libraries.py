"""What libraries say of themselves, against Python's own way of finding it."""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import distribution
from pathlib import Path

import pytest

from guidegen.packs.freshness import _LIBRARIES
from guidegen.packs.libraries import accounts


def test_each_says_what_python_finds() -> None:
    assert accounts(_LIBRARIES) == {name: distribution(name).read_text("METADATA") for name in _LIBRARIES}


def test_the_first_on_the_path_counts_however_it_is_spelt(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for place, name in (("one", "Some.Thing"), ("two", "some_thing")):
        folder = tmp_path / place / f"{name}-1.0.dist-info"
        folder.mkdir(parents=True)
        (folder / "METADATA").write_text(f"Name: {place}", encoding="utf-8")
    monkeypatch.setattr(
        sys, "path", [str(tmp_path / "nowhere"), str(tmp_path / "one"), str(tmp_path / "two")]
    )
    assert accounts(["some-thing"]) == {"some-thing": "Name: one"}


def test_one_that_is_installed_another_way_is_found_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As setuptools leaves it: an .egg-info folder with PKG-INFO."""
    folder = tmp_path / "older-2.5.egg-info"
    folder.mkdir()
    (folder / "PKG-INFO").write_text("Metadata-Version: 2.1\nName: older\nVersion: 2.5\n")
    monkeypatch.setattr(sys, "path", [str(tmp_path)])
    assert "2.5" in accounts(["older"])["older"]
    assert accounts(["not-installed-anywhere"]) == {}


def test_pythons_own_way_is_not_loaded_for_what_lies_there() -> None:
    code = "import sys; from guidegen.packs.freshness import program_hash; program_hash()"
    code += "; print(*sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert "importlib.metadata" not in said.split()
