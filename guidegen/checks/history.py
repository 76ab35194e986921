"""Rules on the three checks as a history: who, in which order, and readings that cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import SequenceMatcher

from guidegen.checks.rule import Fault, Scene, rule
from guidegen.trade.records import Reading
from guidegen.vehicle.description import CHECK_NAMES, Check
from guidegen.vehicle.readings import (
    close_names,
    judge_reading,
    known_readings,
    last_day,
    plain_name,
    reading_named,
    reading_within,
)

_SLIP = 0.85  # likeness of two names from which one is taken for a slip of the other
_FAILED = {"no", "false"}


def _done(scene: Scene) -> tuple[tuple[str, Check], ...]:
    checks = scene.vehicle.checks
    return tuple((name, check) for name in CHECK_NAMES if (check := getattr(checks, name, None)))


def _all_readings(scene: Scene) -> Iterator[tuple[str, str, str | int | float]]:
    for name, check in _done(scene):
        yield from ((name, title, value) for title, value in check.readings.items())


@rule("check-skipped")
def check_skipped(scene: Scene) -> Iterator[Fault]:
    """A check was done and the one before it was not."""
    done = {name for name, _ in _done(scene)}
    for earlier, later in zip(CHECK_NAMES, CHECK_NAMES[1:], strict=False):
        if later in done and earlier not in done:
            yield Fault(
                f"the {later} check is done, but not the {earlier} check",
                f"do it, or write it down under checks: {earlier}: by whom and when",
                scene.mark(f"checks.{later}"),
            )


@rule("check-same-person")
def check_same_person(scene: Scene) -> Iterator[Fault]:
    """The first check and the one at the sale were done by one person (trade: a second pair of eyes)."""
    done = dict(_done(scene))
    if {"first", "sale"} <= done.keys() and _folded(done["first"].by) == _folded(done["sale"].by):
        yield Fault(
            f"the first check and the check at the sale were both done by {done['sale'].by}",
            "let a second person check what the first one found",
            scene.mark("checks.sale.by"),
        )


def _folded(name: str) -> str:
    return "".join(name.casefold().split())


@rule("reading-name")
def reading_name(scene: Scene) -> Iterator[Fault]:
    """The name of a reading looks like a slip of another; readings of one's own are welcome."""
    known = known_readings(scene.vehicle.facts, scene.trade)
    for check, title, _ in _all_readings(scene):
        close = close_names(title, known)
        if not reading_named(title, known) and close and _likeness(title, close[0]) >= _SLIP:
            yield Fault(
                f"{check} check: “{title}” is no reading that is asked for",
                f"did you mean “{close[0]}”?",
                scene.mark(f"checks.{check}.readings.{title}"),
            )


def _likeness(a: str, b: str) -> float:
    return SequenceMatcher(None, a.casefold(), b.casefold()).ratio()


@rule("reading-impossible")
def reading_impossible(scene: Scene) -> Iterator[Fault]:
    """A reading that is no figure where one is needed, has a wrong unit, or cannot be."""
    for check, title, value, reading in _matched(scene):
        fault = judge_reading(reading, value)
        if fault:
            mark = scene.mark(f"checks.{check}.readings.{title}")
            yield Fault(f"{check} check, {title}: {fault}", "look at the sheet, or read it off again", mark)


@rule("reading-failed")
def reading_failed(scene: Scene) -> Iterator[Fault]:
    """Something did not work when it was tried last."""
    last = {plain_name(title): check for check, title, _ in _all_readings(scene)}
    for check, title, value, reading in _matched(scene):
        if check == last[plain_name(title)] and reading.answer and str(value).casefold() in _FAILED:
            yield Fault(
                f"{check} check, {title}: it failed",
                "have it put right by someone qualified and tried again before the vehicle goes out",
                scene.mark(f"checks.{check}.readings.{title}"),
            )


@rule("reading-expired")
def reading_expired(scene: Scene) -> Iterator[Fault]:
    """Something may no longer be used on the day of the check that read its date."""
    done = dict(_done(scene))
    for check, title, value, reading in _matched(scene):
        last = last_day(value) if reading.until else None
        if last and last < done[check].on:
            yield Fault(
                f"{check} check, {title}: {value} was over on {done[check].on}",
                "have it replaced before the vehicle goes out, and write down the new date",
                scene.mark(f"checks.{check}.readings.{title}"),
            )


def _matched(scene: Scene) -> Iterator[tuple[str, str, str | int | float, Reading]]:
    known = known_readings(scene.vehicle.facts, scene.trade)
    for check, title, value in _all_readings(scene):
        reading = reading_within(title, known)
        if reading:
            yield check, title, value, reading


RULES = (check_skipped, check_same_person, reading_name, reading_impossible, reading_failed, reading_expired)
