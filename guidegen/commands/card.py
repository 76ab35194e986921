"""guidegen card: the folded card alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from guidegen.commands.common import (
    dpi_option,
    duplex_option,
    fold_option,
    output_option,
    vehicle_argument,
    write_document,
)


@click.command(
    short_help="Makes the folding card for the glovebox.",
    epilog="""\b
Examples:
  guidegen card larch.yaml -o larch-card.pdf
  guidegen card larch.yaml -o larch-card.pdf --fold thirds""",
)
@vehicle_argument
@output_option(".pdf", ".svg", ".png")
@fold_option
@duplex_option
@dpi_option
def command(vehicle: Path, output: Path, **printing: Any) -> None:
    """Makes the card for the glovebox: one A4 sheet to fold; SVG and PNG have its first side."""
    write_document("card", vehicle, output, **printing)
