"""A document as the bytes of a file."""

from __future__ import annotations

from collections.abc import Mapping

from guidegen.drawing.primitives import Document

PNG_DPI = 150
_MODULES: Mapping[str, tuple[str, ...]] = {
    "pdf": (
        "guidegen.drawing.pdf_content",
        "guidegen.drawing.pdf_links",
        "reportlab.pdfgen.canvas",
        "fontTools.svgLib.path",
        "fontTools.fontBuilder",
    ),
    "svg": ("guidegen.drawing.svg", "guidegen.drawing.outlines"),
    "png": ("guidegen.drawing.png", "pypdfium2", "PIL.PngImagePlugin"),
}


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


def load(suffix: str) -> None:
    """Loads what it takes to write a format, which is otherwise done when the first document is written."""
    from importlib import import_module

    from guidegen.drawing.svg_library import svgwrite

    for module in _MODULES[suffix]:
        import_module(module)
    if suffix == "svg":
        svgwrite()
