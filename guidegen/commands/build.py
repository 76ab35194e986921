"""guidegen build: everything for each vehicle."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from guidegen.commands.common import FilePath, comma_list, printing_options


@click.command(
    short_help="Makes every document of each vehicle.",
    epilog="""\b
Examples:
  guidegen build larch.yaml
  guidegen build larch.yaml -o print --only card,stickers
  guidegen build fleet -o print --jobs 4 --json

A pack is written whole or not at all; what is up to date is left alone. Exit codes: 0 all built or up to
date; else the highest of 1 errors found, 2 a file cannot be read or written, 3 a fault of guidegen.""",
)
@click.argument(
    "vehicles",
    nargs=-1,
    required=True,
    metavar="VEHICLE|FOLDER…",
    type=FilePath(readable=False),
)
@click.option("-o", "--output", default=".", type=FilePath(), help="Where the pack folders go. [here]")
@click.option(
    "--only", callback=comma_list, metavar="NAME,…", help="These documents alone; see list documents."
)
@click.option("--jobs", type=click.IntRange(1, 256), help="Vehicles built at one time. [the processors]")
@click.option("--force", is_flag=True, help="Build what is up to date too.")
@click.option("--json", "as_json", is_flag=True, help="Print a JSON report of every vehicle.")
@click.option("--watch", is_flag=True, help="Build again whenever a file changes (needs guidegen[watch]).")
@printing_options
@click.pass_context
def command(
    ctx: click.Context,
    /,
    vehicles: tuple[Path, ...],
    output: Path,
    only: tuple[str, ...],
    jobs: int | None,
    force: bool,
    as_json: bool,
    watch: bool,
    **printing: Any,
) -> None:
    """Builds every document of each vehicle into a folder named after its id."""
    from guidegen.commands.building import Job, run, watching
    from guidegen.documents.context import Options
    from guidegen.packs.building import document_names

    try:
        names = document_names(only)
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--only") from error
    job = Job(vehicles, output, names, jobs, Options(**printing))
    if watch:
        watching(job)
    else:
        ctx.exit(run(job, force=force, as_json=as_json))
