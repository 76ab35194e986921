"""guidegen new: a commented description to fill in."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import FilePath, shown

if TYPE_CHECKING:
    from guidegen.vehicle.layout import Layout

_NEXT = (
    ("survey", "  the sheet for the walk round, to print"),
    ("sheet", "  a workbook to fill in; or fill in the file itself"),
    ("check", "  what is still missing"),
)
_CONTACT_SHEET = "layouts.pdf"
_KINDS = ("motorhome", "campervan", "caravan")


@click.command(
    epilog="""\b
Examples:
  guidegen new "Larch 745" --layout coachbuilt-island-bed --equipment usual,solar,-grill
  guidegen new larch --layout van-short --equipment gas,hob:gas,heating:diesel,fridge:compressor
  guidegen new "Larch 746" --like larch.yaml
  guidegen new                  asks for everything

“usual” is what most vehicles of that kind have, a hyphen takes a word out of it; options follow a colon,
joined by +; what burns gas or takes 230 V brings its supply. guidegen list layouts and guidegen new
--equipment list show the words."""
)
@click.argument("name", required=False)
@click.option("--layout", "layout_id", metavar="L", help="The base layout; see list layouts.")
@click.option(
    "--equipment",
    metavar="WORDS",
    help="What is fitted: WORD[:OPTION+…],… or “usual”; “list” shows the words.",
)
@click.option("--kind", type=click.Choice(_KINDS), help="[as the layout's body tells]")
@click.option(
    "--hand",
    type=click.Choice(("left", "right")),
    help="The steering side, or for a caravan the side one drives on. [right; caravan: left]",
)
@click.option("--like", type=FilePath(), metavar="VEHICLE", help="Start from another vehicle's file.")
@click.option("-o", "--output", type=FilePath(), metavar="FILE.yaml", help="[named after NAME]")
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
    """Starts a vehicle file, with a line for every point needed."""
    from guidegen.desk.starting import equipment_data
    from guidegen.desk.template import Start, id_of, kind_of, new_text

    if equipment == "list":
        click.echo("\n".join(_equipment_lines()))
        return
    name = name or _ask("Name of the vehicle, as it is to be printed")
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
        click.echo(f"{file} written. Then:", err=True)
        for verb, what in _NEXT:
            click.echo(f"  guidegen {verb} {shown(file)}".ljust(44) + what, err=True)


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

    layouts = {id: read_layout(id) for id in layout_ids()}
    pictured = _show(tuple(layouts.values()))
    for number, (id, layout) in enumerate(layouts.items(), 1):
        about = f"{layout.length / 1000:.2f} m. {layout.about}"
        click.echo(f"{number:>3}  {click.style(id, bold=True)}", err=True)
        click.echo(click.wrap_text(about, 96, "     ", "     "), err=True)
    draw = "" if pictured else f"; p draws them in {_CONTACT_SHEET}"
    while True:
        answer = _ask(f"Layout, by number or name{draw}")
        if answer.lower() == "p":
            _draw_layouts()
            continue
        if answer.isdigit() and 1 <= int(answer) <= len(layouts):
            return list(layouts.values())[int(answer) - 1]
        like = [id for id in layouts if answer and id.startswith(answer.lower())]
        if len(like) == 1 or answer in layouts:
            return layouts[answer if answer in layouts else like[0]]
        try:
            _layout(answer)
        except click.BadParameter as error:
            click.echo(f"which of these: {', '.join(like)}?" if like else error.message, err=True)


def _show(layouts: tuple[Layout, ...]) -> bool:
    """Shows the layouts as pictures; whether the terminal can."""
    from guidegen.commands.terminal import shows_sixel

    if not shows_sixel():
        return False
    from guidegen.desk.layout_picture import layouts_png
    from guidegen.drawing.sixel import write_sixel

    click.echo(write_sixel(layouts_png(layouts)), err=True, color=True)
    return True


def _draw_layouts() -> None:
    from guidegen.commands.list_ import DRAWN
    from guidegen.drawing.pdf import write_pdf
    from guidegen.packs.writing import write_file

    write_file(Path(_CONTACT_SHEET), write_pdf(DRAWN["layouts"]()))
    click.echo(f"they are drawn in {Path(_CONTACT_SHEET).resolve()}", err=True)


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
        answer = _ask("What is fitted, such as usual,solar,-oven or gas:two,hob,heating:diesel", "usual")
        try:
            equipment_data(answer, kind)
        except UnknownWordError as error:
            click.echo(str(error), err=True)
        else:
            return answer
