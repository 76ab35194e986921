"""Which steps a vehicle needs, and which must come before which.

A causal-link planner: every need of a step is met by the start or by one step that gives it, and
any step that would undo it in between comes before the giver or after the needer. All choices are
tried before the planner gives up, so a failure is a fault of the data or the description.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct
from msgspec.structs import replace

from guidegen.sequence.conditions import (
    Atom,
    applying,
    atom,
    chosen_facts,
    start_state,
    value_in,
    words_of,
)
from guidegen.sequence.model import Precedence, SequenceError, Variant
from guidegen.trade.records import SequenceName, Step, Trade, holds
from guidegen.vehicle.description import ExtraStep

_MOST_TRIES = 20_000


class Plan(Struct, frozen=True):
    """Steps in the order of the data, and the precedences between them."""

    sequence: SequenceName
    variant: Variant
    facts: frozenset[str]
    steps: tuple[Step, ...]
    extras: tuple[ExtraStep, ...]
    precedences: tuple[Precedence, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        return (*(s.id for s in self.steps), *self.own)

    @property
    def own(self) -> tuple[str, ...]:
        """The ids of the dealer's own steps."""
        return tuple(e.id for e in self.extras)


def make_plan(
    trade: Trade,
    sequence: SequenceName,
    variant: Variant,
    vehicle_facts: frozenset[str],
    extras: Sequence[ExtraStep] = (),
) -> Plan:
    """The steps that apply, with their needs resolved and every precedence with its reason.

    Raises SequenceError when a goal or a need cannot be met, or the order has a cycle.
    """
    facts = chosen_facts(sequence, variant, vehicle_facts)
    steps = applying_steps(trade, sequence, facts)
    own = tuple(e for e in extras if e.sequence == sequence)
    journey = trade.journeys[sequence]
    start = start_state(journey.start, facts)
    _goals_must_be_reachable(steps, start, tuple(applying(journey.goal, facts)), sequence, variant)
    order = _Order(tuple(s.id for s in steps) + tuple(e.id for e in own))
    _customs(order, steps)
    _dealers(order, trade, sequence, steps, own)
    _refuse_cycle(order, sequence)
    _Linker(steps, start, order, sequence).link()
    return Plan(sequence, variant, facts, steps, own, tuple(order.reasons))


@lru_cache(maxsize=32)  # for one vehicle walks and help ask for the same again and again
def applying_steps(trade: Trade, sequence: SequenceName, facts: frozenset[str]) -> tuple[Step, ...]:
    """The first record of each id that applies, its needs, places and cautions reduced to the facts."""
    found: dict[str, Step] = {}
    for step in trade.steps:
        if step.sequence == sequence and step.id not in found and holds(step.when, facts):
            cautions = tuple(
                c for c in applying(step.cautions, facts) if holds(trade.cautions[c].when, facts)
            )
            found[step.id] = replace(
                step,
                needs=tuple(applying(step.needs, facts)),
                gives=tuple(applying(step.gives, facts)),
                after=tuple(applying(step.after, facts)),
                cautions=cautions,
            )
    return tuple(found.values())


class _Order:
    """A growing precedence relation over step ids, with its transitive closure as bit masks."""

    def __init__(self, ids: tuple[str, ...]) -> None:
        self.index = {id: i for i, id in enumerate(ids)}
        self.ids = ids
        self.later = [0] * len(ids)  # bit j of later[i]: i comes before j
        self.reasons: list[Precedence] = []

    def precedes(self, before: str, after: str) -> bool:
        return bool(self.later[self.index[before]] >> self.index[after] & 1)

    def add(self, reason: Precedence) -> bool:
        """Whether it could be added without a cycle."""
        a, b = self.index[reason.before], self.index[reason.after]
        if a == b or self.later[b] >> a & 1:
            return False
        if reason not in self.reasons:
            self.reasons.append(reason)
        if not self.later[a] >> b & 1:
            gain = self.later[b] | 1 << b
            for i, mask in enumerate(self.later):
                if i == a or mask >> a & 1:
                    self.later[i] = mask | gain
        return True

    def snapshot(self) -> tuple[list[int], int]:
        return list(self.later), len(self.reasons)

    def restore(self, kept: tuple[list[int], int]) -> None:
        self.later = list(kept[0])
        del self.reasons[kept[1] :]


