"""PNG from a sheet, by way of PDF and the PDFium library.

The file is coded here (ISO/IEC 15948): Pillow filters every row in five ways first, which takes twice as long
as all the rest and makes a drawing's file larger.
"""

from __future__ import annotations

import math
import struct
import zlib
from collections.abc import Callable
from functools import partial

from msgspec.structs import replace

from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.pdfium import first_page
from guidegen.drawing.primitives import Destination, Document, FormField, Group, Item, Link, Sheet
from guidegen.errors import WrongUse

MOST_PIXELS = 300_000_000  # A3 at 1200 dots to the inch, and a gigabyte of memory
_EFFORT = 1  # of zlib, 1 to 9: half the time of the usual 6, for a thirtieth more bytes
_GREY, _COLOUR = 0, 2  # colour types


def write_png(sheet: Sheet, dpi: float = 150, grey: bool = False) -> bytes:
    """The sheet on white paper, dpi pixels to the inch; grey as a black and white printer would print it.

    Links, destinations and form fields are left out. Raises MissingGlyph as write_pdf does,
    WrongUse for more than MOST_PIXELS.
    """
    pdf = partial(write_pdf, Document((replace(sheet, items=_drawn(sheet.items)),)))
    return _png(pdf, sheet.width_mm, sheet.height_mm, dpi, grey)


def png_of(pdf: bytes, width_mm: float, height_mm: float, dpi: float = 150) -> bytes:
    """As write_png, of the first page of a PDF file of ours."""
    return _png(lambda: pdf, width_mm, height_mm, dpi, grey=False)


def _png(file: Callable[[], bytes], width_mm: float, height_mm: float, dpi: float, grey: bool) -> bytes:
    width, height = round(width_mm / 25.4 * dpi), round(height_mm / 25.4 * dpi)
    if width * height > MOST_PIXELS:
        most = int(dpi * math.sqrt(MOST_PIXELS / (width * height)))
        raise WrongUse(
            f"A picture of {width} × {height} pixels is too large: "
            f"ask for fewer dots to the inch, {most} at most"
        )
    pixels = first_page(file(), width, height)
    if not grey:
        return _coded(_COLOUR, width, height, pixels, dpi)
    from PIL import Image

    image = Image.frombytes("RGB", (width, height), pixels.tobytes())
    return _coded(_GREY, width, height, memoryview(image.convert("L").tobytes()), dpi)  # luma of ITU-R BT.601


def _coded(kind: int, width: int, height: int, pixels: memoryview, dpi: float) -> bytes:
    """The file of these pixels, row by row."""
    row = width * (3 if kind == _COLOUR else 1)
    coder = zlib.compressobj(_EFFORT)
    rows = [coder.compress(b"\0" + pixels[at : at + row]) for at in range(0, height * row, row)]
    to_the_metre = round(dpi / 0.0254)
    chunks = (
        (b"IHDR", struct.pack(">2I5B", width, height, 8, kind, 0, 0, 0)),
        (b"pHYs", struct.pack(">2IB", to_the_metre, to_the_metre, 1)),
        (b"IDAT", b"".join((*rows, coder.flush()))),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in chunks
    )


def _drawn(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Without what is not to be seen, which may also point to another sheet."""
    return tuple(
        replace(item, items=_drawn(item.items)) if isinstance(item, Group) else item
        for item in items
        if not isinstance(item, Link | Destination | FormField)
    )
