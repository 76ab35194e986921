"""Which description files a command line names: files as they are, folders as the files in them."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from guidegen.errors import GuidegenError

SUFFIXES = (".yaml", ".yml")


class NoDescriptionError(GuidegenError):
    """A folder without one description."""

    exit_code = 2


def description_files(places: Iterable[Path]) -> Iterator[Path]:
    """The files, each once, in the order named; those of a folder by name.

    Raises NoDescriptionError for a folder that has none.
    """
    seen: set[str] = set()
    for place in places:
        for file in _in_folder(place) if place.is_dir() else [place]:
            key = os.path.realpath(file)
            if key not in seen:
                seen.add(key)
                yield file


def _in_folder(folder: Path) -> list[Path]:
    """Without those that a system hides and keeps for itself ("._name.yaml")."""
    files = sorted(
        f
        for f in folder.iterdir()
        if f.suffix.lower() in SUFFIXES and not f.name.startswith(".") and f.is_file()
    )
    if not files:
        raise NoDescriptionError(f"{folder}: no vehicle description (*.yaml) in this folder")
    return files
