"""Where the shipped data lie: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def data_folder(name: str) -> Path:
    """The folder "layouts" or "symbols"; the installed copy wins.

    Raises FileNotFoundError when the installation is incomplete.
    """
    for place in (_PACKAGE / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"guidegen's own folder {name!r} is missing: install guidegen again")
