"""The first page of a PDF file as pixels, by the PDFium library.

Its functions are called themselves: what pypdfium2 adds to them takes as long to load as they do.
"""

from __future__ import annotations

import ctypes
from functools import cache
from typing import Any


@cache
def _library() -> Any:
    import pypdfium2_raw

    pypdfium2_raw.FPDF_InitLibrary()  # does nothing where someone else has
    return pypdfium2_raw


def first_page(pdf: bytes, width: int, height: int) -> memoryview:
    """Three bytes a pixel, red, green, blue, row by row, of the page stretched to so many pixels, on white.

    Raises ValueError when the file is none that PDFium reads.
    """
    library = _library()
    pixels = (ctypes.c_ubyte * (3 * width * height))()
    document = library.FPDF_LoadMemDocument64(pdf, len(pdf), None)
    page = library.FPDF_LoadPage(document, 0)
    bitmap = library.FPDFBitmap_CreateEx(width, height, library.FPDFBitmap_BGR, pixels, 3 * width)
    try:
        if not (document and page and bitmap):
            raise ValueError(f"PDFium does not read this file, for reason {library.FPDF_GetLastError()}")
        library.FPDFBitmap_FillRect(bitmap, 0, 0, width, height, 0xFFFFFFFF)
        # By its own measure PDFium would count a part of a pixel as a whole one and stretch the page.
        library.FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, library.FPDF_REVERSE_BYTE_ORDER)
    finally:
        library.FPDFBitmap_Destroy(bitmap)
        library.FPDF_ClosePage(page)
        library.FPDF_CloseDocument(document)
    return memoryview(pixels).cast("B")
