"""Raster pictures for PDF: JPEG goes in as it is, undecoded."""

from __future__ import annotations

from io import BytesIO

from guidegen.drawing.reportlab_parts import ImageReader

_JPEG_SIGNATURE = b"\xff\xd8\xff"


def picture_reader(data: bytes) -> ImageReader:
    """What reportlab draws for PNG or JPEG bytes."""
    return _JpegReader(data) if data.startswith(_JPEG_SIGNATURE) else ImageReader(BytesIO(data))


class _JpegReader(ImageReader):  # type: ignore[misc]
    """Told from other pictures by its file, where reportlab would decode it to compare pixels."""

    def __init__(self, data: bytes) -> None:
        super().__init__(BytesIO(data))
        self._file = data
        self._dataA = None  # JPEG has no transparency
        del self.jpeg_fh  # which would hold this reader, and this it: the file would stay in memory

    def jpeg_fh(self) -> BytesIO | None:
        """The file from its beginning, as reportlab asks for it."""
        found: BytesIO | None = self._jpeg_fh()
        return found

    def getRGBData(self) -> bytes:  # noqa: N802 - reportlab's name; asked only for a name of the picture
        return self._file
