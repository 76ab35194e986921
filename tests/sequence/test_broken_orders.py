"""Orders of the samples that are broken in one place: the simulator objects to all but those named here.

What a step gives another is taken away from it, by moving either past the other; or a step is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from guidegen import prepare
from guidegen.sequence.model import PlannedSequence
from guidegen.sequence.simulator import simulate

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"

# Sequence, what comes first, what comes later, what it keeps or gives: and why the reverse does no harm.
HARMLESS = {
    ("arrive", "drains-check", "fill", "heater_drain_closed"): "a container is put down, and no pump runs yet",
    ("arrive", "drains-check", "fill", "low_drains_closed"): "a container is put down, and no pump runs yet",
    ("arrive", "uncouple", "step-out", "!coupled"): "a step pulled out at a car that stands is in nobody's way",
    ("lay-up", "fridge-off", "cylinder-close", "fridge=off"): "it runs on mains",
    ("lay-up", "inverter-off", "mains-off", "!inverter_on"): "the main switch goes off all the same",
    ("lay-up", "heating-off", "cylinder-close", "heating=off"): "it runs on mains",
    ("lay-up", "heating-off", "master-off", "heating=off"): "it goes out with its supply",
    ("lay-up", "water-heater-off", "cylinder-close", "water_heater=off"): "it runs on mains",
    ("leave", "fridge-travel", "cylinder-close", "fridge_ready_to_travel"): "it runs on mains",
    ("leave", "fridge-travel", "drive", "fridge_ready_to_travel"): "a compressor fridge runs on as it is",
    ("leave", "inverter-off", "mains-off", "!inverter_on"): "the main switch goes off all the same",
    ("leave", "heating-off", "cylinder-close", "heating=off"): "it runs on mains",
    ("leave", "taps-close", "pump-off", "taps_closed"): "the pump falls silent once the taps are closed",
    ("leave", "water-heater-off", "cylinder-close", "water_heater=off"): "it runs on mains",
    ("recommission", "drains-check", "fill-little", "heater_drain_closed"): "a container, and no pump runs yet",
    ("recommission", "drains-check", "fill-little", "low_drains_closed"): "a container, and no pump runs yet",
    ("recommission", "fill", "pump-on", "fresh_filled"): "a little clean water is in the tank",
    ("recommission", "filter-in", "fill-little", "filter_fitted"): "no pump runs yet",
    ("recommission", "flush", "fill", "flushed"): "the pipes are rinsed with more water",
    ("recommission", "leaks-check", "sanitise", "leaks_checked"): "a leak shows then too",
    ("recommission", "master-on", "fill-little", "master_12v"): "the gauge is dark",
}  # fmt: skip
# Steps without which nothing is unsafe, and no goal of the simulator's own is missed.
NOT_NEEDED = {
    ("arrive", "aerial-up"): "a wish",
    ("arrive", "awning-out"): "a wish",
    ("lay-up", "vents-cover"): "against dirt alone",
    ("leave", "cylinder-close"): "the gas may stay open on the road",
    ("leave", "fridge-travel"): "a compressor fridge runs on as it is",
}


@cache
def planned() -> list[tuple[frozenset[str], PlannedSequence]]:
    """Every sequence of the samples in every variant, with the facts of its vehicle."""
    found = []
    for path in sorted(SAMPLES.glob("*.yaml")):
        guide = prepare(path)
        found += [(guide.vehicle.facts, sequence) for sequence in guide.sequences.variants.values()]
    return found


def passes(facts: frozenset[str], sequence: PlannedSequence, order: list[str]) -> bool:
    own = {step.step for step in sequence.steps if step.dealer}
    return not simulate(sequence.name, sequence.variant, facts, order, own)


def swapped(order: list[str], before: str, after: str) -> Iterator[list[str]]:
    """The earlier step put right behind the later, and the later right before the earlier."""
    first, last = order.index(before), order.index(after)
    middle = order[first + 1 : last]
    yield [*order[:first], *middle, after, before, *order[last + 1 :]]
    yield [*order[:first], after, before, *middle, *order[last + 1 :]]


def test_as_they_are_printed_all_pass() -> None:
    assert len(planned()) > 9 * 4
    for facts, sequence in planned():
        assert passes(facts, sequence, [step.step for step in sequence.steps])


def test_of_two_steps_that_change_places_the_simulator_lets_only_these_pass() -> None:
    unseen = set()
    for facts, sequence in planned():
        order = [step.step for step in sequence.steps]
        for reason in sequence.precedences:
            if reason.kind not in ("gives", "keeps") or not {reason.before, reason.after} <= set(order):
                continue
            if any(passes(facts, sequence, s) for s in swapped(order, reason.before, reason.after)):
                unseen.add((sequence.name, reason.before, reason.after, reason.condition))
    assert unseen == set(HARMLESS)


def test_of_steps_left_out_the_simulator_lets_only_these_pass() -> None:
    unseen = set()
    for facts, sequence in planned():
        order = [step.step for step in sequence.steps]
        unseen |= {
            (sequence.name, one)
            for one in (step.step for step in sequence.steps if not step.dealer)
            if passes(facts, sequence, [step for step in order if step != one])
        }
    assert unseen == set(NOT_NEEDED)
