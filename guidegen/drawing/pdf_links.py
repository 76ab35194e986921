"""Links within a PDF, written as bare dictionaries: a guide has more than a thousand of them."""

from __future__ import annotations

from typing import Any

from reportlab.pdfbase.pdfdoc import PDFObject, format, pdfdocEnc

_LINK = "<< /Type /Annot /Subtype /Link /Border [ 0 0 0 ] /Rect [ %.3f %.3f %.3f %.3f ] /Dest "


class InnerLink(PDFObject):  # type: ignore[misc]
    """A link annotation to a named place (ISO 32000-1, clause 12.5.6.5); box in points.

    reportlab's own checks every key of every annotation anew, which takes a third of the writing.
    """

    def __init__(self, box: tuple[float, float, float, float], destination: Any) -> None:
        self._box, self._destination = box, destination

    def format(self, document: Any) -> bytes:
        destination: bytes = format(self._destination, document)
        head: bytes = pdfdocEnc(_LINK % self._box)
        return head + destination + b" >>"


def add_inner_link(canvas: Any, target: str, box: tuple[float, float, float, float]) -> None:
    """Put the link on the canvas's page; its place may be named later in the document."""
    canvas._addAnnotation(InnerLink(box, canvas._bookmarkReference(target)))
