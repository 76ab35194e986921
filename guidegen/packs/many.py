"""Builds the packs of many vehicles, in this process or by any executor, with memory that stays flat."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from guidegen.documents.context import Options
from guidegen.packs.building import build, document_names
from guidegen.packs.report import EXIT_FAULT, EXIT_FINDINGS, Report
from guidegen.vehicle.source import MAX_BYTES

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future

_WAITING = 64  # handed to the executor at one time
_ID_LINE = re.compile(rb"^id:[ \t]*[\"']?([a-z0-9-]+)", re.MULTILINE)


def build_many(
    vehicles: Iterable[str | Path],
    folder: str | Path = ".",
    *,
    only: Iterable[str] = (),
    force: bool = False,
    options: Options | None = None,
    executor: Executor | None = None,
    processes: int = 1,
) -> Iterator[Report]:
    """One report for each description, as soon as it is done; one that fails does not stop the rest.

    executor: any concurrent.futures.Executor, such as a process pool or a cluster scheduler's; the
    folder must then be one that its workers share. None: one after another in this process.
    processes: as for `build`; with an executor its workers are enough.
    A description whose id another one of the same run has already is not built.
    ValueError when `only` names an unknown document.
    """
    job = partial(build, folder=folder, only=document_names(only), force=force, options=options)
    one_by_one = partial(job, processes=processes)
    sources = (Path(vehicle) for vehicle in vehicles)
    return _serial(sources, one_by_one) if executor is None else _parallel(sources, job, executor)


def _serial(sources: Iterator[Path], job: Callable[[Path], Report]) -> Iterator[Report]:
    taken: dict[bytes, Path] = {}
    for source in sources:
        yield _same_id(source, taken) or job(source)


def _parallel(sources: Iterator[Path], job: Callable[[Path], Report], executor: Executor) -> Iterator[Report]:
    from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, wait

    taken: dict[bytes, Path] = {}
    waiting: dict[Future[Report], Path] = {}
    try:
        while True:
            for source in islice(sources, _WAITING - len(waiting)):
                if clash := _same_id(source, taken):
                    yield clash
                    continue
                try:
                    waiting[executor.submit(job, source)] = source
                except BrokenExecutor as error:
                    yield _lost(source, error)
            if not waiting:
                return
            done, _ = wait(waiting, return_when=FIRST_COMPLETED)
            for future in done:
                yield _outcome(future, waiting.pop(future))
    finally:
        for future in waiting:
            future.cancel()


def _outcome(future: Future[Report], source: Path) -> Report:
    try:
        return future.result()
    except Exception as error:
        return _lost(source, error)


def _lost(source: Path, error: Exception) -> Report:
    from concurrent.futures import BrokenExecutor

    said = "its worker process ended early (out of memory?)" if isinstance(error, BrokenExecutor) else error
    return Report(source, "failed", exit_code=EXIT_FAULT, message=f"not built: {said}")


def _same_id(source: Path, taken: dict[bytes, Path]) -> Report | None:
    """A failure when an earlier description has this one's id, since the packs would overwrite each other."""
    if not source.is_file():  # a pipe can be read but once
        return None
    try:
        with source.open("rb") as stream:
            found = _ID_LINE.search(stream.read(MAX_BYTES))
    except OSError:
        return None
    if not found or taken.setdefault(found[1], source) is source:
        return None
    id, first = found[1].decode(), taken[found[1]]
    message = f"its id “{id}” is that of {first} too, so that their packs would be one folder: change one"
    return Report(source, "failed", id, EXIT_FINDINGS, message)
