"""guidegen list: what there is to choose from."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import FilePath

if TYPE_CHECKING:
    from guidegen.drawing.primitives import Document

Row = tuple[str, str]  # the word to write, and what it is


def _layouts() -> Iterator[Row]:
    from guidegen.vehicle.layout_reading import layout_ids, read_layout

    for id in layout_ids():
        layout = read_layout(id)
        yield id, ". ".join(part for part in (layout.name, layout.about) if part)


def _kinds() -> Iterator[Row]:
    from guidegen.trade.load import load_trade

    trade = load_trade()
    letters = {system.id: system.letter for system in trade.systems.values()}
    for kind in sorted(trade.kinds.values(), key=lambda k: (letters.get(k.system, k.system), k.id)):
        yield kind.id, f"{letters.get(kind.system, kind.system)}  {kind.name}"


def _equipment() -> Iterator[Row]:
    from guidegen.vehicle.description import Equipment
    from guidegen.vehicle.schema import schema_of

    for name, field in schema_of(Equipment).model_fields.items():
        block = next((t for t in _types(field.annotation) if hasattr(t, "model_fields")), None)
        yield name, ", ".join(block.model_fields) if block else (field.description or "")


def _types(annotation: object) -> tuple[type, ...]:
    from typing import get_args

    inner = get_args(annotation)
    return tuple(t for a in inner for t in _types(a)) if inner else (annotation,)  # type: ignore[return-value]


def _symbols() -> Iterator[Row]:
    from guidegen.drawing.symbols import symbol_names
    from guidegen.trade.load import load_trade

    users: dict[str, list[str]] = {}
    for kind in load_trade().kinds.values():
        for symbol in (kind.symbol, *dict(kind.symbol_if).values()):
            users.setdefault(symbol, []).append(kind.id)
    for name in symbol_names():
        yield name, ", ".join(users.get(name, ()))


def _folds() -> Iterator[Row]:
    from guidegen.paper.folds import fold, fold_names

    for name in fold_names():
        yield name, fold(name).title


def _stickers() -> Iterator[Row]:
    from guidegen.paper.labels import label_sheet, label_sheet_names

    for name in label_sheet_names():
        yield name, label_sheet(name).title


def _documents() -> Iterator[Row]:
    from guidegen.documents.registry import DOCUMENTS

    for name, entry in DOCUMENTS.items():
        yield name, entry.about


LISTS: dict[str, Callable[[], Iterator[Row]]] = {
    "layouts": _layouts,
    "kinds": _kinds,
    "equipment": _equipment,
    "folds": _folds,
    "stickers": _stickers,
    "symbols": _symbols,
    "documents": _documents,
}


@click.command(
    epilog="""\b
Examples:
  guidegen list layouts
  guidegen list kinds --json
  guidegen list layouts -o layouts.pdf
  guidegen list symbols -o symbols.pdf"""
)
@click.argument("what", type=click.Choice(tuple(LISTS)))
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list.")
@click.option(
    "-o",
    "--output",
    type=FilePath(),
    metavar="FILE.pdf",
    help="Layouts, symbols: draw them all.",
)
def command(what: str, as_json: bool, output: Path | None) -> None:
    """Lists what a description can name."""
    if output is not None:
        _draw(what, output)
        return
    rows = list(LISTS[what]())
    if as_json:
        records = [{"id": word, "about": about} for word, about in rows]
        click.echo(json.dumps(records, ensure_ascii=False, indent=2))
        return
    width = max((len(word) for word, _ in rows), default=0)
    for word, about in rows:
        click.echo(f"{click.style(word.ljust(width), bold=True)}  {about}".rstrip())


def _draw(what: str, output: Path) -> None:
    """Writes the contact sheet of the layouts or the symbols."""
    from guidegen.drawing.pdf import write_pdf
    from guidegen.packs.writing import write_file

    if what not in DRAWN or output.suffix.lower() != ".pdf":
        raise click.UsageError("only layouts and symbols can be drawn, into a file that ends in .pdf")
    write_file(output, write_pdf(DRAWN[what]()))


def _layout_sheet() -> Document:
    from guidegen.documents.layout_sheet import compose_layout_sheet
    from guidegen.vehicle.layout_reading import layout_ids, read_layout

    return compose_layout_sheet([read_layout(id) for id in layout_ids()])


def _symbol_sheet() -> Document:
    from guidegen.documents.contact_sheet import compose_contact_sheet
    from guidegen.trade.load import load_trade

    return compose_contact_sheet(load_trade())


DRAWN: dict[str, Callable[[], Document]] = {"layouts": _layout_sheet, "symbols": _symbol_sheet}
