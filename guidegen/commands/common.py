"""What several commands share: arguments, printing options, and writing the one file they make."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Function = TypeVar("Function", bound=Callable[..., Any])


class FilePath(click.Path):
    """A file or folder; a name that is empty, as of a variable in a script that is not set, is none."""

    def __init__(self, **told: Any) -> None:
        super().__init__(path_type=Path, **told)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if not str(value):
            self.fail("the name of the file or folder is empty", param, ctx)
        return super().convert(value, param, ctx)


vehicle_argument = click.argument("vehicle", type=FilePath())


def output_option(*suffixes: str, blank: str = "") -> Callable[[Function], Function]:
    """-o FILE, which must end in one of the suffixes; "-" is standard output, in the first of them.

    blank: which file is meant without it, in words; then the command is given None. It is required else.
    """

    def check(ctx: click.Context, param: click.Parameter, value: Path | None) -> Path | None:
        if value is not None and str(value) != "-" and value.suffix.lower() not in suffixes:
            raise click.BadParameter(f"“{value}” must end in {' or '.join(suffixes)}")
        return value

    return click.option(
        "-o", "--output", required=not blank, type=FilePath(), callback=check,
        metavar="FILE" + "|".join(suffixes), help="The file to write." + (f" [{blank}]" if blank else ""),
    )  # fmt: skip


def shown(file: Path) -> str:
    """The file as one types it in a command."""
    import shlex

    return shlex.quote(str(file))


def comma_list(ctx: click.Context, param: click.Parameter, value: str | None) -> tuple[str, ...]:
    """ "guide, card" as words."""
    words = tuple(word for word in (part.strip() for part in (value or "").split(",")) if word)
    if value is not None and not words:
        raise click.BadParameter("it is empty: leave it out for all")
    return words


def _fold(ctx: click.Context, param: click.Parameter, value: str) -> str:
    if value == param.default:  # as most leave it: no need to read the folds
        return value
    from guidegen.paper.folds import fold_names

    return _one_of(value, ("auto", *fold_names()))


def _sticker_sheet(ctx: click.Context, param: click.Parameter, value: str) -> str:
    if value == param.default:
        return value
    from guidegen.paper.labels import label_sheet_names

    return _one_of(value, label_sheet_names())


def _one_of(value: str, names: tuple[str, ...]) -> str:
    if value not in names:
        raise click.BadParameter(f"there is no “{value}”; there are: {', '.join(names)}")
    return value


fold_option = click.option(
    "--fold", default="auto", show_default=True, callback=_fold,
    help="How the card is folded, see list folds; auto takes the first that holds it.",
)  # fmt: skip
dpi_option = click.option(
    "--dpi", type=click.IntRange(20, 1200), default=150, show_default=True, help="Dots to the inch of a PNG."
)
duplex_option = click.option(
    "--duplex", type=click.Choice(("short", "long")), default="short", show_default=True,
    help="The edge that two-sided prints turn about.",
)  # fmt: skip


def printing_options(command: Function) -> Function:
    """The choices of the person who prints, named as the fields of documents.context.Options."""
    options = (
        fold_option,
        duplex_option,
        click.option("--large-print", is_flag=True, help="Text of the guide in 14 pt."),
        click.option(
            "--sticker-sheet", default="a4-24", show_default=True, callback=_sticker_sheet,
            help="The label sheet; see list stickers.",
        ),
        click.option(
            "--sticker-start", type=click.IntRange(1), default=1, show_default=True,
            help="The first unused label of the sheet.",
        ),
        click.option(
            "--sticker-copies", type=click.IntRange(1, 99), default=1, show_default=True,
            help="How many of each sticker.",
        ),
        click.option(
            "--sticker-points", callback=comma_list, metavar="ID,…", help="Stickers of these points alone."
        ),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


def warn(findings: tuple[Any, ...]) -> None:
    """Says in one line on standard error that there are warnings, and how to see them."""
    count = sum(finding.severity == "warning" for finding in findings)
    if count:
        word = "warning" if count == 1 else "warnings"
        click.echo(f"{count} {word}; guidegen check shows them", err=True)


def write_document(name: str, vehicle: Path, output: Path, *, dpi: int = 150, **printing: Any) -> None:
    """Composes one document of a vehicle and writes it to the file, in the format of its ending."""
    from guidegen.documents.context import Options
    from guidegen.documents.registry import compose
    from guidegen.errors import GuidegenError
    from guidegen.packs.ahead import ready
    from guidegen.packs.rendering import render
    from guidegen.packs.writing import write_file
    from guidegen.pipeline import context_of, inspect, located

    review = inspect(vehicle)
    suffix = output.suffix.lower().lstrip(".") or "pdf"
    sequences = ready(review.vehicle, (name,)) if review.vehicle and not review.has_errors else None
    context = context_of(review, Options(**printing), sequences)
    try:
        data = render(compose(name, context), suffix, dpi)
    except GuidegenError as error:
        raise located(error, vehicle) from error
    write_file(output, data)
    # The survey sheet is there to find what is to be located.
    warn(tuple(f for f in context.findings if name != "survey" or f.rule != "to-locate"))
