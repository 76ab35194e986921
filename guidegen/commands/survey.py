"""guidegen survey: the sheet to take on the walk round."""

from __future__ import annotations

from pathlib import Path

import click

from guidegen.commands.common import output_option, write_document

_SUFFIXES = (".yaml", ".yml")


@click.command(
    epilog="""\b
Examples:
  guidegen survey larch.yaml
  guidegen survey van-short -o survey.pdf --nearside right

Of a vehicle it prints what is known and has boxes for what is missing; of a base layout it has boxes for
every point there may be."""
)
@click.argument("subject", metavar="VEHICLE|LAYOUT")
@output_option(".pdf", blank="VEHICLE-survey.pdf")
@click.option(
    "--nearside", type=click.Choice(("left", "right")), default="left", show_default=True,
    help="The kerb side of a base layout; a vehicle's file says it.",
)  # fmt: skip
def command(subject: str, output: Path | None, nearside: str) -> None:
    """Makes the survey sheet of a vehicle, or of a base layout."""
    path = Path(subject)
    known = path.suffix in _SUFFIXES or path.exists()
    file = output or path.with_name(f"{path.stem if known else path.name}-survey.pdf")
    if known:
        write_document("survey", path, file)
    else:
        _survey_layout(subject, file, nearside)
    if output is None:
        click.echo(f"{file} written", err=True)


def _survey_layout(layout_id: str, output: Path, nearside: str) -> None:
    from guidegen.documents.survey import compose_survey
    from guidegen.packs.rendering import render
    from guidegen.packs.writing import write_file
    from guidegen.vehicle.layout_reading import LayoutError, read_layout

    try:
        layout = read_layout(layout_id)
    except LayoutError as error:
        said = "; ".join(f"{f.message} ({f.hint})" if f.hint else f.message for f in error.findings)
        raise click.BadParameter(said, param_hint="VEHICLE|LAYOUT") from error
    document = compose_survey(layout, nearside="right" if nearside == "right" else "left")
    write_file(output, render(document, "pdf"))
