"""guidegen compare: what differs between two vehicles."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec.structs import asdict

from guidegen.commands.common import FilePath

if TYPE_CHECKING:
    from guidegen.desk.comparing import Difference

_TITLES = {
    "vehicle": "Vehicle",
    "equipment": "Equipment",
    "point": "Points",
    "place": "Places",
    "number": "Callout numbers",
}


@click.command(
    short_help="Tells what differs between two vehicles.",
    epilog="""\b
Examples:
  guidegen compare larch.yaml larch-old.yaml
  guidegen compare larch.yaml alder.yaml --json

Points are matched by their ids.""",
)
@click.argument("a", type=FilePath())
@click.argument("b", type=FilePath())
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list of {subject, what, a, b, name}.")
def command(a: Path, b: Path, as_json: bool) -> None:
    """Tells what differs between two vehicles: equipment, places, numbers."""
    from guidegen.desk.comparing import compare

    found = compare(a, b)
    if as_json:
        click.echo(json.dumps([asdict(one) for one in found], ensure_ascii=False, indent=2))
    elif found:
        _table(found, a, b)
    else:
        click.echo("no difference")


def _heads(a: Path, b: Path) -> tuple[str, str]:
    """The names of the files; with their folders where the names are the same."""
    return (str(a), str(b)) if a.name == b.name else (a.name, b.name)


def _title(one: Difference, rows: list[Difference]) -> str:
    """The printed name, with the id where several points have it."""
    if not one.name or sum(other.name == one.name for other in rows) > 1:
        return f"{one.name} ({one.what})" if one.name else one.what
    return one.name


def _table(found: tuple[Difference, ...], a: Path, b: Path) -> None:
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(highlight=False, soft_wrap=False)
    for subject, title in _TITLES.items():
        rows = [one for one in found if one.subject == subject]
        if not rows:
            continue
        table = Table(title=f"{title} ({len(rows)})", title_justify="left", box=None, pad_edge=False)
        for head in ("", *_heads(a, b)):
            table.add_column(head, overflow="fold")
        for one in rows:  # as plain text: a name may hold what would be markup
            table.add_row(Text(_title(one, rows), "bold"), Text(one.a or "—"), Text(one.b or "—"))
        console.print(table)
        console.print()
