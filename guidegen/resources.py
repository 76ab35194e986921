"""Where the shipped data lie, inside the installed package or beside it in a checkout, and what they say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from guidegen.compiled import compiled

_PACKAGE = Path(__file__).resolve().parent


def data_folder(name: str) -> Path:
    """The folder "layouts" or "symbols"; the installed copy wins.

    Raises FileNotFoundError when the installation is incomplete.
    """
    for place in (_PACKAGE / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"guidegen's own folder {name!r} is missing: install guidegen again")


def shipped_yaml(file: Path) -> Any:
    """The data of one of the YAML files that are shipped; None of an empty one. Raises yaml.YAMLError."""
    return compiled(f"{file.parent.name}-{file.stem}", (file, __file__), lambda: _read(file))


def _read(file: Path) -> Any:
    import yaml

    return yaml.load(file.read_bytes(), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
