"""QR codes for addresses (ISO/IEC 18004): square, dark on white, with the quiet zone that scanners need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from urllib.parse import urlsplit

from guidegen.drawing.libraries import segno
from guidegen.drawing.primitives import BLACK, WHITE, Command, Group, Path, Rect, Style
from guidegen.errors import GuidegenError

QUIET_MODULES = 4  # ISO/IEC 18004, quiet zone
SMALLEST_MM = 15.0
SMALLEST_MODULE_MM = 0.33  # common practice for a phone at arm's length, no source


def qr_code(address: str, x: float, y: float, size_mm: float) -> Group:
    """The address as a square code with its corner at x, y; size_mm is the side, quiet zone included.

    Raises GuidegenError for an address that is not http(s) or too long for the size, ValueError for a
    size under 15 mm.
    """
    if size_mm < SMALLEST_MM:
        raise ValueError(f"a code of {size_mm} mm cannot be scanned: {SMALLEST_MM:g} mm at least")
    rows = code_modules(address)
    modules = len(rows) + 2 * QUIET_MODULES
    module_mm = size_mm / modules
    if module_mm < SMALLEST_MODULE_MM:
        raise GuidegenError(
            f"The address {address!r} is too long for a code of {size_mm:g} mm: shorten it, "
            f"or make the code {modules * SMALLEST_MODULE_MM:.0f} mm"
        )
    dark = tuple(command for bar in _bars(rows) for command in _outline(bar, x, y, module_mm))
    return Group(
        (Rect(x, y, size_mm, size_mm, Style(fill=WHITE)), Path(dark, Style(fill=BLACK))),
        css="code",
        title=address,
    )


@lru_cache(maxsize=256)  # the same address stands in several documents
def code_modules(address: str) -> tuple[Sequence[int], ...]:
    """Rows of modules, 1 for dark, without a quiet zone. Raises GuidegenError as `qr_code`."""
    try:
        parts = urlsplit(address)
    except ValueError:
        parts = urlsplit("")
    if parts.scheme not in ("http", "https") or not parts.hostname or any(c.isspace() for c in address):
        raise GuidegenError(f"A code can only hold a web address (http or https), and {address!r} is none")
    library = segno()
    try:
        code = library.make(address, error="m", micro=False)
    except library.DataOverflowError as error:
        raise GuidegenError(f"The address {address[:40]!r}… is too long for a code: shorten it") from error
    return tuple(code.matrix)


def _bars(rows: tuple[Sequence[int], ...]) -> Iterator[tuple[int, int, int]]:
    """Dark modules side by side in one row, as (column, row, length)."""
    for number, row in enumerate(rows):
        start = None
        for column, dark in enumerate([*row, 0]):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                yield (start, number, column - start)
                start = None


def _outline(bar: tuple[int, int, int], x: float, y: float, module_mm: float) -> tuple[Command, ...]:
    column, row, length = bar
    left, right = ((QUIET_MODULES + c) * module_mm + x for c in (column, column + length))
    top, foot = ((QUIET_MODULES + r) * module_mm + y for r in (row, row + 1))
    return (("M", left, top), ("L", right, top), ("L", right, foot), ("L", left, foot), ("Z",))
