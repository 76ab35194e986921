"""Readings of the checks: which there are for a vehicle, which one a name means, whether a value can be."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable
from datetime import date
from difflib import get_close_matches

from guidegen.trade.records import Reading, Trade, holds

_FIGURE = re.compile(r"\s*([-+−]?\d+(?:[.,]\d+)?)\s*(.*?)\s*")
_WEEK_AND_YEAR = re.compile(r"(0[1-9]|[1-4]\d|5[0-3])\d\d")  # of a tyre: UN/ECE R30 and R54
_DATE = re.compile(r"(2\d{3})(?:-(\d\d?)(?:-(\d\d?))?)?")
_ANSWERS = {"yes", "no", "true", "false", "ok"}


def readings_of(facts: frozenset[str], trade: Trade) -> tuple[Reading, ...]:
    """The readings that a vehicle with those facts asks for, in the order of the trade; each name once."""
    found: dict[str, Reading] = {}
    for reading in trade.readings:
        if holds(reading.when, facts):
            found.setdefault(plain_name(reading.name), reading)
    return tuple(found.values())


def known_readings(facts: frozenset[str], trade: Trade) -> tuple[Reading, ...]:
    """The readings that the vehicle asks for, then all others there are."""
    return (*readings_of(facts, trade), *trade.readings)


def reading_named(name: str, readings: Iterable[Reading]) -> Reading | None:
    """The reading of that name, as plain_name has it."""
    return next((r for r in readings if plain_name(r.name) == plain_name(name)), None)


def reading_within(name: str, readings: Iterable[Reading]) -> Reading | None:
    """As reading_named; else the longest name that stands within a name of one's own, where it may."""
    known = tuple(readings)
    words = f" {plain_name(name)} "
    within = [r for r in known if r.within and f" {plain_name(r.name)} " in words]
    return reading_named(name, known) or max(within, key=lambda r: len(r.name), default=None)


def close_names(name: str, readings: Iterable[Reading]) -> tuple[str, ...]:
    """The names that may be meant, likeliest first."""
    names = {plain_name(r.name): r.name for r in readings}
    return tuple(names[n] for n in get_close_matches(plain_name(name), names, 3, 0.6))


def judge_reading(reading: Reading, value: str | int | float | bool) -> str:
    """What is wrong with a value, "" when nothing is: it is no figure, lacks its unit, or cannot be."""
    text = {True: "yes", False: "no"}.get(value) if isinstance(value, bool) else str(value)
    text = (text or "").strip()
    if not text:
        return "nothing is written"
    if reading.answer and text.lower() in _ANSWERS:
        return ""
    if not reading.unit:
        return "write yes or no" if reading.answer else ""
    first, _, second = text.partition(f" {reading.also} ") if reading.also else (text, "", "")
    fault = _judge_figure(first, reading)
    if fault or not second:
        return fault
    if not _FIGURE.fullmatch(second):
        return f"“{second}” after “{reading.also}” is not a figure"
    if reading.also_unit == "week and year" and not _WEEK_AND_YEAR.fullmatch(second):
        return f"“{second}” is no week and year: four figures, such as 2223 for week 22 of 2023"
    return ""


def last_day(value: str | int | float | bool) -> date | None:
    """The last day of a date written as "2031", "2031-05" or "2031-05-17"; None of anything else."""
    found = _DATE.fullmatch(str(value).strip())
    if not found:
        return None
    year, month = int(found[1]), int(found[2] or 12)
    try:
        return date(year, month, int(found[3] or monthrange(year, month)[1]))
    except ValueError:  # a month or day that no calendar has
        return None


def is_unusual(reading: Reading, value: str | int | float | bool) -> bool:
    """Whether a value that can be lies outside the usual range, or the answer is no."""
    if str(value).lower() in ("no", "false"):
        return reading.answer
    found = _FIGURE.match(str(value))
    if not reading.usual or not found or not found[1]:
        return False
    least, greatest = reading.usual
    return not least <= _number(found[1]) <= greatest


def usual_words(reading: Reading) -> str:
    """What is printed beside a reading: "12.4 to 12.9 V", "yes", or the bare unit."""
    if reading.usual:
        least, greatest = (f"{n:g}" for n in reading.usual)
        return f"{least} to {greatest} {reading.unit}" + (", or yes" if reading.answer else "")
    return reading.unit or ("yes" if reading.answer else "")


def _judge_figure(text: str, reading: Reading) -> str:
    found = _FIGURE.fullmatch(text)
    example = f"{(reading.usual or reading.possible or (0,))[0]:g} {reading.unit}"
    if not found:
        choice = ", or yes or no" if reading.answer else ""
        return f"“{text}” is not a figure: write it like “{example}”{choice}"
    if found[2] not in ("", reading.unit):
        return f"“{found[2]}” is not the unit of this reading: write it like “{example}”"
    value = _number(found[1])
    if reading.possible and not reading.possible[0] <= value <= reading.possible[1]:
        least, greatest = reading.possible
        return f"{value:g} {reading.unit} cannot be: {least:g} to {greatest:g} {reading.unit} can"
    return ""


def _number(text: str) -> float:
    return float(text.replace(",", ".").replace("−", "-"))


def plain_name(name: str) -> str:
    """A name without its capitals, hyphens and commas: two names alike in it are one reading."""
    return " ".join(re.sub(r"[-–,_]", " ", name.casefold()).split())
