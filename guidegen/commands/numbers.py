"""guidegen numbers: what can run together, warm-up times, endurance, payload, with their formulas."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import vehicle_argument

if TYPE_CHECKING:
    from guidegen.numbers.model import Number, NumberSheet

_SUBJECTS = {
    "power": "230 V hook-up",
    "hot-water": "Hot water",
    "gas": "Gas",
    "battery": "Leisure battery",
    "water": "Water",
    "mass": "Mass",
    "lead": "Hook-up lead",
}


@click.command(
    epilog="""\b
Examples:
  guidegen numbers larch.yaml
  guidegen numbers larch.yaml --json"""
)
@vehicle_argument
@click.option("--json", "as_json", is_flag=True, help="Print the numbers as JSON.")
def command(vehicle: Path, as_json: bool) -> None:
    """Prints the numbers of a vehicle with their formulas."""
    from guidegen.numbers import compute_numbers, numbers_json
    from guidegen.pipeline import sound

    sheet = compute_numbers(sound(vehicle))
    if as_json:
        click.echo(json.dumps(numbers_json(sheet), ensure_ascii=False, indent=2))
    else:
        click.echo("\n".join(_lines(sheet)))


def _lines(sheet: NumberSheet) -> Iterator[str]:
    for subject, group in groupby(sheet.numbers, key=lambda number: number.subject):
        numbers = tuple(group)
        yield click.style(_SUBJECTS[subject], bold=True)
        for number in numbers:
            yield from _wrapped(number.text, "  ")
            yield from _wrapped(number.formula, "      ", dim=True)
        yield from _wrapped("Assumed: " + " ".join(_assumptions(numbers)), "  ", dim=True)
        yield ""
    if sheet.missing:
        yield click.style("Not computed", bold=True)
        for id, reason in sheet.missing:
            yield from _wrapped(f"{id}: {reason}", "  ")


def _assumptions(numbers: tuple[Number, ...]) -> tuple[str, ...]:
    """Each assumption once."""
    return tuple(dict.fromkeys(text for number in numbers for text in number.assumptions))


def _wrapped(text: str, indent: str, *, dim: bool = False) -> Iterator[str]:
    for line in textwrap.wrap(text, 100, initial_indent=indent, subsequent_indent=indent + "  "):
        yield click.style(line, dim=True) if dim else line
