"""guidegen sequence: the steps in order, or why a step stands where it stands."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guidegen.commands.common import vehicle_argument
from guidegen.trade.records import SEQUENCES

if TYPE_CHECKING:
    from guidegen.documents.context import Context
    from guidegen.sequence import PlannedSequence, PlannedStep, SequenceSet


@click.command(
    short_help="Prints the sequences of steps.",
    epilog="""\b
Examples:
  guidegen sequence larch.yaml
  guidegen sequence larch.yaml --only leave
  guidegen sequence larch.yaml --why water-heater-on
  guidegen sequence larch.yaml --json > larch.json""",
)
@vehicle_argument
@click.option("--only", type=click.Choice(SEQUENCES), help="This sequence alone.")
@click.option("--why", "step", metavar="STEP", help="Say why this step stands where it stands.")
@click.option("--json", "as_json", is_flag=True, help="Print the sequences as JSON.")
@click.option("--prove", is_flag=True, help="Search far longer to prove that no order walks less.")
def command(vehicle: Path, only: str | None, step: str | None, as_json: bool, prove: bool) -> None:
    """Prints the sequences of steps: arrive, leave, lay-up, recommission."""
    from guidegen.pipeline import prepare
    from guidegen.sequence import plan_sequences, sequences_json

    if step:
        if as_json or only or prove:
            raise click.UsageError("--why says its own words: it goes with no other option")
        _explain(vehicle, step)
        return
    context = prepare(vehicle)
    found = plan_sequences(context.vehicle, context.trade, prove=True) if prove else context.sequences
    if as_json:
        record = sequences_json(found, context.vehicle)
        if only:
            record["sequences"] = {only: record["sequences"][only]}
        click.echo(json.dumps(record, ensure_ascii=False, indent=2))
        return
    click.echo("\n".join(line for name in _wanted(found, only) for line in _sequence(name, context)))


def _explain(vehicle: Path, step: str) -> None:
    from guidegen.pipeline import sound
    from guidegen.sequence import SequenceError, why
    from guidegen.trade.load import load_trade

    try:
        click.echo(why(sound(vehicle), load_trade(), step))
    except SequenceError as error:
        raise click.BadParameter(str(error), param_hint="--why") from error


def _wanted(found: SequenceSet, only: str | None) -> Iterator[PlannedSequence]:
    return (planned for name, planned in found.sequences.items() if only in (None, name))


def _sequence(planned: PlannedSequence, context: Context) -> Iterator[str]:
    over = planned.cost_m / planned.bound_m - 1 if planned.bound_m else 0.0
    proof = "no safe order walks less" if planned.proved else f"at most {over:.0%} over the shortest walk"
    if planned.by_hand:
        proof = f"in the order of the description; {proof}"
    doors = f"{planned.doors} passages of a door"
    title = planned.name[:1].upper() + planned.name[1:]
    yield click.style(f"{title} ({planned.variant.replace('-', ' ')})", bold=True)
    yield f"{len(planned.steps)} steps, {planned.walk_m:.0f} m to walk, {doors}; {proof}"
    rows = enumerate(planned.steps, 1)
    for place, steps in groupby(rows, key=lambda row: row[1].place):
        yield click.style(f"  {place or 'The dealer’s own'}", dim=True)
        for number, step in steps:
            yield from _step(number, step, context)
    yield ""


def _step(number: int, step: PlannedStep, context: Context) -> Iterator[str]:
    for caution in (context.trade.cautions[id] for id in step.cautions):
        yield from _wrapped(f"{caution.signal.upper()}: {caution.text}", " " * 6)
    points = (context.vehicle.point(id) for id in step.points)
    callouts = ", ".join(str(point.number) for point in points if point)
    where = f" [{callouts}]" if callouts else ""
    yield from _wrapped(f"{number:>4}  {step.text}{where}  ({step.step})", "")
    if step.check:
        yield from _wrapped(f"Then: {step.check}", " " * 6)


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, 100, initial_indent=indent, subsequent_indent=" " * 6, break_on_hyphens=False)
