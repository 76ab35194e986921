"""guidegen plan: the floor diagram alone."""

from __future__ import annotations

from pathlib import Path

import click

from guidegen.commands.common import output_option, vehicle_argument, write_document


@click.command(
    epilog="""\b
Examples:
  guidegen plan larch.yaml -o larch-plan.pdf
  guidegen plan larch.yaml -o larch-plan.svg"""
)
@vehicle_argument
@output_option(".pdf", ".svg", ".png")
def command(vehicle: Path, output: Path) -> None:
    """Draws the floor diagram with its numbered callouts; PDF has the key on a second sheet."""
    write_document("plan", vehicle, output)
