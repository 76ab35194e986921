"""A sequence under other circumstances: what to leave out and what changes, or all of it anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec import Struct

from guidegen.documents.guide.pages import Kit, label_block
from guidegen.documents.guide.using import caution_blocks, use_row
from guidegen.paper.blocks import Block, Paragraph
from guidegen.sequence.conditions import variants_of
from guidegen.sequence.model import PlannedSequence, PlannedStep, Variant
from guidegen.sequence.planner import Plan, make_plan
from guidegen.sequence.simulator import simulate

_TITLES: dict[Variant, str] = {
    "hook-up": "With hook-up",
    "no-hook-up": "Without hook-up",
    "outdoors": "Outdoors",
    "heated-store": "In a heated store",
}

_MOST_MOVED = 4

RowsOf = Callable[[PlannedSequence], Sequence[Block]]


class Derived(Struct, frozen=True):
    """The order of another variant, kept as near as can be to the one that is printed.

    later: the steps that must wait, or are new, each with the step that it follows.
    """

    order: tuple[str, ...]
    later: Mapping[str, str]


def variant_blocks(kit: Kit, sequence: PlannedSequence, rows_of: RowsOf) -> Iterator[Block]:
    """For each other variant what differs from the printed one, or every row where too much does."""
    context, vehicle = kit.context, kit.context.vehicle
    for variant in variants_of(sequence.name, vehicle.facts):
        if variant == sequence.variant:
            continue
        plan = make_plan(context.trade, sequence.name, variant, vehicle.facts, vehicle.extra_steps)
        yield label_block(kit, _TITLES[variant])
        derived = derive(sequence, plan)
        breaches = simulate(sequence.name, variant, vehicle.facts, derived.order)
        if breaches or len(derived.later) > _MOST_MOVED:
            yield from rows_of(context.sequences.variants[sequence.name, variant])
        else:
            yield from _differences(kit, sequence, plan, derived)


def derive(sequence: PlannedSequence, plan: Plan) -> Derived:
    """The steps of the plan in the printed order, each as soon as all that must come before it is done."""
    printed = [step.step for step in sequence.steps if step.step in plan.ids]
    waiting = [*printed, *(id for id in plan.ids if id not in printed)]
    before: dict[str, set[str]] = {id: set() for id in waiting}
    for precedence in plan.precedences:
        before[precedence.after].add(precedence.before)
    order: list[str] = []
    later: dict[str, str] = {}
    while waiting:
        ready = next(id for id in waiting if before[id] <= set(order))
        overtaken = ready not in printed or any(_follows(printed, done, ready) for done in order)
        if overtaken and order:
            later[ready] = order[-1]
        order.append(ready)
        waiting.remove(ready)
    return Derived(tuple(order), later)


def _follows(printed: Sequence[str], one: str, other: str) -> bool:
    return one in printed and printed.index(one) > printed.index(other)


def _differences(kit: Kit, sequence: PlannedSequence, plan: Plan, derived: Derived) -> Iterator[Block]:
    texts = {step.id: step.text for step in plan.steps}
    other = kit.context.sequences.variants[sequence.name, plan.variant]
    left_out = [step for step in sequence.steps if step.step not in plan.ids]
    told = [id for id in derived.order if id in derived.later or _changed(sequence, other, id)]
    yield Paragraph(
        text=_said(left_out, told),
        style=kit.look.body,
        space_after_mm=1.5,
        keep_with_next=bool(left_out or told),
    )
    for step in left_out:
        yield _row(kit, step.points, step.text)
    if told and left_out:
        yield Paragraph(
            text="Instead:",
            style=kit.look.body.bold,
            space_before_mm=2.0,
            space_after_mm=1.0,
            keep_with_next=True,
        )
    cautioned = {id for step in sequence.steps for id in step.cautions}
    cautions = {step.id: step.cautions for step in plan.steps}
    for id in told:
        new = [c for c in cautions.get(id, ()) if c not in cautioned]
        cautioned.update(new)
        yield from caution_blocks(kit, new)
        printed = sequence.step(id)
        text = texts.get(id) or (printed.text if printed else "")
        if id in derived.later:
            previous = derived.later[id]
            done = sequence.step(previous)
            text = f"{text} Do it after {_quoted(texts.get(previous) or (done.text if done else ''))}."
        done_at = other.step(id) or printed
        yield _row(kit, done_at.points if done_at else (), text)


def _changed(sequence: PlannedSequence, other: PlannedSequence, id: str) -> bool:
    """Whether a step reads otherwise, or is done at a place that the printed one does not name."""
    printed, step = sequence.step(id), other.step(id)
    if printed is None or step is None:
        return False
    return step.text != printed.text or not set(step.points) <= set(printed.points)


def _quoted(text: str) -> str:
    """The first sentence of a step in quotation marks, those within it single ones."""
    first = text.split(". ")[0].removesuffix(".")
    return f"“{first.replace('“', '‘').replace('”', '’')}”"


def _said(left_out: Sequence[PlannedStep], told: Sequence[str]) -> str:
    if left_out:
        return "Leave out the steps below. Take all others in the same order."
    return "Take the same steps in the same order, but for these:" if told else "Take the same steps."


def _row(kit: Kit, ids: Sequence[str], text: str) -> Block:
    points = tuple(p for id in ids if (p := kit.context.vehicle.point(id)))
    return use_row(kit, text, points, 2)
