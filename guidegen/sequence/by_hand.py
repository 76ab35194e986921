"""What is wrong with an order that the description gives by hand, before the simulator judges it."""

from __future__ import annotations

from collections.abc import Sequence

from guidegen.sequence.conditions import atom, condition_words, start_state, value_in, words_of
from guidegen.sequence.model import SequenceError
from guidegen.sequence.planner import Plan
from guidegen.trade.records import Trade


def refuse_incomplete(plan: Plan, by_hand: Sequence[str]) -> None:
    """Raises SequenceError naming what a hand-made order lacks, doubles or does not know."""
    required = [s.id for s in plan.steps if not s.optional] + [e.id for e in plan.extras]
    for words, ids in (
        ("leaves out", [i for i in required if i not in by_hand]),
        ("names, though this vehicle has no such step,", [i for i in by_hand if i not in plan.ids]),
        ("names twice", sorted({i for i in by_hand if list(by_hand).count(i) > 1})),
    ):
        if ids:
            named = ", ".join(f"“{i}”" for i in ids)
            raise SequenceError(f"orders: the order of {plan.sequence} {words} {named}")


def refuse_unready(plan: Plan, trade: Trade, by_hand: Sequence[str]) -> None:
    """Raises SequenceError at the first step that comes while what it needs is not so.

    Good custom may be left by hand; what steps need, and what extra_steps says of their order, may not.
    """
    steps = {step.id: step for step in plan.steps}
    state = start_state(trade.journeys[plan.sequence].start, plan.facts)
    for id in (id for id in by_hand if id in steps):
        for name, value in map(atom, steps[id].needs):
            now = value_in(state, name)
            if now != value:
                raise SequenceError(
                    f"orders: in the order of {plan.sequence} ({plan.variant}), “{id}” comes while "
                    f"{condition_words(trade, words_of((name, now)))}; it needs that "
                    f"{condition_words(trade, words_of((name, value)))}"
                )
        state |= dict(map(atom, steps[id].gives))
    place = {id: at for at, id in enumerate(by_hand)}
    for reason in plan.precedences:
        before, after = reason.before, reason.after
        if reason.kind == "dealer" and before in place and after in place and place[before] > place[after]:
            raise SequenceError(
                f"orders: the order of {plan.sequence} has “{after}” before “{before}”, "
                "but extra_steps says the reverse"
            )
