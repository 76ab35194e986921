"""Makes the files of a pack's documents, by this process alone or shared with a fork of it."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guidegen.documents.context import Context
from guidegen.documents.registry import DOCUMENTS, compose
from guidegen.errors import NothingToPrint
from guidegen.packs.rendering import render

if TYPE_CHECKING:
    from multiprocessing.connection import Connection


@dataclass(frozen=True, slots=True)
class Files:
    """One document's files by name, and a note when there is nothing to print."""

    document: str
    files: Mapping[str, bytes]
    notes: tuple[str, ...] = ()


def make_all(names: Sequence[str], context: Context, processes: int = 1) -> Iterator[Files]:
    """The documents in the order of their names. With two processes, a fork of this one makes some of them.

    Raises GuidegenError as the documents do.
    """
    if processes < 2 or len(names) < 2 or not _may_fork():
        yield from (make(name, context) for name in names)
        return
    with _shared(names, context) as (tasks, answers):
        made = {names[number]: make(names[number], context) for number in _taken(tasks)}
        made |= _received(answers)
    for name in names:  # what the fork could not make is made here, and its fault is met here
        yield made[name] if name in made else make(name, context)


def make(name: str, context: Context) -> Files:
    """One document in all its formats. Raises GuidegenError as the document does."""
    id = context.vehicle.id
    try:
        document = compose(name, context)
    except NothingToPrint as error:
        return Files(name, {}, (f"{id}-{name} was left out: {error}",))
    return Files(name, {f"{id}-{name}.{s}": render(document, s) for s in DOCUMENTS[name].formats})


def _may_fork() -> bool:
    """Forking is safe where the system means it to be, and no other thread holds a lock meanwhile."""
    return sys.platform == "linux" and threading.active_count() == 1


@contextmanager
def _shared(names: Sequence[str], context: Context) -> Iterator[tuple[int, Connection]]:
    """A fork at work on the same heap of tasks, each a byte in a pipe that is read by one of the two."""
    import multiprocessing

    tasks, heap = os.pipe()
    os.write(heap, bytes(range(len(names))))
    os.close(heap)
    forking = multiprocessing.get_context("fork")
    answers, ours = forking.Pipe(duplex=False)
    fork = forking.Process(target=_work, args=(tasks, answers, ours, names, context), daemon=True)
    fork.start()
    ours.close()
    try:
        yield tasks, answers
    finally:
        fork.kill()
        fork.join()
        answers.close()
        os.close(tasks)


def _taken(tasks: int) -> Iterator[int]:
    """Numbers of tasks until none is left."""
    while number := os.read(tasks, 1):
        yield number[0]


def _work(
    tasks: int, theirs: Connection, answers: Connection, names: Sequence[str], context: Context
) -> None:
    import signal

    theirs.close()  # so that nothing is sent to nobody
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process ends this one
    first = os.getppid()
    made: dict[str, Files] = {}
    for number in _taken(tasks):
        if os.getppid() != first:  # it was killed
            return
        try:
            made[names[number]] = make(names[number], context)
        except Exception:
            break
    with suppress(OSError):
        answers.send(made)


def _received(answers: Connection) -> dict[str, Files]:
    """What the fork made; nothing when it ended early."""
    try:
        made: dict[str, Files] = answers.recv()
    except (EOFError, OSError):
        return {}
    return made
