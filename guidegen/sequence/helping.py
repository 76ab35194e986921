"""Quick help: when something does not work, what to look at, nearest and likeliest first.

The checks behind a complaint are the conditions that the missing one needs, followed backwards
through the steps of arriving, so that help and sequences never disagree.
"""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.sequence.conditions import atom, chosen_facts, variants_of
from guidegen.sequence.model import HelpEntry, HelpHint
from guidegen.sequence.planner import applying_steps
from guidegen.trade.records import Condition, Step, Symptom, Trade, holds
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.required import serves_appliance

_ALWAYS_SO = {"parked", "hoses_checked", "battery_connected"}  # nobody looks for these in the dark
_APPLIANCES = {"water_heater": "water-heater", "heating": "space-heater", "fridge": "fridge"}
_CHAIN = "@chain"


def quick_help(vehicle: Vehicle, trade: Trade) -> tuple[HelpEntry, ...]:
    """One entry for every complaint that this vehicle can give cause for."""
    goals = {s.goal for s in trade.symptoms if s.goal}
    entries = []
    for symptom in trade.symptoms:
        if holds(symptom.when, vehicle.facts):
            hints = tuple(_hints(symptom, vehicle, trade, goals - {symptom.goal}))
            entries.append(HelpEntry(symptom.id, symptom.title, hints))
    return tuple(entries)


def _hints(symptom: Symptom, vehicle: Vehicle, trade: Trade, others: set[str]) -> Iterator[HelpHint]:
    told: set[str] = set()
    for when, text, kinds in symptom.hints:
        found = [_hint(vehicle, text, tuple(p.id for p in vehicle.of_kind(*kinds)))]
        if text == _CHAIN:
            found = list(_chain(symptom.goal, vehicle, trade, others))
        elif not holds(when, vehicle.facts):
            continue
        for hint in found:
            if hint.text not in told:
                told.add(hint.text)
                yield hint


def _chain(goal: str, vehicle: Vehicle, trade: Trade, others: set[str]) -> Iterator[HelpHint]:
    """The conditions behind the goal, the nearest first; those behind another complaint stand there."""
    steps = _steps_that_give(goal, vehicle, trade)
    todo, seen = [goal], {goal}
    while todo:
        condition = todo.pop(0)
        giver = next((s for s in steps if condition in s.gives), None)
        words = trade.conditions.get(atom(condition)[0])
        if condition != goal and words and words.help:
            yield _hint(vehicle, words.help, _points(words, goal, vehicle))
        if giver is None or condition in others:
            continue
        for need in giver.needs:
            if need not in seen and atom(need)[0] not in _ALWAYS_SO and not need.startswith("!"):
                seen.add(need)
                todo.append(need)


def _points(words: Condition, goal: str, vehicle: Vehicle) -> tuple[str, ...]:
    """Points of the condition; where some serve the appliance that the goal is about, only those."""
    points = vehicle.of_kind(*words.kinds)
    appliance = _APPLIANCES.get(atom(goal)[0], "")
    own = [p for p in points if appliance and serves_appliance(p, appliance, vehicle.equipment)]
    return tuple(p.id for p in (own or points))


def _steps_that_give(goal: str, vehicle: Vehicle, trade: Trade) -> tuple[Step, ...]:
    """The steps of arriving in the variant in which the goal is reached."""
    steps: tuple[Step, ...] = ()
    for variant in variants_of("arrive", vehicle.facts):
        facts = chosen_facts("arrive", variant, vehicle.facts)
        steps = applying_steps(trade, "arrive", facts)
        if any(goal in s.gives for s in steps):
            break
    return steps


def _hint(vehicle: Vehicle, text: str, points: tuple[str, ...]) -> HelpHint:
    placed = [p for p in map(vehicle.point, points) if p]
    return HelpHint(text, points, tuple(p.number for p in placed if p.number))
