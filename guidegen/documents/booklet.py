"""The guide as a booklet: composed on A5 and imposed two up on A4, to be folded once and stitched."""

from __future__ import annotations

from guidegen.documents.context import Context
from guidegen.documents.guide.book import compose_in
from guidegen.documents.guide.look import A5_LOOK
from guidegen.drawing.primitives import Document
from guidegen.paper.imposition import impose


def compose_pages(context: Context) -> Document:
    """The A5 pages in reading order, for the screen or a printer that makes booklets itself."""
    return compose_in(context, A5_LOOK)


def compose(context: Context) -> Document:
    """Front and back of each A4 sheet of the booklet, turning as the options say."""
    return impose(compose_pages(context), context.options.duplex)
