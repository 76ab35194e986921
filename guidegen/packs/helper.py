"""A fork that loads what documents need while the description is read, then makes some."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing, suppress
from functools import partial
from types import TracebackType
from typing import TYPE_CHECKING, Self

from msgspec import Struct

from guidegen.documents.context import Context, Options
from guidegen.packs.ahead import SEQUENCED, planned
from guidegen.packs.forks import Line, in_talk, may_fork
from guidegen.packs.making import Files, by_turns, load, make

if TYPE_CHECKING:
    from guidegen.pipeline import Review
    from guidegen.sequence import Sequences


class Heap:
    """Numbers that several processes take, each number one of them: a pipe of bytes."""

    def __init__(self) -> None:
        taken, filled = os.pipe()
        self._taken, self._filled = os.fdopen(taken, "rb", 0), os.fdopen(filled, "wb", 0)

    def fill(self, count: int) -> None:
        """Puts in the numbers from 0, at most 256 of them, once; then it has an end."""
        self._filled.write(bytes(range(count)))
        self._filled.close()

    def taken(self) -> Iterator[int]:
        """Numbers until none is left."""
        self._filled.close()
        while number := self._taken.read(1):
            yield number[0]

    def close(self) -> None:
        self._taken.close()
        self._filled.close()


class Task(Struct, frozen=True):
    """Documents in the order in which they are begun, and what both processes make them from."""

    turns: tuple[str, ...]
    review: Review
    options: Options


class Helper:
    """A process that makes documents beside this one; it ends with the block.

    Both take them from one heap: a pipe of bytes, each the number of a document. What the helper could not
    make, and all that it would have made when it was killed, is left to this process.
    """

    def __init__(self, names: Sequence[str], processes: int) -> None:
        """names: the documents that may be wanted. processes: fewer than two make no helper."""
        self._names = tuple(names)
        self._wanted = processes > 1 and (len(names) > 1 or not SEQUENCED.isdisjoint(names))
        self._line: Line | None = None
        self._heap: Heap | None = None
        self._turns: tuple[str, ...] = ()
        self._heard: list[Sequences | None] = []
        self._end = ExitStack()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._end.close()

    def start(self) -> None:
        """Starts it, where it is wanted and can be and has not been: the sooner, the more it has loaded."""
        if not self._line and self._wanted and may_fork():
            self._heap = self._end.enter_context(closing(Heap()))
            self._line = self._end.enter_context(in_talk(partial(_help, self._names, self._heap)))

    def begin(self, names: Sequence[str], review: Review, options: Options) -> None:
        """Gives it its task."""
        self.start()
        if self._line and self._heap:
            self._turns = by_turns(names)
            self._heap.fill(len(self._turns))
            self._line.say(Task(self._turns, review, options))

    @property
    def ahead(self) -> Callable[[], Sequences | None] | None:
        """Waits for the sequences, which the helper plans first; None where there is none to wait for."""
        return self._sequences if self._line and SEQUENCED.intersection(self._turns) else None

    def make_all(self, names: Sequence[str], context: Context) -> Iterator[Files]:
        """The documents of its task in the order of their names. Raises GuidegenError as `make`."""
        made = self._made(context)
        for name in names:  # what could not be made is made here, and its fault is met here
            yield made[name] if name in made else make(name, context)

    def _made(self, context: Context) -> dict[str, Files]:
        """What this process and the helper make together."""
        if not (self._line and self._heap):
            return {}
        made = {self._turns[n]: make(self._turns[n], context) for n in self._heap.taken()}
        self._sequences()  # which are said before
        return made | (self._line.hear() or {})

    def _sequences(self) -> Sequences | None:
        if not self._heard:
            self._heard.append(self._line.hear() if self._line else None)
        return self._heard[0]


def _help(names: Sequence[str], heap: Heap, line: Line) -> dict[str, Files]:
    """All that the helper does; a fault is left to be met by the first process."""
    first = os.getppid()
    load(names)
    task: Task | None = line.hear()
    if task is None:  # there is nothing to make
        return {}
    from guidegen.pipeline import context_of

    vehicle = task.review.vehicle
    sequences = planned(vehicle) if vehicle and SEQUENCED.intersection(task.turns) else None
    line.say(sequences)
    made: dict[str, Files] = {}
    with suppress(Exception):
        context = context_of(task.review, task.options, lambda: sequences)
        for n in heap.taken():
            if os.getppid() != first:  # it was killed
                break
            made[task.turns[n]] = make(task.turns[n], context)
    return made
