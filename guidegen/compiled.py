"""What takes long to work out of shipped files is worked out once, and kept as Python keeps its modules.

It lies in __pycache__ beside this module, is worked out anew when one of the files is another, and is not
kept where Python is not to write (-B, PYTHONDONTWRITEBYTECODE) or may not.
"""

from __future__ import annotations

import marshal
import os
from collections.abc import Callable, Iterable
from importlib.machinery import SourceFileLoader
from importlib.util import source_hash
from pathlib import Path
from types import CodeType
from typing import Any

_FOLDER = Path(__file__).resolve().parent


def compiled(name: str, files: Iterable[str | Path], make: Callable[[], Any]) -> Any:
    """What `make` returns: text, bytes, numbers, None, and tuples, lists, sets and mappings of these.

    name: of what is kept, no other's. files: all that it depends on, also the module of `make`.
    Raises what `make` raises, OSError when there is no such file.
    """
    loader = _Loader(name, tuple(map(str, files)), make)
    code = loader.get_code(loader.name)
    return marshal.loads(eval(code)) if code else None


class _Loader(SourceFileLoader):
    """Loads a module that has no file of its own, and is as new as the files that it depends on."""

    def __init__(self, name: str, files: tuple[str, ...], make: Callable[[], Any]) -> None:
        super().__init__(f"of-{name}", str(_FOLDER / f"of-{name}.py"))
        self._files = files
        self._make = make

    def path_stats(self, path: str | bytes | os.PathLike[str]) -> dict[str, Any]:
        """In place of one file's time, 32 bits of what tells all these files from others."""
        told = [(file, *_told(os.stat(file))) for file in self._files]
        return {"mtime": int.from_bytes(source_hash(repr(told).encode())[:4], "little"), "size": None}

    def get_data(self, path: str) -> bytes:
        return b"" if path == self.path else super().get_data(path)

    def source_to_code(self, data: Any, path: Any, **_: Any) -> CodeType:  # type: ignore[override]
        return compile(repr(marshal.dumps(self._make())), str(path), "eval")


def _told(file: os.stat_result) -> tuple[int, ...]:
    """What changes with a file: on most systems nobody can set the time of its last change."""
    return file.st_mtime_ns, file.st_ctime_ns, file.st_size
