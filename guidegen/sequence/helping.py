"""Quick help: when something does not work, what to look at, nearest and likeliest first.

The checks behind a complaint are the conditions that the missing one needs, followed backwards
through the steps of arriving, so that help and sequences never disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from guidegen.sequence.conditions import applying, atom, chosen_facts, variants_of
from guidegen.sequence.model import HelpEntry, HelpHint
from guidegen.sequence.planner import applying_steps
from guidegen.trade.records import SEQUENCES, Condition, Step, Symptom, Trade, counted, holds
from guidegen.vehicle.model import ServicePoint, Vehicle
from guidegen.vehicle.required import serves_appliance

_ALWAYS_SO = {"parked", "hoses_checked", "battery_connected"}  # nobody looks for these in the dark
_APPLIANCES = {
    "water_heater": ("water-heater",),
    "heating": ("space-heater", "water-heater"),  # a combined heater goes by either name
    "fridge": ("fridge",),
}
_CHAIN = "@chain"


def quick_help(vehicle: Vehicle, trade: Trade) -> tuple[HelpEntry, ...]:
    """One entry for every complaint that this vehicle can give cause for."""
    goals = {s.goal for s in trade.symptoms if s.goal}
    changing = _changing(vehicle, trade)
    entries = []
    for symptom in trade.symptoms:
        if holds(symptom.when, vehicle.facts):
            hints = tuple(_hints(symptom, vehicle, trade, goals - {symptom.goal}, changing))
            entries.append(HelpEntry(symptom.id, symptom.title, hints))
    return tuple(entries)


def _hints(
    symptom: Symptom, vehicle: Vehicle, trade: Trade, others: set[str], changing: set[str]
) -> Iterator[HelpHint]:
    told: set[str] = set()
    for asked in symptom.hints:
        if not holds(asked.when, vehicle.facts):
            continue
        found = [_hint(vehicle, asked.text, points_named(vehicle, asked.kinds), asked.short)]
        if asked.text == _CHAIN:
            found = _in_turn(trade, _chain(symptom.goal, vehicle, trade, others, changing))
        for hint in found:
            if hint.text not in told:
                told.add(hint.text)
                yield hint


def _chain(
    goal: str, vehicle: Vehicle, trade: Trade, others: set[str], changing: set[str]
) -> Iterator[tuple[str, HelpHint]]:
    """The conditions behind the goal, the nearest first; those behind another complaint stand there."""
    steps = _steps_that_give(goal, vehicle, trade)
    todo, seen = [goal], {goal}
    while todo:
        condition = todo.pop(0)
        giver = next((s for s in steps if condition in s.gives), None)
        words = trade.conditions.get(atom(condition)[0])
        if condition != goal and words and words.help:
            points = _points(words, goal, vehicle)
            yield words.id, _hint(vehicle, counted(words.help, len(points)), points, words.short)
        if giver is None or condition in others:
            continue
        for need in giver.needs:
            name = atom(need)[0]
            if need not in seen and name in changing - _ALWAYS_SO and not need.startswith("!"):
                seen.add(need)
                todo.append(need)


def _in_turn(trade: Trade, chain: Iterable[tuple[str, HelpHint]]) -> list[HelpHint]:
    """The chain's hints, each behind those that its condition comes after: the pump before the taps."""
    hints = dict(chain)
    ordered: dict[str, HelpHint] = {}
    for id, hint in hints.items():
        first = [other for other in trade.conditions[id].after if other in hints]
        ordered |= {other: hints[other] for other in first} | {id: hint}
    return list(ordered.values())


def _changing(vehicle: Vehicle, trade: Trade) -> set[str]:
    """Conditions that a step of this vehicle brings about or undoes; no others can be amiss."""
    return {
        atom(given)[0]
        for name in SEQUENCES
        for variant in variants_of(name, vehicle.facts)
        for step in applying_steps(trade, name, chosen_facts(name, variant, vehicle.facts))
        for given in step.gives
    }


def points_named(vehicle: Vehicle, kinds: Iterable[str]) -> tuple[ServicePoint, ...]:
    """Of each entry "a|b?fact" that applies the points of the first kind that is placed, these by number."""
    found: list[ServicePoint] = []
    for entry in applying(kinds, vehicle.facts):
        placed = next((p for p in map(vehicle.of_kind, entry.split("|")) if p), ())
        found.extend(sorted(placed, key=lambda p: p.number))
    return tuple(dict.fromkeys(found))


def _points(words: Condition, goal: str, vehicle: Vehicle) -> tuple[ServicePoint, ...]:
    """Points of the condition; where some serve the appliance that the goal is about, only those."""
    points = points_named(vehicle, words.kinds)
    for appliance in _APPLIANCES.get(atom(goal)[0], ()):
        if appliance == "water-heater" and not _heats_water(goal, vehicle):
            continue
        own = tuple(p for p in points if serves_appliance(p, appliance, vehicle.equipment))
        if own:
            return own
    return points


def _heats_water(goal: str, vehicle: Vehicle) -> bool:
    return atom(goal)[0] == "water_heater" or "water-heater.combined" in vehicle.facts


def _steps_that_give(goal: str, vehicle: Vehicle, trade: Trade) -> tuple[Step, ...]:
    """The steps of arriving in the variant in which the goal is reached."""
    steps: tuple[Step, ...] = ()
    for variant in variants_of("arrive", vehicle.facts):
        facts = chosen_facts("arrive", variant, vehicle.facts)
        steps = applying_steps(trade, "arrive", facts)
        if any(goal in s.gives for s in steps):
            break
    return steps


def _hint(vehicle: Vehicle, text: str, points: tuple[ServicePoint, ...], short: str) -> HelpHint:
    numbers = tuple(p.number for p in points if p.number)
    return HelpHint(text, tuple(p.id for p in points), numbers, short)
