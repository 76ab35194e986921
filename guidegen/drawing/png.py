"""PNG from a sheet, by way of PDF and the PDFium library."""

from __future__ import annotations

import math
import struct
import zlib
from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING

from msgspec.structs import replace

from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Destination, Document, FormField, Group, Item, Link, Sheet
from guidegen.errors import GuidegenError

if TYPE_CHECKING:
    from pypdfium2 import PdfBitmap

MOST_PIXELS = 300_000_000  # A3 at 1200 dots to the inch, and a gigabyte of memory
_EFFORT = 3  # of zlib, 1 to 9: half the time of the usual 6, and files 3 % larger
_GREY, _TRUE_COLOUR = 0, 2  # colour types
_UNFILTERED = b"\0"


def write_png(sheet: Sheet, dpi: float = 150, grey: bool = False) -> bytes:
    """The sheet on white paper, dpi pixels to the inch; grey as a black and white printer would print it.

    Links, destinations and form fields are left out. Raises MissingGlyph as write_pdf does,
    GuidegenError for more than MOST_PIXELS.
    """
    pdf = partial(write_pdf, Document((replace(sheet, items=_drawn(sheet.items)),)))
    return _png(pdf, sheet.width_mm, sheet.height_mm, dpi, grey)


def png_of(pdf: bytes, width_mm: float, height_mm: float, dpi: float = 150) -> bytes:
    """As write_png, of the first page of a PDF file of ours."""
    return _png(lambda: pdf, width_mm, height_mm, dpi, grey=False)


def _png(file: Callable[[], bytes], width_mm: float, height_mm: float, dpi: float, grey: bool) -> bytes:
    import pypdfium2
    from pypdfium2 import raw

    width, height = round(width_mm / 25.4 * dpi), round(height_mm / 25.4 * dpi)
    if width * height > MOST_PIXELS:
        most = int(dpi * math.sqrt(MOST_PIXELS / (width * height)))
        raise GuidegenError(
            f"A picture of {width} × {height} pixels is too large: "
            f"ask for fewer dots to the inch, {most} at most"
        )
    pdf = pypdfium2.PdfDocument(file())
    try:
        bitmap = pypdfium2.PdfBitmap.new_native(width, height, raw.FPDFBitmap_BGR, rev_byteorder=True)
        raw.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xFFFFFFFF)
        # By its own measure PDFium would count a part of a pixel as a whole one and stretch the page.
        raw.FPDF_RenderPageBitmap(bitmap, pdf[0], 0, 0, width, height, 0, raw.FPDF_REVERSE_BYTE_ORDER)
        lines = _grey_lines(bitmap) if grey else _lines(bitmap)
        return _encoded(lines, (width, height), dpi, _GREY if grey else _TRUE_COLOUR)
    finally:
        pdf.close()


def _lines(bitmap: PdfBitmap) -> Iterator[bytes]:
    pixels = memoryview(bitmap.buffer)
    for start in range(0, bitmap.height * bitmap.stride, bitmap.stride):
        yield pixels[start : start + bitmap.width * bitmap.n_channels].tobytes()


def _grey_lines(bitmap: PdfBitmap) -> Iterator[bytes]:
    pixels = bitmap.to_pil().convert("L").tobytes()  # luma of ITU-R BT.601
    for start in range(0, len(pixels), bitmap.width):
        yield pixels[start : start + bitmap.width]


def _encoded(lines: Iterator[bytes], size: tuple[int, int], dpi: float, colour: int) -> bytes:
    """The picture as PNG (ISO/IEC 15948), its lines unfiltered.

    Pillow tries five filters on every line, which takes longer than the rest, and flat colours grow by them.
    """
    deflate = zlib.compressobj(_EFFORT)
    body = [deflate.compress(_UNFILTERED + line) for line in lines]
    per_metre = round(dpi * 1000 / 25.4)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", struct.pack(">2L5B", *size, 8, colour, 0, 0, 0)),
            _chunk(b"pHYs", struct.pack(">2LB", per_metre, per_metre, 1)),
            _chunk(b"IDAT", b"".join((*body, deflate.flush()))),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(kind: bytes, data: bytes) -> bytes:
    body = kind + data
    return struct.pack(">L", len(data)) + body + struct.pack(">L", zlib.crc32(body))


def _drawn(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Without what is not to be seen, which may also point to another sheet."""
    return tuple(
        replace(item, items=_drawn(item.items)) if isinstance(item, Group) else item
        for item in items
        if not isinstance(item, Link | Destination | FormField)
    )
