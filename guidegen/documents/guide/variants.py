"""A sequence under other circumstances: what to leave out and what changes, or all of it anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec import Struct

from guidegen.documents.guide.pages import Kit, continued, label_block
from guidegen.documents.guide.using import caution_blocks, use_row
from guidegen.paper.blocks import Block, Paragraph
from guidegen.sequence.conditions import variants_of
from guidegen.sequence.model import PlannedSequence, PlannedStep, Variant
from guidegen.sequence.planner import Plan
from guidegen.sequence.simulator import simulate
from guidegen.sequence.standing import plan_for, points_of
from guidegen.trade.records import Step
from guidegen.vehicle.model import ServicePoint, Vehicle

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

    later: the steps that must wait, or are new, each with the last of those that must come before it, if any.
    """

    order: tuple[str, ...]
    later: Mapping[str, str]


def variant_blocks(kit: Kit, sequence: PlannedSequence, rows_of: RowsOf) -> Iterator[Block]:
    """For each other variant what differs from the printed one, or every row where too much does."""
    context, vehicle = kit.context, kit.context.vehicle
    for variant in variants_of(sequence.name, vehicle.facts):
        if variant == sequence.variant:
            continue
        plan = plan_for(vehicle, context.trade, sequence.name, variant)
        title = _TITLES[variant]
        yield label_block(kit, title)
        derived = derive(sequence, plan)
        breaches = simulate(sequence.name, variant, vehicle.facts, derived.order, plan.own)
        if breaches or len(derived.later) > _MOST_MOVED:
            again = label_block(kit, continued(title))
            rows = rows_of(context.sequences.variants[sequence.name, variant])
            yield from (row if row.carried else row.among_others(carried=again) for row in rows)
        else:
            yield from _differences(kit, sequence, plan, derived, continued(title))


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
        blockers = _before_all(waiting[0], before) - set(order)
        among = waiting if blockers & set(printed) else [waiting[0], *blockers]  # a new step holds up none
        ready = next(id for id in waiting if id in among and before[id] <= set(order))
        overtaken = ready not in printed or any(_follows(printed, done, ready) for done in order)
        if overtaken and order:
            later[ready] = max(before[ready], key=order.index, default="")
        order.append(ready)
        waiting.remove(ready)
    return Derived(tuple(order), later)


def _before_all(id: str, before: Mapping[str, set[str]]) -> set[str]:
    """All steps that come before one, the ones before those with them."""
    found: set[str] = set()
    todo = [id]
    while todo:
        new = before[todo.pop()] - found
        found |= new
        todo += new
    return found


def _follows(printed: Sequence[str], one: str, other: str) -> bool:
    return one in printed and printed.index(one) > printed.index(other)


def _differences(
    kit: Kit, sequence: PlannedSequence, plan: Plan, derived: Derived, again: str
) -> Iterator[Block]:
    """again: what stands over the steps to leave out, and over the changed ones, where a column begins."""
    vehicle = kit.context.vehicle
    steps = {step.id: step for step in plan.steps}
    done_at = {step.id: points_of(step, plan.facts, vehicle) for step in plan.steps}
    left_out = [step for step in sequence.steps if step.step not in plan.ids]
    told = [id for id in derived.order if id in derived.later or _changed(sequence.step(id), steps, done_at)]
    yield Paragraph(
        text=_said(left_out, told),
        style=kit.look.body,
        space_after_mm=1.5,
        keep_with_next=bool(left_out or told),
    )
    out = label_block(kit, f"{again}: leave out")
    for step in left_out:
        yield use_row(kit, step.text, _points(vehicle, step)).among_others(carried=out)
    if told and left_out:
        yield Paragraph(
            text=f"{_TITLES[plan.variant]}, changed steps:",
            style=kit.look.body.bold,
            space_before_mm=2.0,
            space_after_mm=1.0,
            keep_with_next=True,
        )
    cautioned = {id for step in sequence.steps for id in step.cautions}
    changed = label_block(kit, f"{again}: changed steps")
    for id in told:
        new = [c for c in (steps[id].cautions if id in steps else ()) if c not in cautioned]
        cautioned.update(new)
        yield from (caution.among_others(carried=changed) for caution in caution_blocks(kit, new))
        printed, text = sequence.step(id), _text(sequence, steps, id)
        after = _text(sequence, steps, derived.later.get(id, ""))
        order = [f"comes after {_quoted(after)}"] if after else []
        if printed and printed.text != text:
            order.append(f"is instead of {_replaced(vehicle, printed, done_at[id])}")
        if order:
            text = f"{text} This {' and '.join(order)}."
        check = steps[id].check if _changed(printed, steps, done_at) else ""
        row = use_row(kit, text, done_at.get(id) or _points(vehicle, printed), check=check)
        yield row.among_others(carried=changed)


def _text(sequence: PlannedSequence, steps: Mapping[str, Step], id: str) -> str:
    printed = sequence.step(id)
    return steps[id].text if id in steps else printed.text if printed else ""


def _replaced(vehicle: Vehicle, printed: PlannedStep, points: Sequence[ServicePoint]) -> str:
    """The printed step that a changed one takes the place of, by its numbers where they are others."""
    others = [p for p in _points(vehicle, printed) if p not in points]
    numbers = f" ({', '.join(str(p.number) for p in others)})" if others else ""
    return f"{_quoted(printed.text)}{numbers}"


def _points(vehicle: Vehicle, step: PlannedStep | None) -> tuple[ServicePoint, ...]:
    return tuple(p for id in (step.points if step else ()) if (p := vehicle.point(id)))


def _changed(
    printed: PlannedStep | None, steps: Mapping[str, Step], done_at: Mapping[str, tuple[ServicePoint, ...]]
) -> bool:
    """Whether a printed step reads otherwise, is done elsewhere, or is seen to have worked otherwise."""
    step = steps.get(printed.step) if printed else None
    if printed is None or step is None:
        return False
    elsewhere = {p.id for p in done_at[step.id]} - set(printed.points)
    return (printed.text, printed.check) != (step.text, step.check) or bool(elsewhere)


def _quoted(text: str) -> str:
    """The first sentence of a step in quotation marks, those within it single ones."""
    first = text.split(". ")[0].removesuffix(".")
    return f"“{first.replace('“', '‘').replace('”', '’')}”"


def _said(left_out: Sequence[PlannedStep], told: Sequence[str]) -> str:
    if left_out:
        return "Leave out the steps below. Take all others in the same order."
    return "Take the same steps in the same order, but for these:" if told else "Take the same steps."
