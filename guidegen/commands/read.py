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

A workbook makes the whole file anew, without remarks that stood in it; a CSV file changes the points and
leaves the rest alone. A file that was there is kept as FILE.yaml.old. Mistakes are told with their sheet and
cell, and then nothing is written."""
)
@click.argument("file", type=click.Path(path_type=Path))
@output_option(".yaml", ".yml")
def command(file: Path, output: Path) -> None:
    """Makes a vehicle file of a workbook, or puts the points of a CSV file into one."""
    from guidegen import messages
    from guidegen.commands.schema import write_schema
    from guidegen.desk.bringing_back import from_csv, from_workbook
    from guidegen.packs.writing import write_file
    from guidegen.pipeline import inspect

    suffix = file.suffix.lower()
    if suffix not in (".xlsx", ".csv"):
        raise click.BadParameter(f"“{file}” must end in .xlsx or .csv", param_hint="FILE")
    done = from_csv(file, output) if suffix == ".csv" else from_workbook(file, output.parent, output)
    if str(output) == "-":
        write_file(output, done.data)
        return
    if _write(output, done.data):
        click.echo(f"the file before is kept as {output.name}.old", err=True)
    if suffix == ".xlsx":
        write_schema(output.parent)
    for left_out in done.left_out:
        click.echo(f"without a place yet, so to be located: {left_out}", err=True)
    said = messages.summary(inspect(output).findings)
    click.echo(f"{output} written; guidegen check {output}: {said}", err=True)


def _write(file: Path, data: bytes) -> bool:
    """Writes the file; whether another one was there, which is kept."""
    from guidegen.packs.writing import Writing

    old = file.read_bytes() if file.exists() else data
    with Writing(file.parent) as writing:
        if old != data:
            writing.add(f"{file.name}.old", old)
        writing.add(file.name, data)
    return old != data
