"""Makes the files of a pack's documents, by this process alone or shared with a helper, a fork of it."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from itertools import chain
from typing import TYPE_CHECKING, BinaryIO

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.errors import NothingToPrint
from guidegen.packs.ahead import answered, may_fork, planned
from guidegen.packs.rendering import render
from guidegen.vehicle.model import Vehicle

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from guidegen.sequence import Sequences

# Those that take longest are begun first, so that both processes end at about the same time.
_LONGEST = ("guide", "booklet", "training", "plan")


class Files(Struct, frozen=True):
    """One document's files by name, and a note when there is nothing to print."""

    document: str
    files: Mapping[str, bytes]
    notes: tuple[str, ...] = ()


class Helper(Struct):
    """A process that has loaded what the documents need and waits for a context.

    It plans the sequences while the first process numbers the plan, then makes the longest document. Both
    processes take the others from one heap: a pipe of bytes, each the number of a document.
    """

    tasks: int
    heap: BinaryIO
    line: Connection
    asked: bool = False  # for sequences, which it has not sent yet

    def plan(self, vehicle: Vehicle) -> None:
        """Asks for the sequences; the points need no numbers yet."""
        with suppress(OSError):  # a helper that has ended is found out when the work begins
            self.line.send(vehicle)
            self.asked = True

    def planned(self) -> Sequences | None:
        """Waits for the sequences; None where nobody asked for them, or they cannot be had."""
        if not self.asked:
            return None
        self.asked = False
        found: Sequences | None = answered(self.line)
        return found

    def begin(self, names: Sequence[str], context: Context) -> bool:
        """Hands over the work; False when the helper has ended."""
        try:
            self.line.send((names, context.vehicle, context.trade, context.findings, context.options))
            self.heap.write(bytes(range(1, len(names))))
        except OSError:
            return False
        finally:
            self.heap.close()
        return True

    def received(self) -> dict[str, Files]:
        """What the helper made; nothing when it ended early."""
        return answered(self.line) or {}


@contextmanager
def helper(processes: int, names: Sequence[str]) -> Iterator[Helper | None]:
    """A helper for these documents where two processes are wanted and the system can fork, else None."""
    if processes < 2 or len(names) < 2 or not may_fork():
        yield None
        return
    import multiprocessing

    forking = multiprocessing.get_context("fork")
    tasks, end = os.pipe()
    heap = os.fdopen(end, "wb", buffering=0)
    ours, theirs = forking.Pipe()
    fork = forking.Process(target=_work, args=(tasks, heap, ours, theirs, names), daemon=True)
    fork.start()
    theirs.close()
    try:
        yield Helper(tasks, heap, ours)
    finally:
        fork.kill()
        fork.join()
        ours.close()
        os.close(tasks)
        heap.close()


def make_all(names: Sequence[str], context: Context, beside: Helper | None = None) -> Iterator[Files]:
    """The documents in the order of their names; with a helper, it makes some of them.

    Raises GuidegenError as the documents do.
    """
    made: dict[str, Files] = {}
    known = beside.planned() if beside else None
    if known:
        context = replace(context, ahead=lambda: known)
    if beside and len(names) > 1 and beside.begin(names, context):
        turns = by_turns(names)
        made = {name: make(name, context) for name in (turns[n] for n in _taken(beside.tasks))}
        made |= beside.received()
    for name in names:  # what the helper could not make is made here, and its fault is met here
        yield made[name] if name in made else make(name, context)


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


def _turn(name: str) -> int:
    return _LONGEST.index(name) if name in _LONGEST else len(_LONGEST)


def _taken(tasks: int) -> Iterator[int]:
    """Numbers of tasks until none is left."""
    while number := os.read(tasks, 1):
        yield number[0]


def _work(tasks: int, heap: BinaryIO, theirs: Connection, line: Connection, loaded: Sequence[str]) -> None:
    import signal

    # Closed here, so that both pipes end with the first process.
    heap.close()
    theirs.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process ends this one
    first = os.getppid()
    made: dict[str, Files] = {}
    with suppress(Exception):  # what is amiss is met again, and told, by who makes the document
        load(loaded)
    known: Sequences | None = None
    try:
        while isinstance(task := line.recv(), Vehicle):
            known = planned(task)
            line.send(known)
    except (EOFError, OSError):
        return
    names, *parts = task
    vehicle, trade, findings, options = parts
    context = Context(vehicle, trade, findings, options, lambda: known)
    turns = by_turns(names)
    for name in (turns[number] for number in chain((0,), _taken(tasks))):
        if os.getppid() != first:  # it was killed
            return
        try:
            made[name] = make(name, context)
        except Exception:
            break
    with suppress(OSError):
        line.send(made)


def load(names: Sequence[str]) -> None:
    """Loads what takes time once, modules and typefaces, so that forks of this process have it too."""
    import importlib

    from guidegen.drawing.pdf_fonts import first_font
    from guidegen.trade.load import load_trade

    load_trade()
    first_font()
    for name in names:
        importlib.import_module(DOCUMENTS[name].module)
