"""Why a step stands where it stands, in plain words."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from guidegen.sequence.conditions import atom, condition_words, start_state, value_in, variants_of
from guidegen.sequence.model import Precedence, SequenceError
from guidegen.sequence.planner import Plan
from guidegen.sequence.standing import plan_for
from guidegen.trade.records import SEQUENCES, SequenceName, Trade
from guidegen.vehicle.model import Vehicle


def why(vehicle: Vehicle, trade: Trade, step_id: str) -> str:
    """For every sequence with that step: what comes before and after it for which reason, and what
    would happen otherwise.

    Raises SequenceError when the vehicle has no such step, naming the nearest ids.
    """
    plans = [
        plan_for(vehicle, trade, name, variant)
        for name in SEQUENCES
        for variant in variants_of(name, vehicle.facts)
    ]
    found = {plan.sequence: plan for plan in reversed(plans) if step_id in plan.ids}
    if not found:
        known = sorted({id for plan in plans for id in plan.ids})
        near = difflib.get_close_matches(step_id, known, 3) or known
        raise SequenceError(f"this vehicle has no step “{step_id}”; perhaps {', '.join(near)}")
    return "\n\n".join(
        "\n".join((*_paragraph(found[name], trade, step_id), _stands(vehicle, name)))
        for name in SEQUENCES
        if name in found
    )


def _stands(vehicle: Vehicle, sequence: SequenceName) -> str:
    if vehicle.orders.get(sequence):
        return "  Between these it stands where the order in the description puts it."
    return "  Between these it stands where the walk round the vehicle is shortest."


def _paragraph(plan: Plan, trade: Trade, step_id: str) -> Iterator[str]:
    texts = {s.id: s.text for s in plan.steps} | {e.id: e.text for e in plan.extras}
    yield f"{plan.sequence}: {texts[step_id]} ({step_id})"
    before = [r for r in plan.precedences if r.after == step_id and r.kind != "last"]
    after = [r for r in plan.precedences if r.before == step_id and r.kind in ("gives", "keeps", "dealer")]
    if before:
        yield "  It comes after:"
        yield from (f"    {line}" for line in _lines(before, True, plan, trade, texts))
    yield from _from_the_start(plan, trade, step_id)
    if after:
        yield "  It comes before:"
        yield from (f"    {line}" for line in _lines(after, False, plan, trade, texts))
    step = next((s for s in plan.steps if s.id == step_id), None)
    if step and step.last:
        yield "  It closes the sequence."
    if step and step.why:
        yield f"  Why: {step.why}"


def _lines(
    reasons: list[Precedence], before: bool, plan: Plan, trade: Trade, texts: dict[str, str]
) -> Iterator[str]:
    grouped: dict[str, dict[str, list[str]]] = {}
    for reason in reasons:
        other = reason.before if before else reason.after
        opening, words = _because(reason, plan, trade)
        grouped.setdefault(other, {}).setdefault(opening, []).append(words)
    for other, openings in grouped.items():
        said = (f"{opening} {_listed(words)}".strip() for opening, words in openings.items())
        yield f"{texts[other]} ({other}) – {'; '.join(said)}"


def _because(reason: Precedence, plan: Plan, trade: Trade) -> tuple[str, str]:
    """How the reason opens, and the condition in words."""
    if reason.kind == "dealer":
        return "the dealer's order says so", ""
    if reason.kind == "custom":
        return "by good custom", ""
    words = condition_words(trade, reason.condition)
    if reason.kind == "gives":
        return "so that", words
    giver = next((s for s in plan.steps if s.id == reason.after), None)
    if giver and reason.condition in giver.gives:
        return "so that", f"{words} in the end"
    return "as long as", words


def _listed(words: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    told = list(dict.fromkeys(words))
    return " and ".join([*([", ".join(told[:-1])] if told[1:] else []), *told[-1:]])


def _from_the_start(plan: Plan, trade: Trade, step_id: str) -> Iterator[str]:
    """Needs that hold before the first step."""
    step = next((s for s in plan.steps if s.id == step_id), None)
    if step is None:
        return
    given = {r.condition for r in plan.precedences if r.after == step_id and r.kind == "gives"}
    start = start_state(trade.journeys[plan.sequence].start, plan.facts)
    held = [n for n in step.needs if n not in given and value_in(start, atom(n)[0]) == atom(n)[1]]
    if held:
        yield f"  From the start, {' and '.join(condition_words(trade, n) for n in held)}."
