"""Which documents there are: name → module, file endings. A module is imported when it is composed.

Each module has `compose(context: Context) -> Document`.
"""

from __future__ import annotations

import importlib
from collections.abc import Mapping

from msgspec import Struct

from guidegen.documents.context import Context
from guidegen.drawing.primitives import Document


class Entry(Struct, frozen=True):
    """One kind of document; its files are <vehicle id>-<name>.<format>."""

    module: str
    about: str
    formats: tuple[str, ...] = ("pdf",)


DOCUMENTS: Mapping[str, Entry] = {
    "guide": Entry("guidegen.documents.guide", "the owner's guide, A4"),
    "booklet": Entry("guidegen.documents.booklet", "the guide as an A5 booklet to fold and stitch"),
    "card": Entry("guidegen.documents.card", "the card for the glovebox: arrive and leave, folded"),
    "plan": Entry("guidegen.documents.plan", "the floor diagram and its key", ("pdf", "svg", "png")),
    "handover": Entry("guidegen.documents.handover", "the walk with the owner, and the pages to sign"),
    "survey": Entry("guidegen.documents.survey", "the sheet for the walk round: where is what"),
    "check-sheet": Entry("guidegen.documents.check_sheet", "three checks of every point, and the readings"),
    "stickers": Entry("guidegen.documents.stickers", "labels for the vehicle, with the same numbers"),
    "training": Entry("guidegen.documents.training", "the diagram to fill in, system by system, for a wall"),
}


def compose(name: str, context: Context) -> Document:
    """The document of that name for the vehicle of the context."""
    module = importlib.import_module(DOCUMENTS[name].module)
    document: Document = module.compose(context)
    return document
