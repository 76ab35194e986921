"""guidegen sheet: the description as a workbook, or its points as CSV."""

from __future__ import annotations

from pathlib import Path

import click

from guidegen.commands.common import output_option, shown, vehicle_argument


@click.command(
    short_help="Writes a workbook to fill in instead of YAML.",
    epilog="""\b
Examples:
  guidegen sheet larch.yaml
  guidegen sheet larch.yaml -o larch-points.csv

guidegen read brings the filled-in workbook back.""",
)
@vehicle_argument
@output_option(".xlsx", ".csv", blank="named after VEHICLE, .xlsx")
def command(vehicle: Path, output: Path | None) -> None:
    """Writes a workbook to fill in instead of YAML; CSV holds the points alone."""
    from guidegen.desk.csv_points import csv_bytes
    from guidegen.desk.workbook import workbook_bytes
    from guidegen.packs.writing import write_keeping
    from guidegen.trade.load import load_trade
    from guidegen.vehicle.reading import vehicle_from_source
    from guidegen.vehicle.source import read_source

    output = output or vehicle.with_suffix(".xlsx")
    source = read_source(vehicle)
    made = vehicle_from_source(source, vehicle.parent)
    points_alone = output.suffix.lower() == ".csv"
    data = csv_bytes(source, made) if points_alone else workbook_bytes(source, made, load_trade())
    if write_keeping(output, data):
        click.echo(f"the file before, and what was filled in there, is kept as {output.name}.old", err=True)
    into = "" if output.with_suffix(".yaml") == vehicle else f" -o {shown(vehicle)}"
    click.echo(f"{output} written; when it is filled in: guidegen read {shown(output)}{into}", err=True)
