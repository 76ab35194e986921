"""Makes the files of a pack's documents."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from guidegen.documents.context import Context
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.errors import NothingToPrint
from guidegen.packs.rendering import render

# Those that take longest are begun first, so that two processes end at about the same time.
_LONGEST = ("guide", "booklet", "plan", "training", "stickers", "card", "check-sheet")


class Files(Struct, frozen=True):
    """One document's files by name, and a note when there is nothing to print."""

    document: str
    files: Mapping[str, bytes]
    notes: tuple[str, ...] = ()


def make(name: str, context: Context) -> Files:
    """One document in all its formats. Raises GuidegenError as the document does."""
    id = context.vehicle.id
    try:
        document = compose(name, context)
    except NothingToPrint as error:
        return Files(name, {}, (f"{id}-{name} was left out: {error}",))
    return Files(name, {f"{id}-{name}.{s}": render(document, s) for s in DOCUMENTS[name].formats})


def by_turns(names: Sequence[str]) -> tuple[str, ...]:
    """The documents in the order in which they are begun."""
    return tuple(sorted(names, key=_turn))


def load(names: Sequence[str]) -> None:
    """Loads what takes time once, modules, typefaces and the trade, before it is known what is to be made."""
    import importlib

    from guidegen.drawing.pdf_fonts import first_font
    from guidegen.packs import rendering
    from guidegen.trade.load import load_trade

    first_font()
    for name in names:
        importlib.import_module(DOCUMENTS[name].module)
    for suffix in sorted({suffix for name in names for suffix in DOCUMENTS[name].formats}):
        rendering.load(suffix)
    load_trade().read_all()


def _turn(name: str) -> int:
    return _LONGEST.index(name) if name in _LONGEST else len(_LONGEST)
