"""guidegen new: a commented description to fill in."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from guidegen.vehicle.layout import Layout

_KINDS = ("motorhome", "campervan", "caravan")


@click.command(
    epilog="""\b
Examples:
  guidegen new "Larch 745" --layout coachbuilt-island-bed --equipment usual,solar
  guidegen new larch --layout van-short --equipment gas,hob:gas,heating:diesel,fridge:compressor
  guidegen new "Larch 746" --like larch.yaml
  guidegen new                  asks for everything

“usual” is what most vehicles of that kind have; options follow a colon, joined by +. guidegen list layouts
and guidegen new --equipment list show the words."""
)
@click.argument("name", required=False)
@click.option("--layout", "layout_id", metavar="L", help="The base layout; see list layouts.")
@click.option(
    "--equipment",
    metavar="WORD[:OPTION+…],…",
    help="What is fitted, or “usual”; “list” shows the words.",
)
@click.option("--kind", type=click.Choice(_KINDS), help="[as the layout's body tells]")
@click.option(
    "--hand",
    type=click.Choice(("left", "right")),
    help="The steering side, or for a caravan the side one drives on. [right; caravan: left]",
)
@click.option(
    "--like", type=click.Path(path_type=Path), metavar="VEHICLE", help="Start from another vehicle's file."
)
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE.yaml", help="[named after NAME]"
)
@click.option("--force", is_flag=True, help="Write over a file that exists.")
def command(
    name: str | None,
    layout_id: str | None,
    equipment: str | None,
    kind: str | None,
    hand: str | None,
    like: Path | None,
    output: Path | None,
    force: bool,
) -> None:
    """Starts a vehicle file: commented, with a line for every point that the equipment needs."""
    from guidegen.desk.starting import equipment_data
    from guidegen.desk.template import Start, id_of, kind_of, new_text

    if equipment == "list":
        click.echo("\n".join(_equipment_lines()))
        return
    name = name or _ask("Name of the vehicle, as printed")
    # Beside the like vehicle, so that the dealer's logo is found.
    file = output or (like.parent if like else Path()) / f"{id_of(name)}.yaml"
    if file.exists() and not force:
        raise click.UsageError(f"{file} exists already: choose another name, -o another file, or --force")
    if like:
        from guidegen.desk.likeness import like_text

        if layout_id or equipment or kind or hand:
            raise click.UsageError("--like takes layout, equipment and kind from the other file")
        _write(file, like_text(like, name))
        return
    asking = layout_id is None
    layout = _layout(layout_id) if layout_id else _ask_layout()
    kind = kind or kind_of(layout)
    hand = hand or (_ask_hand(kind) if asking else ("left" if kind == "caravan" else "right"))
    words = _words(equipment, kind, asking)
    _write(file, new_text(Start(name, layout.id, kind, hand, equipment_data(words, kind))))


def _words(equipment: str | None, kind: str, asking: bool) -> str:
    if equipment is not None:
        return equipment
    if asking:
        return _ask_equipment(kind)
    click.echo(f"no --equipment: what is usual in a {kind} is written; take out what is not fitted", err=True)
    return "usual"


def _write(file: Path, text: str) -> None:
    from guidegen.commands.schema import write_schema
    from guidegen.packs.writing import write_file

    write_file(file, text.encode())
    if str(file) != "-":
        write_schema(file.parent)
        click.echo(f"{file} written; fill it in, then: guidegen check {file}", err=True)


def _layout(id: str) -> Layout:
    from guidegen.vehicle.explain import closest
    from guidegen.vehicle.layout_reading import layout_ids, read_layout

    if id not in layout_ids():
        raise click.BadParameter(
            f"there is no layout “{id}”: {closest(id, layout_ids())}", param_hint="--layout"
        )
    return read_layout(id)


def _ask(question: str, default: str | None = None) -> str:
    try:
        return str(click.prompt(question, default=default, err=True)).strip()
    except click.Abort:
        if sys.stdin.isatty():
            raise
        raise click.UsageError("nobody answers: give NAME, --layout and --equipment") from None


def _ask_layout() -> Layout:
    from guidegen.vehicle.layout_reading import layout_ids, read_layout

    layouts = [read_layout(id) for id in layout_ids()]
    for number, layout in enumerate(layouts, 1):
        size = f"{layout.length / 1000:.2f} m"
        click.echo(f"{number:>3}  {click.style(layout.id, bold=True)}, {size}. {layout.about}", err=True)
    click.echo("     (guidegen list layouts -o layouts.pdf draws them all)", err=True)
    while True:
        answer = _ask("Layout, by number or name")
        if answer.isdigit() and 1 <= int(answer) <= len(layouts):
            return layouts[int(answer) - 1]
        try:
            return _layout(answer)
        except click.BadParameter as error:
            click.echo(error.message, err=True)


def _ask_hand(kind: str) -> str:
    question = "Side of the road one drives on" if kind == "caravan" else "Steering on which side"
    default = "left" if kind == "caravan" else "right"
    while True:
        answer = _ask(f"{question}, left or right", default).lower()
        for side in ("left", "right"):
            if answer and side.startswith(answer):
                return side


def _equipment_lines() -> Iterator[str]:
    from guidegen.desk.starting import equipment_words

    for word in equipment_words().values():
        number = " (:2, :3 …)" if isinstance(word.block, int) and word.block is not True else ""
        options = f" (:{' +'.join(word.options)})" if word.options else number
        yield f"     {click.style(word.name, bold=True)}{options}  {word.about}"


def _ask_equipment(kind: str) -> str:
    from guidegen.desk.starting import UnknownWordError, equipment_data, usual_equipment

    for line in _equipment_lines():
        click.echo(line, err=True)
    click.echo(f"     usual for a {kind}: {usual_equipment(kind)}", err=True)
    while True:
        answer = _ask("What is fitted, such as usual,solar or gas:two,hob,heating:diesel", "usual")
        try:
            equipment_data(answer, kind)
        except UnknownWordError as error:
            click.echo(str(error), err=True)
        else:
            return answer
