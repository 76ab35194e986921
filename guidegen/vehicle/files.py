"""Pictures named in a description: they stay in the vehicle's own folder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from guidegen.errors import Finding, Mark

_PHOTO = (".jpg", ".jpeg", ".png")
_MAX_BYTES = 40_000_000


def picture_file(name: str, folder: Path, mark: Mark, *, vector: bool = False) -> Iterator[Finding]:
    """What is wrong with a named picture; its contents are judged when it is drawn."""
    try:
        yield from _faults(name, folder, mark, (*_PHOTO, ".svg") if vector else _PHOTO)
    except (OSError, ValueError, RuntimeError):  # a name too long, with a NUL, or of links in a circle
        yield Finding("error", "file-missing", "no file can have this name", "check the name", mark)


def _faults(name: str, folder: Path, mark: Mark, allowed: tuple[str, ...]) -> Iterator[Finding]:
    path = folder / name
    if Path(name).is_absolute() or not path.resolve().is_relative_to(folder.resolve()):
        hint = "copy the picture into the folder of the vehicle file"
        yield Finding("error", "file-outside", f"“{name}” lies outside the vehicle's folder", hint, mark)
    elif path.suffix.lower() not in allowed:
        yield Finding("error", "file-kind", f"“{name}” is not a picture", f"use {', '.join(allowed)}", mark)
    elif not path.is_file():
        hint = "check the name; it is looked for beside the vehicle file"
        yield Finding("error", "file-missing", f"there is no file “{name}”", hint, mark)
    elif path.stat().st_size > _MAX_BYTES:
        yield Finding(
            "error",
            "file-large",
            f"“{name}” is larger than {_MAX_BYTES // 1_000_000} MB",
            "scale it down",
            mark,
        )
    elif path.suffix.lower() in _PHOTO and not _is_photo(path):
        hint = "save it as JPEG; a photo of a telephone may be HEIC under another name"
        yield Finding("error", "file-kind", f"“{name}” holds no JPEG or PNG picture", hint, mark)


def _is_photo(path: Path) -> bool:
    """Whether the file begins as one (ISO/IEC 10918-1, SOI; ISO/IEC 15948, signature; RFC 9649, header).

    One that cannot be opened is told of when it is drawn.
    """
    try:
        with path.open("rb") as stream:
            start = stream.read(12)
    except OSError:
        return True
    webp = start[:4] == b"RIFF" and start[8:] == b"WEBP"
    return webp or start.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"))
