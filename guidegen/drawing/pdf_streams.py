"""How the streams of a PDF are compressed: operators, typefaces, forms."""

from __future__ import annotations

import zlib

from guidegen.drawing.reportlab_parts import PDFStreamFilterZCompress

_EFFORT = 2  # of zlib, 1 to 9: less than half the time of the usual 6, and files a tenth larger


class Deflate(PDFStreamFilterZCompress):  # type: ignore[misc]
    """The FlateDecode filter (ISO 32000-1, clause 7.4.4)."""

    def encode(self, content: str | bytes) -> bytes:
        return zlib.compress(content.encode() if isinstance(content, str) else content, _EFFORT)
