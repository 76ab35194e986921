"""guidegen status: the yard table."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import FilePath

if TYPE_CHECKING:
    from rich.text import Text

    from guidegen.desk.yard import Standings

_HEADS = ("Vehicle", "Stock no.", "To mend", "To locate", "First", "Sale", "Handover", "Numbers", "Print")
_DONE, _OPEN, _MEND = "green", "yellow", "bold red"


@click.command(
    short_help="Tells what is missing, checked and printed.",
    epilog="""\b
Examples:
  guidegen status fleet --packs print
  guidegen status fleet --packs print --html yard.html
  guidegen status fleet --json

Exit codes: 0 all could be read; 2 a description could not.""",
)
@click.argument("folder", type=FilePath(exists=True), default=".")
@click.option(
    "--packs",
    type=FilePath(),
    default=".",
    metavar="DIR",
    help="Where the pack folders are: the -o of build. [here]",
)
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list, one record a vehicle.")
@click.option("--html", type=FilePath(), metavar="FILE.html", help="Write a page with the plans.")
@click.pass_context
def command(ctx: click.Context, folder: Path, packs: Path, as_json: bool, html: Path | None) -> None:
    """Tells for every vehicle of a folder (here, by default) what is missing, checked and printed."""
    from guidegen.desk.yard import record, yard
    from guidegen.packs.report import EXIT_UNREADABLE

    if html is not None and html.suffix.lower() not in (".html", ".htm"):
        raise click.BadParameter(f"“{html}” must end in .html", param_hint="--html")
    rows = tuple(yard(folder, packs))
    if html is not None:
        _write_page(html, folder, rows)
    if as_json:
        click.echo(json.dumps([record(row) for row in rows], ensure_ascii=False, indent=2))
    elif html is None:
        _table(rows)
    ctx.exit(EXIT_UNREADABLE if any(row.vehicle is None for row in rows) else 0)


def _write_page(file: Path, folder: Path, rows: tuple[Standings, ...]) -> None:
    from guidegen.desk.yard_page import yard_page
    from guidegen.packs.writing import write_file
    from guidegen.trade.load import load_trade

    write_file(file, yard_page(f"Yard: {folder.resolve().name}", rows, load_trade()).encode(errors="replace"))
    click.echo(f"{file} written", err=True)


def _table(rows: tuple[Standings, ...]) -> None:
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    for head in _HEADS:
        table.add_column(head, overflow="fold", no_wrap=head not in ("Vehicle", "Stock no.", "Print"))
    for row in rows:
        table.add_row(*_cells(row))
    console = Console(highlight=False)
    if not console.is_terminal:  # a file has no edge
        console.width = 160
    console.print(table)


def _cells(row: Standings) -> Iterator[Text]:
    from rich.text import Text

    vehicle = row.vehicle
    yield Text(vehicle.id if vehicle else row.file.name, "bold")
    if vehicle is None:
        yield from (Text(""), Text("unreadable", _MEND))
        return
    yield Text(vehicle.stock_number)
    yield _to_mend(row)
    yield Text(str(len(vehicle.to_locate)), _OPEN) if vehicle.to_locate else Text("none", _DONE)
    for check in row.checked.values():
        yield Text(str(check.on), _DONE) if check else Text("—")
    yield Text("changed", _MEND) if row.renumbered else Text("frozen" if row.frozen else "free")
    yield Text(row.print_state, _DONE if row.print_state == "up to date" else _OPEN)


def _to_mend(row: Standings) -> Text:
    from rich.text import Text

    from guidegen.desk.yard import counted

    if row.errors:
        return Text(counted(row.errors, "error"), _MEND)
    others = row.other_warnings
    return Text(counted(others, "warning"), _OPEN) if others else Text("nothing", _DONE)
