"""guidegen read: a filled-in workbook or CSV file back into a vehicle file."""

from __future__ import annotations

from pathlib import Path

import click

from guidegen.commands.common import output_option


@click.command(
    epilog="""\b
Examples:
  guidegen read larch.xlsx -o larch.yaml
  guidegen read larch-points.csv -o larch.yaml

A workbook makes the whole file anew; a CSV file changes the points of a file that exists and leaves the
rest of it alone. Mistakes are told with their sheet and cell, and then nothing is written."""
)
@click.argument("file", type=click.Path(path_type=Path))
@output_option(".yaml", ".yml")
@click.option("--force", is_flag=True, help="Write over a vehicle file that exists; its remarks are lost.")
def command(file: Path, output: Path, force: bool) -> None:
    """Makes a vehicle file of a workbook, or puts the points of a CSV file into one."""
    from guidegen import messages
    from guidegen.desk.bringing_back import from_csv, from_workbook
    from guidegen.packs.writing import write_file
    from guidegen.pipeline import inspect

    suffix = file.suffix.lower()
    if suffix not in (".xlsx", ".csv"):
        raise click.BadParameter(f"“{file}” must end in .xlsx or .csv", param_hint="FILE")
    if suffix == ".xlsx" and output.exists() and not force:
        raise click.UsageError(
            f"{output} exists already: choose another name, or --force (its remarks are lost)"
        )
    done = from_csv(file, output) if suffix == ".csv" else from_workbook(file, output.parent)
    write_file(output, done.data)
    for left_out in done.left_out:
        click.echo(f"without a place yet, so to be located: {left_out}", err=True)
    said = messages.summary(inspect(output).findings)
    click.echo(f"{output} written; guidegen check {output}: {said}", err=True)
