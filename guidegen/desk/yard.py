"""The yard: for every vehicle file of a folder what is missing, what is checked and what is printed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from guidegen.checks.unchecked import marked_lines
from guidegen.documents.registry import DOCUMENTS
from guidegen.errors import Finding
from guidegen.packs.freshness import Standing, State, described_by, numbering_hash, read_state
from guidegen.packs.sources import description_files
from guidegen.pipeline import Review, inspect
from guidegen.vehicle.description import CHECK_NAMES, Check
from guidegen.vehicle.model import Vehicle


class Standings(Struct, frozen=True):
    """One vehicle of the yard; `vehicle` is None when its file is unreadable."""

    file: Path
    vehicle: Vehicle | None
    findings: tuple[Finding, ...]
    to_check: int = 0  # lines marked "to check"
    documents: Mapping[str, Standing] = field(default_factory=dict)
    pack: Path | None = None  # where its documents are
    renumbered: int = 0  # points whose printed number is not the one a build would print now

    @property
    def errors(self) -> int:
        return sum(f.severity == "error" for f in self.findings)

    @property
    def warnings(self) -> int:
        return len(self.findings) - self.errors

    @property
    def other_warnings(self) -> int:
        """Warnings that tell of something else than a point to be located."""
        return sum(f.severity == "warning" and f.rule != "to-locate" for f in self.findings)

    @property
    def frozen(self) -> bool:
        """Whether every callout number stands in the file."""
        return bool(self.vehicle and self.vehicle.points) and all(
            p.pinned for p in (self.vehicle.points if self.vehicle else ())
        )

    @property
    def checked(self) -> dict[str, Any]:
        """By name of the check: who did it and when, or None."""
        done = self.vehicle.checks if self.vehicle else None
        return {name: getattr(done, name, None) for name in CHECK_NAMES}

    @property
    def print_state(self) -> str:
        """In one phrase: "not printed", "up to date", "out of date", "2 of 9", "4 of 9, 3 out of date"."""
        states = list(self.documents.values())
        printed = len(states) - states.count("not printed")
        if len(set(states)) == 1:
            return states[0]
        others = [f"{states.count(s)} {s}" for s in ("out of date", "files changed") if s in states]
        return ", ".join((f"{printed} of {len(states)}", *others))


def counted(number: int, word: str) -> str:
    """ "1 error", "2 errors"."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def yard(folder: Path, packs: Path) -> Iterator[Standings]:
    """Every vehicle file of the folder by name; `packs` is where build put their packs.

    Raises NoDescriptionError for a folder without one.
    """
    rows = [standings(file, packs) for file in description_files((folder,))]
    files: dict[str, list[Path]] = {}
    for row in rows:
        if row.vehicle:
            files.setdefault(row.vehicle.id, []).append(row.file)
    for row in rows:
        others = [file for file in files.get(row.vehicle.id, ()) if file != row.file] if row.vehicle else []
        yield replace(row, findings=(*row.findings, _twice(row, others[0]))) if others else row


def _twice(row: Standings, other: Path) -> Finding:
    """What build says of two files that would make one pack."""
    assert row.vehicle
    message = f"its id “{row.vehicle.id}” is that of {other.name} too"
    return Finding("error", "id-twice", message, "change one", row.vehicle.marks.get("id", row.vehicle.mark))


def standings(file: Path, packs: Path) -> Standings:
    """How one vehicle stands."""
    review = inspect(file)
    if review.vehicle is None:
        return Standings(file, None, review.findings)
    pack = packs / review.vehicle.id
    state, described = read_state(pack), described_by(review.vehicle, file)
    documents = {name: state.standing(pack, name, described) for name in DOCUMENTS}
    return Standings(
        file,
        review.vehicle,
        review.findings,
        len(marked_lines(file.read_text("utf-8-sig"))),
        documents,
        pack,
        _renumbered(review, state),
    )


def _renumbered(review: Review, state: State) -> int:
    """To number points takes most of the time, so it is not done where they follow from the same."""
    if not state.numbers or review.has_errors or review.vehicle is None:
        return 0
    if state.numbered == numbering_hash(review.vehicle):
        return 0
    from guidegen.errors import GuidegenError
    from guidegen.plan.numbering import numbered

    try:
        points = numbered(review.vehicle).points
    except GuidegenError:  # too many points for the sheet: build says so
        return 0
    return len(state.renumbered({p.id: p.number for p in points}))


def told(check: Check | None) -> str:
    """One check in a phrase: "2026-03-14, A. Sample, 12 readings, of which 1 “no”"."""
    if check is None:
        return "not done"
    failed = sum(str(value).lower() in ("no", "false") for value in check.readings.values())
    readings = counted(len(check.readings), "reading") if check.readings else "no readings"
    parts = (str(check.on), check.by, readings + (f", of which {failed} “no”" if failed else ""))
    return ", ".join(part for part in (*parts, check.remarks or "") if part)


def record(one: Standings) -> dict[str, Any]:
    """One vehicle as plain values for JSON."""
    vehicle = one.vehicle
    done = {n: {"by": c.by, "on": c.on.isoformat()} if c else None for n, c in one.checked.items()}
    return {
        "file": str(one.file),
        "id": vehicle.id if vehicle else None,
        "name": vehicle.name if vehicle else None,
        "stock_number": vehicle.stock_number if vehicle else None,
        "owner": vehicle.owner if vehicle else None,
        "readable": vehicle is not None,
        "errors": one.errors,
        "warnings": one.warnings,
        "to_locate": [missing.name for missing in vehicle.to_locate] if vehicle else [],
        "to_check": one.to_check,
        "checks": done,
        "numbers_frozen": one.frozen,
        "renumbered": one.renumbered,
        "printed": one.print_state,
        "documents": dict(one.documents),
    }
