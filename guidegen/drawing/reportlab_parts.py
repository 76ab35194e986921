"""What is used of reportlab, loaded without what it takes to open pictures, Pillow, and to evaluate text."""

from __future__ import annotations

from guidegen.drawing.libraries import without

with without("PIL.Image", "reportlab.lib.rl_safe_eval"):
    from reportlab import rl_config
    from reportlab.lib.rl_accel import escapePDF
    from reportlab.lib.utils import ImageReader
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.pdfdoc import (
        PDFArray,
        PDFDictionary,
        PDFName,
        PDFObject,
        PDFStream,
        PDFStreamFilterZCompress,
        PDFString,
        PDFTrueTypeFont,
        format,
    )
    from reportlab.pdfbase.ttfonts import TTFont, TTFontFace
    from reportlab.pdfgen.canvas import Canvas

__all__ = [
    "Canvas",
    "ImageReader",
    "PDFArray",
    "PDFDictionary",
    "PDFName",
    "PDFObject",
    "PDFStream",
    "PDFStreamFilterZCompress",
    "PDFString",
    "PDFTrueTypeFont",
    "TTFont",
    "TTFontFace",
    "escapePDF",
    "format",
    "pdfmetrics",
    "rl_config",
]
