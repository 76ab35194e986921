"""Libraries for drawing, loaded without those modules of others that most work never asks of them.

These take longer to load than a card takes to write; each is loaded when one of its names is used.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from importlib import import_module
from types import ModuleType
from typing import Any


class _Later(ModuleType):
    """Stands for a module: what is asked of it while others load calls, later on is, the module's own."""

    loading = True

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return partial(self._call, name) if self.loading else getattr(self._itself(), name)

    def _call(self, name: str, *given: Any, **named: Any) -> Any:
        function: Callable[..., Any] = getattr(self._itself(), name)
        return function(*given, **named)

    def _itself(self) -> ModuleType:
        if sys.modules.get(self.__name__) is self:
            del sys.modules[self.__name__]
        return import_module(self.__name__)


@contextmanager
def without(*names: str) -> Iterator[None]:
    """While these modules are stood in for, unless they are loaded."""
    stand_ins = [_Later(name) for name in names if name not in sys.modules]
    sys.modules.update({one.__name__: one for one in stand_ins})
    try:
        yield
    finally:
        for one in stand_ins:
            one.loading = False
            if sys.modules.get(one.__name__) is one:
                del sys.modules[one.__name__]


def svgwrite() -> ModuleType:
    """The library, loaded; without what fetches fonts, and the patterns by which it checks attributes.

    Drawings are made with debug=False, which asks it to check none.
    """
    with without("urllib.request", "svgwrite.data.svgparser"):
        return import_module("svgwrite")


def segno() -> ModuleType:
    """The library, loaded; without what writes its codes to files."""
    with without("segno.writers"):
        import segno as library
    return library
