"""svgwrite without the patterns by which it checks attributes: they are compiled when it is asked to check.

Drawings are made with debug=False, which asks for none; to compile them takes longer than to write a plan.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import import_module
from types import ModuleType

_PATTERNS = "svgwrite.data.svgparser"


class _Uncompiled(ModuleType):
    """Stands for the module of patterns, which is loaded when one of its functions is called."""

    def __getattr__(self, name: str) -> Callable[[str], bool]:
        if not name.startswith("is_valid_"):
            raise AttributeError(name)

        def check(term: str) -> bool:
            if sys.modules.get(_PATTERNS) is self:
                del sys.modules[_PATTERNS]
            found: bool = getattr(import_module(_PATTERNS), name)(term)
            return found

        return check


def svgwrite() -> ModuleType:
    """The library, loaded."""
    sys.modules.setdefault(_PATTERNS, _Uncompiled(_PATTERNS))
    return import_module("svgwrite")
