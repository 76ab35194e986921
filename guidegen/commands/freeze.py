"""guidegen freeze: the callout numbers into the file."""

from __future__ import annotations

from pathlib import Path

import click

from guidegen.commands.common import FilePath, vehicle_argument


@click.command(
    short_help="Pins the callout numbers in the vehicle file.",
    epilog="""\b
Examples:
  guidegen freeze larch.yaml
  guidegen freeze larch.yaml --printed print

Freeze before the stickers are stuck on: a point added later then takes the next free number, and all
others keep theirs. Nothing else in the file is changed.""",
)
@vehicle_argument
@click.option(
    "--printed",
    type=FilePath(file_okay=False),
    metavar="DIR",
    help="Take the numbers of the last print in this folder (the -o of build) where it has them.",
)
@click.option(
    "--before", is_flag=True, help="With --printed: those of the print before the last renumbering."
)
def command(vehicle: Path, printed: Path | None, before: bool) -> None:
    """Writes the callout numbers into the vehicle file, so that reprints and stickers never disagree."""
    from guidegen.desk.freezing import freeze
    from guidegen.packs.writing import write_file

    if before and printed is None:
        raise click.UsageError("--before needs --printed DIR")
    done = freeze(vehicle, _numbers(vehicle, printed, before) if printed else None)
    if done.added:
        write_file(vehicle, done.data)
    count = len(done.added)
    word = "number" if count == 1 else "numbers"
    click.echo(f"{vehicle}: {count} {word} written" if count else f"{vehicle}: every number is in the file")


def _numbers(vehicle: Path, printed: Path, before: bool) -> dict[str, int]:
    from guidegen.errors import WrongUse
    from guidegen.packs.freshness import read_state
    from guidegen.pipeline import sound

    state = read_state(printed / sound(vehicle).id)
    numbers = state.numbers_before if before else state.numbers
    if not numbers:
        what = "print before a renumbering" if before else "print"
        raise WrongUse(f"{printed}: no {what} of this vehicle is known there: name the -o of build")
    return dict(numbers)
