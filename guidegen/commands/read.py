"""guidegen read: a filled-in workbook or CSV file back into a vehicle file."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import FilePath, output_option, shown

if TYPE_CHECKING:
    from guidegen.desk.bringing_back import BroughtBack

_MOST_TOLD = 12  # values that the file had otherwise


@click.command(
    short_help="Puts a filled-in workbook into a vehicle file.",
    epilog="""\b
Examples:
  guidegen read larch.xlsx
  guidegen read larch-points.csv -o larch.yaml

What is new is put into the vehicle file; its remarks, and all that stays the same, are left as they are.
The file as it was is kept as FILE.yaml.old. A CSV file changes the points alone.

Mistakes are told all at once, with their sheet and cell, and then nothing is written.""",
)
@click.argument("file", type=FilePath())
@output_option(".yaml", ".yml", blank="named after FILE, .yaml")
@click.pass_context
def command(ctx: click.Context, file: Path, output: Path | None) -> None:
    """Puts a filled-in workbook or CSV file into a vehicle file."""
    from guidegen import messages
    from guidegen.desk.bringing_back import from_csv, from_workbook
    from guidegen.errors import DescriptionError
    from guidegen.packs.writing import write_file

    suffix = file.suffix.lower()
    if suffix not in (".xlsx", ".csv"):
        said = f"“{file}” must end in .xlsx or .csv: save it as one of them"
        raise click.BadParameter(said, param_hint="FILE")
    output = output or file.with_suffix(".yaml")
    try:
        done = from_csv(file, output) if suffix == ".csv" else from_workbook(file, output.parent, output)
    except DescriptionError as error:
        click.echo(messages.failure(error), err=True)
        click.echo(f"{messages.summary(error.findings)}; nothing was written: mend {file}", err=True)
        ctx.exit(error.exit_code)
    for remark in done.remarks:
        click.echo(messages.render(remark), err=True)
    if str(output) == "-":
        write_file(output, done.data)
        return
    _written(file, output, done)
    ctx.exit(int(any(remark.severity == "error" for remark in done.remarks)))


def _written(file: Path, output: Path, done: BroughtBack) -> None:
    from guidegen import messages
    from guidegen.commands.schema import write_schema
    from guidegen.packs.writing import write_keeping
    from guidegen.pipeline import inspect

    there = output.exists()
    if write_keeping(output, done.data):
        lost = "" if done.kept else " with its remarks, which could not be taken over"
        click.echo(f"the file before is kept as {output.name}.old{lost}", err=True)
    if done.id_before:
        click.echo(f"{output} was of “{done.id_before}”; it is of “{done.vehicle.id}” now", err=True)
    for one in done.changed[:_MOST_TOLD]:
        click.echo(f"{one.what}: {one.a} in the file before, {one.b} now", err=True)
    if len(done.changed) > _MOST_TOLD:
        click.echo(f"and {len(done.changed) - _MOST_TOLD} more that the file said otherwise", err=True)
    if done.gone:
        click.echo(f"points that the file had and the table has not: {', '.join(done.gone)}", err=True)
    if done.numbers_gone:
        click.echo(
            f"{done.numbers_gone} numbers that were written in the file are not in the table and are gone: "
            "was the table made before they were frozen? Then freeze again, or take the .old file back",
            err=True,
        )
    if not there or not done.kept:
        write_schema(output.parent)
    wanted = tuple(missing.kind for missing in done.vehicle.to_locate)
    if wanted:
        click.echo(f"still to be located: {_counted(wanted)}", err=True)
    others = tuple(kind for kind in done.left_out if kind not in wanted)
    if others:
        click.echo(f"left out, since no place is written: {_counted(others)}", err=True)
    said = messages.summary(inspect(output).findings)
    click.echo(f"{output} written; guidegen check {shown(output)}: {said}", err=True)


def _counted(kinds: tuple[str, ...]) -> str:
    counts = Counter(kinds)
    return ", ".join(f"{count} × {kind}" if count > 1 else kind for kind, count in counts.items())
