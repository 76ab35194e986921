"""guidegen check: what is missing or implausible, before anything is printed."""

from __future__ import annotations

import json
from pathlib import Path

import click

from guidegen.commands.common import FilePath


@click.command(
    epilog="""\b
Examples:
  guidegen check larch.yaml
  guidegen check --strict --json fleet/*.yaml

Exit codes: 0 no errors; 1 errors (with --strict: or warnings); 2 a file is missing, or its YAML, keys,
values or units are wrong."""
)
@click.argument("vehicles", nargs=-1, required=True, metavar="VEHICLE…", type=FilePath(readable=False))
@click.option("--json", "as_json", is_flag=True, help="Print the findings as a JSON list.")
@click.option("--all", "every", is_flag=True, help="Tell each point to be located by itself.")
@click.option("--strict", is_flag=True, help="Exit 1 for warnings too.")
@click.pass_context
def command(ctx: click.Context, vehicles: tuple[Path, ...], as_json: bool, every: bool, strict: bool) -> None:
    """Finds what is missing or cannot be in vehicle descriptions."""
    from guidegen import messages
    from guidegen.pipeline import crowded, inspect

    reviews = [inspect(path) for path in vehicles]
    findings = [finding for review in reviews for finding in (*review.findings, *crowded(review))]
    if as_json:
        records = [messages.finding_record(finding) for finding in findings]
        click.echo(json.dumps(records, ensure_ascii=False, indent=2))
    else:
        told = map(messages.render, findings) if every else messages.gathered(findings)
        for message in told:
            click.echo(message)
        files = f" in {len(vehicles)} files" if len(vehicles) > 1 else ""
        click.echo(messages.summary(findings) + files)
    if not all(review.readable for review in reviews):
        ctx.exit(2)
    ctx.exit(int(any(strict or finding.severity == "error" for finding in findings)))
