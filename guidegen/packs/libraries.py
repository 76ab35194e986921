"""What the installed libraries say of themselves, without loading what Python has for all ways to install."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Sequence
from pathlib import Path


def accounts(libraries: Sequence[str]) -> dict[str, str]:
    """By name the core metadata (PyPA) of those that are installed; they name the version."""
    found = {library: _account(library, file) for library, file in account_files(libraries).items()}
    return {library: said for library, said in found.items() if said}


def account_files(libraries: Sequence[str]) -> dict[str, str | None]:
    """By name where each keeps its core metadata; None where that takes Python's own way to find out."""
    folders = _folders()
    places = {library: folders.get(_plain(library)) for library in libraries}
    files = {library: os.path.join(place, "METADATA") if place else "" for library, place in places.items()}
    return {library: file if os.path.isfile(file) else None for library, file in files.items()}


def _account(library: str, file: str | None) -> str:
    try:
        return Path(file).read_text(encoding="utf-8") if file else _looked_up(library)
    except OSError:
        return _looked_up(library)


def _folders() -> dict[str, str]:
    """The .dist-info folders on Python's path, the first of a name (PyPA, recording installed projects)."""
    found: dict[str, str] = {}
    for place in sys.path:
        try:
            names = os.listdir(place or os.curdir)
        except OSError:  # a zip file, or nothing
            continue
        for name in names:
            if name.endswith(".dist-info"):
                found.setdefault(_plain(name.partition("-")[0]), os.path.join(place, name))
    return found


def _plain(name: str) -> str:
    """The name as all spellings of it are compared (PyPA, name normalization)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def _looked_up(library: str) -> str:
    """By Python's own way, which takes as long to load as to look for all; "" where it is not installed."""
    from importlib.metadata import PackageNotFoundError, distribution

    try:
        found = distribution(library)
    except PackageNotFoundError:
        return ""
    return found.read_text("METADATA") or found.version
