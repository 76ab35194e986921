"""A document as the bytes of a file."""

from __future__ import annotations

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
