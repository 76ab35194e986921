"""guidegen plan: the floor diagram alone."""

from __future__ import annotations

from pathlib import Path

import click

from guidegen.commands.common import comma_list, dpi_option, output_option, vehicle_argument, write_document


@click.command(
    epilog="""\b
Examples:
  guidegen plan larch.yaml -o larch-plan.pdf
  guidegen plan larch.yaml -o larch-gas.svg --system G
  guidegen plan larch.yaml -o larch-wall.pdf --paper A3 --orientation portrait"""
)
@vehicle_argument
@output_option(".pdf", ".svg", ".png")
@click.option(
    "--system", "systems", callback=comma_list, metavar="LETTERS", help="Only these systems, such as G,F."
)
@click.option("--paper", default="A4", show_default=True, metavar="SIZE", help="A0 to A5.")
@click.option(
    "--orientation", type=click.Choice(("landscape", "portrait")), default="landscape", show_default=True,
    help="Portrait stands the vehicle upright, front up.",
)  # fmt: skip
@dpi_option
def command(
    vehicle: Path, output: Path, systems: tuple[str, ...], paper: str, orientation: str, dpi: int
) -> None:
    """Draws the floor diagram with its numbered callouts; PDF has the key on a second sheet."""
    from guidegen.plan.sheet import PlanOptions

    long, short = _sides(paper)
    size = (long, short) if orientation == "landscape" else (short, long)
    write_document("plan", vehicle, output, dpi=dpi, plan=PlanOptions(*size, systems=_letters(systems)))


def _sides(name: str) -> tuple[float, float]:
    from guidegen.paper.sheets import iso_a

    if name.upper() not in ("A0", "A1", "A2", "A3", "A4", "A5"):
        raise click.BadParameter(f"there is no paper “{name}”; there are: A0 to A5", param_hint="--paper")
    sheet = iso_a(int(name[1]))
    return max(sheet.width_mm, sheet.height_mm), min(sheet.width_mm, sheet.height_mm)


def _letters(systems: tuple[str, ...]) -> tuple[str, ...]:
    from guidegen.trade.load import load_trade

    known = load_trade().systems
    letters = tuple(s.upper() for s in systems)
    for letter in letters:
        if letter not in known:
            there = ", ".join(f"{s.letter} {s.name}" for s in known.values())
            message = f"there is no system “{letter}”; there are: {there}"
            raise click.BadParameter(message, param_hint="--system")
    return letters
