"""guidegen plan: the floor diagram alone."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import (
    comma_list,
    dpi_option,
    output_option,
    vehicle_argument,
    warn,
    write_document,
)

if TYPE_CHECKING:
    from guidegen.plan.sheet import PlanOptions


@click.command(
    short_help="Draws the floor diagram with its numbered callouts.",
    epilog="""\b
Examples:
  guidegen plan larch.yaml -o larch-plan.pdf
  guidegen plan larch.yaml -o larch-gas.svg --system G
  guidegen plan larch.yaml -o larch-upright.pdf --orientation portrait
  guidegen plan larch.yaml -o larch-exercise.pdf --blank
  guidegen plan larch.yaml -o larch-wall.pdf --names --paper A3""",
)
@vehicle_argument
@output_option(".pdf", ".svg", ".png")
@click.option(
    "--system", "systems", callback=comma_list, metavar="LETTERS", help="Only these systems, such as G,F."
)
@click.option(
    "--names", is_flag=True,
    help="Names at the ends of the leaders instead of numbers; for a wall, on A3 or larger.",
)  # fmt: skip
@click.option(
    "--blank", is_flag=True,
    help="An exercise: numbers, empty lines to write their names on, and a sheet of answers.",
)  # fmt: skip
@click.option(
    "--paper", metavar="SIZE", help="A0 to A5; by default A4, and A3 with names.",
)  # fmt: skip
@click.option(
    "--orientation", type=click.Choice(("landscape", "portrait")),
    help="Portrait stands the vehicle upright, front up; by default landscape, and portrait with names.",
)  # fmt: skip
@dpi_option
def command(
    vehicle: Path,
    output: Path,
    systems: tuple[str, ...],
    names: bool,
    blank: bool,
    paper: str | None,
    orientation: str | None,
    dpi: int,
) -> None:
    """Draws the floor diagram with its numbered callouts.

    PDF has the key on further sheets. Beside an exercise in SVG or PNG stand files of the same name that
    end in -lines and -answers.
    """
    from guidegen.plan.sheet import PlanOptions

    long, short = _sides(paper or ("A3" if names else "A4"))
    upright = orientation == "portrait" or (names and orientation is None)
    size = (short, long) if upright else (long, short)
    _write(vehicle, output, dpi, PlanOptions(*size, systems=_letters(systems), names=names, blank=blank))


def _write(vehicle: Path, output: Path, dpi: int, options: PlanOptions) -> None:
    """One file, or beside it those of an exercise; all of them or none."""
    suffix = output.suffix.lower()
    if not options.blank or suffix in (".pdf", ""):
        write_document("plan", vehicle, output, dpi=dpi, plan=options)
        return
    from guidegen.documents.context import Options
    from guidegen.documents.plan import parts
    from guidegen.drawing.primitives import Document
    from guidegen.errors import GuidegenError
    from guidegen.packs.rendering import render
    from guidegen.packs.writing import Writing
    from guidegen.pipeline import located, prepare

    context = prepare(vehicle, Options(plan=options))
    try:
        with Writing(output.parent) as files:
            for part in parts(context):
                for number, sheet in enumerate(part.sheets, 1):
                    words = (output.stem, part.name, str(number) if number > 1 else "")
                    name = "-".join(word for word in words if word) + output.suffix
                    files.add(name, render(Document((sheet,)), suffix.lstrip("."), dpi))
    except GuidegenError as error:
        raise located(error, vehicle) from error
    warn(context.findings)


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
