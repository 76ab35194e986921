"""Files that are there whole or not at all: written beside their place, then moved over it."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import TracebackType

_PREFIX, _SUFFIX = ".guidegen-", ".tmp"
_STALE_S = 3600.0
_LOCKED = (errno.EACCES, errno.EPERM, errno.EBUSY, errno.ETXTBSY)
_PAUSES_S = (0.1, 0.3)


class Writing:
    """Collects the files of one folder; they appear together when the block ends without an error.

    On an error nothing is changed: what was there stays, temporary files go, and so do folders
    that were made for it. Raises OSError as the system gives it.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: list[Path] = []
        self._waiting: list[tuple[Path, Path]] = []
        self._leftovers: list[Path] = []

    def __enter__(self) -> Writing:
        if self._folder.exists() and not self._folder.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, "Not a directory", str(self._folder))
        missing = [p for p in (self._folder, *self._folder.parents) if not p.exists()]
        try:
            for folder in reversed(missing):
                folder.mkdir(exist_ok=True)
                self._made.append(folder)
        except OSError:
            self._remove_folders()
            raise
        _sweep(self._folder)
        return self

    @property
    def names(self) -> tuple[str, ...]:
        """The files added so far, without hidden ones."""
        return tuple(target.name for _, target in self._waiting if not target.name.startswith("."))

    def add(self, name: str, data: bytes) -> None:
        """Writes the data under a temporary name."""
        target = self._folder / name
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, "Is a directory", str(target))
        temporary = self._folder / f"{_PREFIX}{secrets.token_hex(4)}{_SUFFIX}"
        self._waiting.append((temporary, target))
        try:
            # Opened so that the user's umask gives the mode, as with any other file.
            with os.fdopen(os.open(temporary, _FLAGS, 0o666), "wb") as stream:
                stream.write(data)
            with contextlib.suppress(OSError):  # what is replaced keeps its mode
                shutil.copymode(target, temporary)
        except OSError as error:
            raise _naming(error, target) from error

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        done = False
        try:
            if error is None:
                self._move()
                done = True
        finally:
            for temporary in (*(t for t, _ in self._waiting), *self._leftovers):
                with contextlib.suppress(OSError):
                    temporary.unlink(missing_ok=True)
            if not done:
                self._remove_folders()

    def _remove_folders(self) -> None:
        for folder in reversed(self._made):
            with contextlib.suppress(OSError):
                folder.rmdir()

    def _move(self) -> None:
        """Moves all files to their places; when one cannot be moved, those before it are put back."""
        undo: list[Callable[[], object]] = []
        last = len(self._waiting) - 1
        try:
            for n, (temporary, target) in enumerate(self._waiting):
                old = temporary.with_name(f"{temporary.name[: -len(_SUFFIX)]}-old{_SUFFIX}")
                self._leftovers.append(old)
                try:
                    if n < last:  # after the last one nothing can fail
                        undo.append(_second_name(target, old))
                    _replace(temporary, target)
                except OSError as error:
                    raise _naming(error, target) from error
        except BaseException:  # an interruption leaves no half of a pack either
            for step in undo:
                with contextlib.suppress(OSError):
                    step()
            raise


def _second_name(target: Path, old: Path) -> Callable[[], object]:
    """Gives the old file a second name, so that the target is absent at no moment; how to put it back.

    Where the disk has no links, as on most USB sticks, it is copied.
    """
    if not target.exists():
        return partial(target.unlink, missing_ok=True)
    try:
        os.link(target, old)
    except OSError:
        shutil.copy2(target, old)
    return partial(os.replace, old, target)


def _replace(temporary: Path, target: Path) -> None:
    """Moves the file over the target; a lock that is soon gone, as that of a virus scanner, is waited for."""
    for pause_s in _PAUSES_S:
        try:
            return os.replace(temporary, target)
        except OSError as error:
            if error.errno not in _LOCKED:
                raise
        time.sleep(pause_s)
    return os.replace(temporary, target)


_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)


def _naming(error: OSError, target: Path) -> OSError:
    """The same error about the file that the person asked for, not about the temporary one."""
    number, said = error.errno, error.strerror or str(error)
    if number == errno.ENOENT:  # it was there, or made, when the writing began
        number, said = errno.ESTALE, "Moved or deleted meanwhile"
    return OSError(number, said, str(target), getattr(error, "winerror", None))


def _sweep(folder: Path) -> None:
    """Removes what a killed run left behind."""
    for left in folder.glob(f"{_PREFIX}*{_SUFFIX}"):
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > _STALE_S:
                left.unlink()


def write_file(path: Path, data: bytes) -> None:
    """Writes one file whole or not at all; "-" is standard output.

    Raises OSError naming the file.
    """
    if str(path) == "-":
        if sys.stdout is None:
            raise OSError(errno.EBADF, "Standard output is closed")
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    elif path.exists() and not path.is_file() and not path.is_dir():  # a pipe or a device
        path.write_bytes(data)
    else:
        try:
            place = path.resolve() if path.is_symlink() else path  # the link itself stays
        except RuntimeError as error:
            raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from error
        with Writing(place.parent) as writing:
            writing.add(place.name, data)


def write_keeping(path: Path, data: bytes) -> bool:
    """Writes one file as `write_file`; whether another one was there, which is kept as PATH.old.

    What is the same already stays as it is.
    """
    place = path.resolve() if path.is_symlink() else path
    if str(path) == "-" or not place.is_file():
        write_file(path, data)
        return False
    old = place.read_bytes()
    with Writing(place.parent) as writing:
        if old != data:
            writing.add(f"{place.name}.old", old)
        writing.add(place.name, data)
    return old != data
