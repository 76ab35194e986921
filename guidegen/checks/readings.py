"""Rules on what was read off at the three checks."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.checks.rule import Fault, Scene, rule
from guidegen.vehicle.description import CHECK_NAMES
from guidegen.vehicle.readings import is_unusual, judge_reading, known_readings, reading_within, usual_words


@rule("checks-order")
def checks_order(scene: Scene) -> Iterator[Fault]:
    """The three checks are not in the order first, sale, handover."""
    checks = scene.vehicle.checks
    done = [(name, check) for name in CHECK_NAMES if (check := getattr(checks, name, None))]
    for (earlier, a), (later, b) in zip(done, done[1:], strict=False):
        if b.on < a.on:
            yield Fault(
                f"the {later} check ({b.on}) is dated before the {earlier} check ({a.on})",
                "correct one of the dates",
                scene.mark(f"checks.{later}.on"),
            )


@rule("reading-unusual")
def reading_unusual(scene: Scene) -> Iterator[Fault]:
    """A reading of a check is outside the usual range that the trade data state."""
    known = known_readings(scene.vehicle.facts, scene.trade)
    for name in CHECK_NAMES:
        check = getattr(scene.vehicle.checks, name, None)
        for title, value in check.readings.items() if check else ():
            reading = reading_within(title, known)
            if reading and reading.usual and not judge_reading(reading, value) and is_unusual(reading, value):
                yield Fault(
                    f"{name} check, {title}: {value} is unusual",
                    f"{usual_words(reading)} is usual: {reading.advice}",
                    scene.mark(f"checks.{name}.readings.{title}"),
                )


RULES = (checks_order, reading_unusual)
