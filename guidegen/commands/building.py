"""Runs a build for the command line: executor, progress, one line for each vehicle, summary."""

from __future__ import annotations

import errno
import json
import os
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import Struct

from guidegen import messages
from guidegen.commands.common import shown
from guidegen.documents.context import Options
from guidegen.errors import GuidegenError, WrongUse
from guidegen.packs.freshness import STATE_FILE
from guidegen.packs.making import load
from guidegen.packs.many import build_many
from guidegen.packs.report import Report
from guidegen.packs.sources import description_files
from guidegen.packs.workers import begin_work, processors

if TYPE_CHECKING:
    from concurrent.futures import ProcessPoolExecutor

_INPUTS = (".yaml", ".yml", ".jpg", ".jpeg", ".png", ".webp", ".svg")
_FIRST_MS = 200  # until the first build of a watch
_POOL_FROM = 3  # fewer vehicles are done sooner than a pool is started


class Job(Struct, frozen=True):
    """What the person asked for."""

    places: tuple[Path, ...]
    output: Path
    names: tuple[str, ...]
    jobs: int | None
    options: Options


def run(job: Job, *, force: bool = False, as_json: bool = False) -> int:
    """Builds once and tells of it; the exit code."""
    started = time.perf_counter()
    files = list(description_files(job.places))
    reports: list[Report] = []
    with _progress(len(files)) as advance, _executor(job, len(files)) as executor:
        for report in build_many(
            files,
            job.output,
            only=job.names,
            force=force,
            options=job.options,
            executor=executor,
            processes=job.jobs or processors(),
        ):
            reports.append(report)
            advance(report)
    if as_json:
        order = {file: place for place, file in enumerate(files)}
        reports.sort(key=lambda report: order[report.source])
        records = [report.to_record() for report in reports]
        click.echo(json.dumps(records, ensure_ascii=False, indent=2))
    else:
        _summary(reports, time.perf_counter() - started)
    return max((report.exit_code for report in reports), default=0)


@contextmanager
def _executor(job: Job, count: int) -> Iterator[ProcessPoolExecutor | None]:
    workers = min(job.jobs or processors(), count)
    if workers < 2 or count < _POOL_FROM:
        yield None
        return
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

    if multiprocessing.get_start_method() == "fork":
        import guidegen.checks
        import guidegen.vehicle.reading  # noqa: F401 - every worker needs them

        load(job.names)
    pool = ProcessPoolExecutor(workers, initializer=begin_work)
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=True, cancel_futures=True)
        raise
    pool.shutdown()


class _Advance:
    """Tells of each vehicle as it is done: failures and notes always, others where there are few."""

    def __init__(self, count: int) -> None:
        self._few = count <= 10

    def __call__(self, report: Report) -> None:
        for line in _lines(report, self._few):
            self.show(line)

    def show(self, line: str) -> None:
        click.echo(line, err=True)


class _BarAdvance(_Advance):
    """The same above a bar with rate and time left."""

    def __init__(self, count: int) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        super().__init__(count)
        # No refresh thread: worker processes are forked while this is on the screen.
        self.progress = Progress(
            BarColumn(),
            MofNCompleteColumn(),
            TextColumn("{task.fields[rate]}"),
            TimeRemainingColumn(),
            console=Console(stderr=True, highlight=False),
            auto_refresh=False,
            transient=True,
        )
        self._task = self.progress.add_task("", total=count, rate="")
        self._started = time.perf_counter()
        self._done = 0
        self._shown = 0.0

    def __call__(self, report: Report) -> None:
        super().__call__(report)
        self._done += 1
        now = time.perf_counter()
        rate = self._done / max(now - self._started, 1e-6)
        self.progress.update(self._task, advance=1, rate=f"{rate:.1f} vehicles/s")
        if now - self._shown > 0.1:
            self._shown = now
            self.progress.refresh()

    def show(self, line: str) -> None:
        from rich.text import Text

        self.progress.console.print(Text.from_ansi(line), soft_wrap=True)


@contextmanager
def _progress(count: int) -> Iterator[_Advance]:
    if count < 2 or not sys.stderr.isatty():
        yield _Advance(count)
        return
    bar = _BarAdvance(count)
    with bar.progress:
        yield bar


def _lines(report: Report, few: bool) -> Iterator[str]:
    if report.failed:
        errors = [f for f in report.findings if f.severity == "error"]
        more = f" ({messages.summary(errors)})" if errors else ""
        what = messages.visible(f"{report.source}: {report.message}")
        yield f"{click.style('failed', fg='red', bold=True)}  {what}{more}"
        if few:
            yield from (messages.render(finding) for finding in errors)
        return
    for note in report.notes:
        yield f"{click.style('note', fg='yellow')}  {messages.visible(note)}"
    if few:
        count = len(report.written)
        what = f"{count} file{'' if count == 1 else 's'} written" if count else "up to date"
        warnings = [f for f in report.findings if f.severity == "warning"]
        more = f"; {messages.summary(warnings)} (guidegen check {shown(report.source)})" if warnings else ""
        line = messages.visible(f"{report.folder}: {what}{more}")
        yield f"{click.style(report.outcome, fg='green')}  {line}"


def _summary(reports: Iterable[Report], seconds: float) -> None:
    counts = {"built": 0, "up-to-date": 0, "failed": 0}
    for report in reports:
        counts[report.outcome] += 1
    total = sum(counts.values())
    if total > 1:
        parts = ", ".join(f"{n} {outcome.replace('-', ' ')}" for outcome, n in counts.items() if n)
        click.echo(f"{total} vehicles in {seconds:.1f} s: {parts}", err=True)


def watching(job: Job) -> None:
    """Builds, then again whenever a file beside a description changes, until interrupted.

    Raises WrongUse when the library for it is missing, FileNotFoundError for a folder that is not there.
    """
    try:
        from watchfiles import watch
    except ImportError as error:
        raise WrongUse("--watch needs a library more: pip install 'guidegen[watch]'") from error
    folders = {place if place.is_dir() else place.parent for place in _real(job.places)}
    for folder in sorted(folders):
        if not folder.is_dir():
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), str(folder))
    changes = watch(
        *sorted(folders),
        watch_filter=_matters,
        raise_interrupt=True,
        yield_on_timeout=True,  # at first, so that a save during the first build is seen too
        rust_timeout=_FIRST_MS,
        ignore_permission_denied=True,
    )
    begun = False
    for changed in changes:
        if not changed and begun:
            continue
        try:
            run(job)
        except (GuidegenError, OSError) as error:  # such as a folder between two descriptions
            click.echo(messages.failure(error), err=True)
        if not begun:
            click.echo("watching for changes; Ctrl-C ends it", err=True)
        begun = True


def _real(places: Iterable[Path]) -> Iterator[Path]:
    """The places, and what links among them lead to."""
    for place in places:
        yield place
        if place.is_symlink():
            yield Path(os.path.realpath(place))


def _matters(change: object, path: str) -> bool:
    """Whether a changed file can be an input: a description or a picture, and not in a pack."""
    file = Path(path)
    return file.suffix.lower() in _INPUTS and not (file.parent / STATE_FILE).exists()
