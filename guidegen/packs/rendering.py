"""A document as the bytes of a file."""

from __future__ import annotations

from collections.abc import Sequence

from guidegen.drawing.primitives import Document

PNG_DPI = 150


def render(document: Document, suffix: str, dpi: float = PNG_DPI) -> bytes:
    """The document as "pdf", or its first sheet as "svg" or "png" of that many dots to the inch."""
    if suffix == "pdf":
        from guidegen.drawing.pdf import write_pdf

        return write_pdf(document)
    if suffix == "svg":
        from guidegen.drawing.svg import write_svg

        return write_svg(document.sheets[0]).encode()
    from guidegen.drawing.png import write_png

    return write_png(document.sheets[0], dpi)


def render_all(document: Document, suffixes: Sequence[str]) -> dict[str, bytes]:
    """The document in each of the formats, as `render` gives them; PNG from the PDF, where there is one."""
    files: dict[str, bytes] = {}
    for suffix in suffixes:
        if suffix == "png" and "pdf" in files:
            from guidegen.drawing.png import png_of

            sheet = document.sheets[0]
            files[suffix] = png_of(files["pdf"], sheet.width_mm, sheet.height_mm, PNG_DPI)
        else:
            files[suffix] = render(document, suffix)
    return files
