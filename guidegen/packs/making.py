"""Makes the files of a pack's documents, by this process alone or shared with a helper, a fork of it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import partial

from msgspec import Struct

from guidegen.documents.context import Context
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.errors import GuidegenError, NothingToPrint
from guidegen.packs.ahead import SEQUENCED
from guidegen.packs.forks import forked, heaped, may_fork, taken
from guidegen.packs.freshness import pictures_of
from guidegen.packs.rendering import render_all
from guidegen.vehicle.model import Vehicle

# What drawing and writing load when they first need it, and nearly every pack does.
_WRITERS = ("guidegen.drawing.pdf", "guidegen.drawing.reportlab_parts")
# What one document alone loads near its end: by a process that has nothing better to do.
_LATER = {"plan": ("guidegen.drawing.svg", "guidegen.drawing.pdfium")}
# What opens a picture, and with it what Pillow loads before it looks at any.
_PICTURES = ("PIL.Image", *(f"PIL.{one}ImagePlugin" for one in ("Bmp", "Gif", "Jpeg", "Png", "Ppm")))
_GUIDES = frozenset({"guide", "booklet"})  # which print something of every part of the trade
# Those that take longest are begun first, so that two processes end at about the same time.
_LONGEST = ("guide", "booklet", "plan", "training", "handover", "check-sheet", "card", "stickers")


class Files(Struct, frozen=True):
    """One document's files by name, and a note when there is nothing to print."""

    document: str
    files: Mapping[str, bytes]
    notes: tuple[str, ...] = ()


def make_all(names: Sequence[str], context: Context, processes: int = 1) -> Iterator[Files]:
    """The documents in the order of their names; two processes make them between them, where they can.

    Raises GuidegenError as the documents do.
    """
    made: dict[str, Files] = {}
    if processes > 1 and len(names) > 1 and may_fork():
        load(names)
        load_for(context.vehicle, names)
        if SEQUENCED.intersection(names):
            _ = context.sequences, context.help  # which both print
        made = _made_by_two(by_turns(names), context)
    for name in names:  # what could not be made is made here, and its fault is met here
        yield made[name] if name in made else make(name, context)


def make(name: str, context: Context) -> Files:
    """One document in all its formats. Raises GuidegenError as the document does."""
    id = context.vehicle.id
    try:
        document = compose(name, context)
    except NothingToPrint as error:
        return Files(name, {}, (f"{id}-{name} was left out: {error}",))
    files = render_all(document, DOCUMENTS[name].formats)
    return Files(name, {f"{id}-{name}.{suffix}": data for suffix, data in files.items()})


def by_turns(names: Sequence[str]) -> tuple[str, ...]:
    """The documents in the order in which they are begun."""
    return tuple(sorted(names, key=_turn))


def load(names: Sequence[str]) -> None:
    """Loads what takes time once, modules, typefaces and the trade: forks of this process have it too."""
    import importlib

    from guidegen.drawing.pdf_fonts import load_fonts
    from guidegen.trade.load import load_trade
    from guidegen.trade.uses import load_uses

    load_fonts()
    if _GUIDES.intersection(names):
        load_trade().read_all()
        load_uses()
    for module in (*_WRITERS, *(DOCUMENTS[name].module for name in names)):
        importlib.import_module(module)


def load_for(vehicle: Vehicle, names: Sequence[str]) -> None:
    """Loads what several documents of this vehicle show: symbols, codes, and what reads pictures."""
    import importlib

    from guidegen.drawing.symbols import symbol_shapes
    from guidegen.trade.load import load_trade

    kinds = load_trade().kinds
    for kind in {point.kind for point in vehicle.points}:
        symbol_shapes(kinds[kind].symbol_on(vehicle.facts))
    if _GUIDES.intersection(names):
        for module in _readers(vehicle):
            importlib.import_module(module)
        _make_codes(vehicle)


def _readers(vehicle: Vehicle) -> Iterator[str]:
    """The modules of libraries that a guide of the vehicle takes for its pictures."""
    endings = {file.suffix.lower() for file in pictures_of(vehicle)}
    if ".svg" in endings:
        yield from ("defusedxml.ElementTree", "svgelements")
    if endings - {".svg"}:
        yield from _PICTURES


def _make_codes(vehicle: Vehicle) -> None:
    """Works out the codes of the vehicle's web addresses; what is wrong with one is told by who prints it."""
    addresses = (vehicle.web, *(p.web for p in vehicle.points), *(s.web for s in vehicle.extra_steps))
    if any(addresses):
        from guidegen.drawing.codes import code_modules

        for address in dict.fromkeys(filter(None, addresses)):
            with suppress(GuidegenError):
                code_modules(address)


def load_later(names: Sequence[str], enough: Callable[[], bool]) -> None:
    """Loads what one of these documents needs later, one thing after the other until that is enough."""
    import importlib

    for module in (module for name in names for module in _LATER.get(name, ())):
        if enough():
            return
        importlib.import_module(module)


def _turn(name: str) -> int:
    return _LONGEST.index(name) if name in _LONGEST else len(_LONGEST)


def _made_by_two(turns: Sequence[str], context: Context) -> dict[str, Files]:
    """The documents that this process and a helper made, without those of a helper that ended early.

    They take them from one heap. Raises as `make`.
    """
    with heaped(bytes(range(len(turns)))) as heap, forked(partial(_work, heap, turns, context)) as theirs:
        made = {name: make(name, context) for name in map(turns.__getitem__, taken(heap))}
        return made | (theirs() or {})


def _work(heap: int, turns: Sequence[str], context: Context) -> dict[str, Files]:
    """What the helper makes, which works off the heap; a fault is left to be met by the first process."""
    first = os.getppid()
    made: dict[str, Files] = {}
    for name in map(turns.__getitem__, taken(heap)):
        if os.getppid() != first:  # it was killed
            break
        try:
            made[name] = make(name, context)
        except Exception:
            break
    return made
