"""Links within a PDF, written as bare dictionaries: a guide has more than a thousand of them."""

from __future__ import annotations

from typing import Any

from guidegen.drawing.reportlab_parts import PDFObject, format

_LINK = b"<< /Type /Annot /Subtype /Link /Border [ 0 0 0 ] /Rect [ %.3f %.3f %.3f %.3f ] /Dest "


class Reference(PDFObject):  # type: ignore[misc]
    """An indirect reference (ISO 32000-1, clause 7.3.10) by number; reportlab's own asks for it each time."""

    def __init__(self, number: int) -> None:
        self._written = b"%d 0 R" % number

    def format(self, document: Any) -> bytes:
        return self._written


def annotate(canvas: Any, annotation: PDFObject) -> Reference:
    """Put an annotation on the current page."""
    canvas._doc.Reference(annotation)
    reference = Reference(canvas._doc.objectcounter)
    canvas._annotationrefs.append(reference)
    return reference


class Once(PDFObject):  # type: ignore[misc]
    """An object that stands in many others, written out when it is first met."""

    def __init__(self, thing: Any) -> None:
        self._thing = thing
        self._written = b""

    def format(self, document: Any) -> bytes:
        if not self._written:
            self._written = format(self._thing, document)
        return self._written


class InnerLink(PDFObject):  # type: ignore[misc]
    """A link annotation to an explicit destination (ISO 32000-1, clauses 12.5.6.5, 12.3.2.2); box in points.

    reportlab's own checks every key of every annotation anew, which takes a third of the writing.
    """

    def __init__(self, box: tuple[float, float, float, float], place: Once) -> None:
        self._box, self._place = box, place

    def format(self, document: Any) -> bytes:
        return _LINK % self._box + self._place.format(document) + b" >>"


class InnerLinks:
    """The links within one document."""

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas
        self._places: dict[str, Once] = {}

    def add(self, target: str, box: tuple[float, float, float, float]) -> None:
        """Put a link on the current page; its place may be named later in the document."""
        place = self._places.get(target)
        if place is None:
            place = self._places[target] = Once(self._canvas._bookmarkReference(target))
        annotate(self._canvas, InnerLink(box, place))

    def check(self, names: set[str]) -> None:
        """Raises ValueError for a link to a place that has none of the names."""
        for target in self._places:
            if target not in names:
                raise ValueError(f"link to #{target}, which is nowhere in the document")