def _customs(order: _Order, steps: tuple[Step, ...]) -> None:
    present = {s.id for s in steps}
    closing = [s for s in steps if s.last]
    opening = [s for s in steps if s.first]
    for step in steps:
        for before in step.after:
            if before in present and not order.add(Precedence(before, step.id, "custom")):
                raise SequenceError(_cycle_message(order, before, step.id, step.sequence))
    for last in closing:
        for step in steps:
            if not step.last:
                order.add(Precedence(step.id, last.id, "last"))
    for first in opening:
        for step in steps:
            if not step.first:
                order.add(Precedence(first.id, step.id, "custom"))


def _dealers(
    order: _Order, trade: Trade, sequence: str, steps: tuple[Step, ...], extras: tuple[ExtraStep, ...]
) -> None:
    present = set(order.index)
    known = {s.id for s in trade.steps if s.sequence == sequence} | {e.id for e in extras}
    if len(present) < len(steps) + len(extras) or {s.id for s in trade.steps} & {e.id for e in extras}:
        taken = {s.id for s in trade.steps}
        ids = [e.id for e in extras]
        bad = next(i for i in ids if i in taken or ids.count(i) > 1)
        raise SequenceError(f"extra_steps: “{bad}” is already the id of a step; give yours another id")
    for extra in extras:
        for other in (*extra.before, *extra.after):
            if other not in known:
                raise SequenceError(
                    f"extra_steps: “{extra.id}” names “{other}”, which is no step of {sequence}; "
                    f"the steps are {', '.join(sorted(known - {extra.id}))}"
                )
        pairs = [(extra.id, b) for b in extra.before] + [(a, extra.id) for a in extra.after]
        for before, after in pairs:
            if {before, after} <= present and not order.add(Precedence(before, after, "dealer")):
                raise SequenceError(_cycle_message(order, before, after, sequence))
    for extra in extras:
        for last in (s for s in steps if s.last):
            order.add(Precedence(extra.id, last.id, "last"))
        for first in (s for s in steps if s.first):
            order.add(Precedence(first.id, extra.id, "custom"))


def _refuse_cycle(order: _Order, sequence: str) -> None:
    for i, mask in enumerate(order.later):
        if mask >> i & 1:
            raise SequenceError(f"{sequence}: the order of “{order.ids[i]}” runs in a circle")


def _cycle_message(order: _Order, before: str, after: str, sequence: str) -> str:
    chain = _chain(order, after, before)
    return (
        f"{sequence}: “{before}” cannot come before “{after}”, because "
        f"{' before '.join(f'“{id}”' for id in chain)} is needed already; "
        "see `after` of these steps and `extra_steps` of the description"
    )


def _chain(order: _Order, start: str, end: str) -> list[str]:
    """A shortest chain of reasons from start to end."""
    trail = {start: [start]}
    queue = [start]
    while queue and end not in trail:
        here = queue.pop(0)
        for reason in order.reasons:
            if reason.before == here and reason.after not in trail:
                trail[reason.after] = [*trail[here], reason.after]
                queue.append(reason.after)
    return trail.get(end, [start, end])


def _goals_must_be_reachable(
    steps: tuple[Step, ...], start: dict[str, str], goals: tuple[str, ...], sequence: str, variant: str
) -> None:
    givers = {atom(g) for s in steps for g in s.gives}
    for words in goals:
        name, value = atom(words)
        if (name, value) not in givers and value_in(start, name) != value:
            raise SequenceError(
                f"{sequence} ({variant}): nothing brings about “{words}”; no step that applies to this "
                "vehicle gives it: look at the equipment of the description and at the trade's steps"
            )


