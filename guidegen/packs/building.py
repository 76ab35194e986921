"""Builds one vehicle's pack: the documents that are not up to date, all of them or none."""

from __future__ import annotations

import os
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from msgspec.structs import replace

from guidegen.documents.context import Options
from guidegen.documents.registry import DOCUMENTS
from guidegen.errors import GuidegenError
from guidegen.packs.ahead import ready
from guidegen.packs.freshness import (
    STATE_FILE,
    Made,
    State,
    data_hash,
    inputs_of,
    numbering_hash,
    printed_with,
    read_state,
    settled_hash,
)
from guidegen.packs.making import make_all
from guidegen.packs.report import EXIT_FAULT, EXIT_FINDINGS, EXIT_UNREADABLE, Report
from guidegen.packs.workers import collecting_seldom
from guidegen.packs.writing import Writing
from guidegen.pipeline import Review, context_of, inspect, located
from guidegen.vehicle.model import Vehicle

_MAY_FAIL = 80  # points from which a plan may fail


def build(
    vehicle: str | Path,
    folder: str | Path = ".",
    *,
    only: Iterable[str] = (),
    force: bool = False,
    options: Options | None = None,
    processes: int = 1,
) -> Report:
    """Builds the pack `folder/<id>/` of one description and says what became of it.

    only: names of documents.registry.DOCUMENTS; all when empty. force: up-to-date ones too.
    processes: two make the documents between them, where the system can fork.
    A failure is told by the report, never raised; ValueError when `only` names an unknown document.
    """
    started = time.perf_counter()
    source = Path(vehicle)
    names = document_names(only)
    try:
        with collecting_seldom():
            report = _build(source, Path(folder), names, force, options or Options(), processes)
    except GuidegenError as error:
        findings = getattr(error, "findings", ())
        report = Report(source, "failed", "", error.exit_code, "" if findings else str(error), findings)
    except OSError as error:
        from guidegen.messages import os_error

        report = Report(source, "failed", "", EXIT_UNREADABLE, os_error(error))
    except Exception as error:
        if os.environ.get("GUIDEGEN_DEBUG"):
            raise
        from guidegen.messages import unexpected

        report = Report(source, "failed", "", EXIT_FAULT, unexpected(error))
    return replace(report, seconds=time.perf_counter() - started)


def document_names(only: Iterable[str]) -> tuple[str, ...]:
    """The wanted documents in the registry's order; all of them when none is named."""
    wanted = set(only)
    unknown = wanted - DOCUMENTS.keys()
    if unknown:
        there_are = ", ".join(DOCUMENTS)
        raise ValueError(f"there is no document “{min(unknown)}”; there are: {there_are}")
    return tuple(name for name in DOCUMENTS if not wanted or name in wanted)


def _build(
    source: Path, folder: Path, names: tuple[str, ...], force: bool, options: Options, processes: int
) -> Report:
    review = inspect(source)
    vehicle = review.vehicle
    if vehicle is None:
        return Report(source, "failed", "", EXIT_UNREADABLE, "unreadable", review.findings)
    pack = folder / vehicle.id
    if review.has_errors:
        return Report(source, "failed", vehicle.id, EXIT_FINDINGS, "errors found", review.findings)
    inputs = inputs_of(vehicle, source, options)
    state = read_state(pack)
    stale = tuple(name for name in names if force or not state.is_fresh(pack, name, inputs))
    kept = tuple(name for name in names if name not in stale)
    done = Report(source, "up-to-date", vehicle.id, findings=review.findings, folder=pack, kept=kept)
    if not stale:
        return done
    try:
        written, notes = _write(pack, stale, source, inputs.inputs, state, review, options, processes)
    except GuidegenError as refusal:
        error = located(refusal, source)
        findings = review.findings + getattr(error, "findings", ())
        return Report(source, "failed", vehicle.id, error.exit_code, str(error), findings)
    return replace(done, outcome="built", written=written, notes=notes)


def _write(
    pack: Path,
    names: tuple[str, ...],
    source: Path,
    inputs: str,
    state: State,
    review: Review,
    options: Options,
    processes: int,
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The names of the files written, and notes about what could not be."""
    documents: dict[str, Made] = {**state.documents}
    notes: list[str] = []
    sequences = ready(review.vehicle, names) if review.vehicle and processes > 1 else None
    if review.vehicle and "training" in names:
        _refuse_crowd(review.vehicle)
    context = context_of(review, options, sequences)
    settled = printed_with(settled_hash(context.vehicle, source), options)
    with Writing(pack) as writing:
        for made in make_all(names, context, processes):
            for file, data in made.files.items():
                writing.add(file, data)
            notes += made.notes
            hashes = {file: data_hash(data) for file, data in made.files.items()}
            documents[made.document] = Made(inputs, hashes, settled)
        numbers = {point.id: point.number for point in context.vehicle.points}
        numbered = numbering_hash(review.vehicle) if review.vehicle else ""
        writing.add(STATE_FILE, state.printed(documents, numbers, numbered).to_bytes())
    return writing.names, (*notes, *_renumbering(context.vehicle, state, pack))


def _refuse_crowd(vehicle: Vehicle) -> None:
    """Refuses a crowd before the other documents are made; the numbering follows the same plan.

    Raises SheetTooSmallError as the training sheets do.
    """
    if len(vehicle.points) > _MAY_FAIL or not all(point.number for point in vehicle.points):
        from guidegen.documents.training import refuse_crowd

        refuse_crowd(vehicle)


def _renumbering(vehicle: Vehicle, state: State, pack: Path) -> Iterator[str]:
    """A note when stickers of the last print no longer agree with this one."""
    now = {point.id: point.number for point in vehicle.points}
    changed = state.renumbered(now)
    if changed and state.numbers_before and not State(numbers=state.numbers_before).renumbered(now):
        yield f"{vehicle.id}: callout numbers are again those of the print before the last"
    elif changed:
        from shlex import quote

        shown = ", ".join(f"{id} {old} → {new}" for id, (old, new) in list(changed.items())[:3])
        more = f" and {len(changed) - 3} more" if len(changed) > 3 else ""
        yield (
            f"{vehicle.id}: callout numbers changed since the last print ({shown}{more}): stickers that are "
            f"stuck on no longer agree. To keep theirs: guidegen freeze {quote(vehicle.mark.file)} "
            f"--printed {quote(str(pack.parent))} --before, then build again"
        )
