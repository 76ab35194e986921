"""The stages in a row: read, check, number, and hand over what documents are composed from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from guidegen.documents.context import Context, Options
from guidegen.errors import CheckError, DescriptionError, Finding, GuidegenError, Mark, PictureError
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle

if TYPE_CHECKING:
    from guidegen.sequence import Sequences


_MOSTLY_HELD = 100  # points that a plan on A4 holds as a rule: to find out takes longer than all other checks


class Review(Struct, frozen=True):
    """One description as far as it could be read; `vehicle` is None when it is unreadable."""

    vehicle: Vehicle | None
    findings: tuple[Finding, ...]

    @property
    def readable(self) -> bool:
        return self.vehicle is not None

    @property
    def has_errors(self) -> bool:
        return any(finding.severity == "error" for finding in self.findings)


def inspect(path: str | Path) -> Review:
    """Reads and checks one description; never raises for what its writer can mend."""
    from guidegen import messages
    from guidegen.checks import check
    from guidegen.checks.unchecked import to_check
    from guidegen.drawing.fonts import undrawable
    from guidegen.trade.load import load_trade
    from guidegen.vehicle.reading import vehicle_from_source
    from guidegen.vehicle.source import read_source
    from guidegen.vehicle.texts import unprintable

    path, trade = Path(path), load_trade()
    letters: tuple[Finding, ...] = ()
    try:
        source = read_source(path)
        letters = tuple(unprintable(source, undrawable))
        vehicle = vehicle_from_source(source, path.parent)
    except DescriptionError as error:
        return Review(None, _by_line(error.findings + letters))
    except OSError as error:
        message = messages.os_error(error)
        return Review(None, (Finding("error", "unreadable-file", message, mark=Mark(str(path))),))
    findings = (*check(vehicle, trade), *letters, *to_check(source))
    if not any(finding.severity == "error" for finding in findings):
        findings += _refused(vehicle, trade)
    return Review(vehicle, _by_line(findings))


def _refused(vehicle: Vehicle, trade: Trade) -> tuple[Finding, ...]:
    """An error when the vehicle's own orders and steps make no sequence; planned only where there are any."""
    if not vehicle.orders and not vehicle.extra_steps:
        return ()
    from guidegen.sequence.refusals import refusal

    refused = refusal(vehicle, trade)
    if refused is None:
        return ()
    key, message = refused
    hint = "see: guidegen sequence VEHICLE --why STEP"
    return (Finding("error", "sequence-impossible", message, hint, vehicle.marks.get(key, vehicle.mark)),)


def crowded(review: Review) -> tuple[Finding, ...]:
    """A warning when the plan of a pack does not hold all points, as `build` finds out by itself."""
    vehicle = review.vehicle
    if vehicle is None or review.has_errors or len(vehicle.points) <= _MOSTLY_HELD:
        return ()
    from guidegen.documents.training import refuse_crowd
    from guidegen.plan.errors import SheetTooSmallError

    try:
        refuse_crowd(vehicle)
    except SheetTooSmallError as error:
        message, _, hint = str(error).partition(": ")
        return (Finding("warning", "too-many-points", message, hint, vehicle.points[0].mark),)
    return ()


def _by_line(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda f: (f.mark.line, f.mark.column)))


def sound(path: str | Path) -> Vehicle:
    """The vehicle of a description without errors, its points not numbered yet. Raises as `prepare`."""
    return _sound(inspect(path))


def located(error: GuidegenError, path: str | Path) -> GuidegenError:
    """An error of what is too large for its place, or of a picture, with its line of the description."""
    from guidegen.vehicle.source import read_source
    from guidegen.vehicle.texts import place_of, place_of_file

    words = getattr(error, "what", "") or getattr(error.__cause__, "what", "")
    mark = None
    try:
        if isinstance(error, PictureError):
            mark = place_of_file(read_source(Path(path)), error.file)
        elif words:
            mark = place_of(read_source(Path(path)), words)
    except GuidegenError:
        return error
    rule = "picture-unusable" if isinstance(error, PictureError) else "too-large"
    return CheckError((Finding("error", rule, str(error), mark=mark),)) if mark else error


def _sound(review: Review) -> Vehicle:
    if review.vehicle is None:
        raise DescriptionError(review.findings)
    if review.has_errors:
        raise CheckError(review.findings)
    return review.vehicle


def prepare(path: str | Path, options: Options | None = None) -> Context:
    """The numbered vehicle of a description, ready for documents.

    Raises DescriptionError when the file is unreadable and CheckError when its errors stop printing.
    """
    return context_of(inspect(path), options)


def context_of(review: Review, options: Options | None = None, sequences: Sequences | None = None) -> Context:
    """As `prepare`, for a description that was inspected already, with the sequences that were planned."""
    from guidegen.plan.numbering import numbered
    from guidegen.trade.load import load_trade

    vehicle, trade = _sound(review), load_trade()
    trade = trade.of(vehicle.facts)
    return Context(numbered(vehicle), trade, review.findings, options or Options(), sequences)