class _Linker:
    """Chooses a giver for every need, trying all ways."""

    def __init__(self, steps: tuple[Step, ...], start: dict[str, str], order: _Order, sequence: str) -> None:
        self.order, self.start, self.sequence = order, start, sequence
        self.gives = {s.id: dict(map(atom, s.gives)) for s in steps}
        self.needs: list[tuple[str, Atom]] = [(s.id, atom(n)) for s in steps for n in s.needs]
        self.tries = 0
        self.stuck = ""

    def link(self) -> None:
        if not self._from(0):
            raise SequenceError(self.stuck or f"{self.sequence}: no order meets every need")

    def _from(self, k: int) -> bool:
        if k == len(self.needs):
            return True
        self.tries += 1
        if self.tries > _MOST_TRIES:
            raise SequenceError(f"{self.sequence}: no order found; the needs of the steps conflict")
        step, (name, value) = self.needs[k]
        givers = [id for id, g in self.gives.items() if id != step and g.get(name) == value]
        spoilers = [id for id, g in self.gives.items() if id != step and g.get(name, value) != value]
        sources = [*givers] if givers else []
        if value_in(self.start, name) == value:
            # What holds from the start needs no giver, unless a step undoes it on the way.
            sources = [*sources, ""] if spoilers and givers else [""]
        for source in sources:
            kept = self.order.snapshot()
            if self._support(step, source, (name, value)) and self._protect(
                step, source, (name, value), spoilers, k
            ):
                return True
            self.order.restore(kept)
        if not self.stuck:
            self.stuck = self._complaint(step, (name, value), givers, spoilers)
        return False

    def _support(self, step: str, source: str, need: Atom) -> bool:
        return not source or self.order.add(Precedence(source, step, "gives", words_of(need)))

    def _protect(self, step: str, source: str, need: Atom, spoilers: list[str], k: int) -> bool:
        """Every spoiler before the source or after the step; then the other needs."""
        if not spoilers:
            return self._from(k + 1)
        first, rest = spoilers[0], spoilers[1:]
        ways = [Precedence(step, first, "keeps", words_of(need))]
        if source:
            before = Precedence(first, source, "keeps", words_of(need))
            # A leave-taking spoiler that the giver undoes again comes before it by preference.
            ways = [before, *ways] if not self.order.precedes(source, first) else [*ways, before]
        for way in ways:
            kept = self.order.snapshot()
            if self.order.add(way) and self._protect(step, source, need, rest, k):
                return True
            self.order.restore(kept)
        return False

    def _complaint(self, step: str, need: Atom, givers: list[str], spoilers: list[str]) -> str:
        words = words_of(need)
        if not givers and value_in(self.start, need[0]) != need[1]:
            return (
                f"{self.sequence}: “{step}” needs “{words}”, but no step that applies to this vehicle "
                "gives it: look at the equipment of the description and at the trade's steps"
            )
        if givers and all(self.order.precedes(step, g) for g in givers):
            chain = " before ".join(f"“{id}”" for id in _chain(self.order, step, givers[0]))
            return (
                f"{self.sequence}: “{step}” needs “{words}” of “{givers[0]}”, but {chain} is fixed: "
                "a circle; see `extra_steps` of the description and `after` of the trade's steps"
            )
        early = next((id for id in spoilers if self.order.precedes(id, step)), None)
        if early:
            chain = " before ".join(f"“{id}”" for id in _chain(self.order, early, step))
            return (
                f"{self.sequence}: “{step}” needs “{words}”, which “{early}” undoes, but {chain} is fixed; "
                "see `extra_steps` of the description and `after` of the trade's steps"
            )
        named = ", ".join(f"“{id}”" for id in spoilers) or "none"
        return (
            f"{self.sequence}: “{step}” needs “{words}”, and no order keeps it; given by "
            f"{', '.join(f'“{g}”' for g in givers) or 'the start'}, undone by {named}"
        )
