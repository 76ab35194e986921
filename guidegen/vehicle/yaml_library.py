"""PyYAML, whose patterns are compiled when they are first asked: the one that its own reader has for control
characters takes half as long as all the rest of the library, and libyaml reads our files.
"""

from __future__ import annotations

import re
import sys
from importlib import import_module
from typing import Any

__all__ = ["yaml"]


class _Pattern:
    """Stands for a compiled pattern."""

    def __init__(self, pattern: Any, flags: int = 0) -> None:
        self._given = (pattern, flags)

    def __getattr__(self, name: str) -> Any:
        found = getattr(re.compile(*self._given), name)
        setattr(self, name, found)
        return found


def _load() -> None:
    compiles = re.compile
    re.compile = _Pattern  # type: ignore[assignment]
    try:
        import_module("yaml")
    finally:
        re.compile = compiles


if "yaml" not in sys.modules:
    _load()

import yaml  # noqa: E402
