"""Rules on what was read off at the three checks."""

from __future__ import annotations

import re
from collections.abc import Iterator

from guidegen.checks import thresholds
from guidegen.checks.rule import Fault, Scene, rule
from guidegen.numbers.wording import figure

_CHECKS = ("first", "sale", "handover")
_NUMBER = re.compile(r"\s*([-−]?\d+(?:[.,]\d+)?)")


@rule("checks-order")
def checks_order(scene: Scene) -> Iterator[Fault]:
    """The three checks are not in the order first, sale, handover."""
    checks = scene.vehicle.checks
    done = [(name, check) for name in _CHECKS if (check := getattr(checks, name, None))]
    for (earlier, a), (later, b) in zip(done, done[1:], strict=False):
        if b.on < a.on:
            yield Fault(
                f"the {later} check ({b.on}) is dated before the {earlier} check ({a.on})",
                "correct one of the dates",
                scene.mark(f"checks.{later}.on"),
            )


@rule("reading-unusual")
def reading_unusual(scene: Scene) -> Iterator[Fault]:
    """A reading of a check is far from what is usual."""
    for name in _CHECKS:
        check = getattr(scene.vehicle.checks, name, None)
        for title, value in check.readings.items() if check else ():
            number = _number(value)
            for words, (least, greatest, unit, advice) in thresholds.READINGS.items():
                if number is None or words not in title.lower() or least <= number <= greatest:
                    continue
                yield Fault(
                    f"{name} check, {title}: {value} is unusual",
                    f"{figure(least)} to {figure(greatest)} {unit} is usual: {advice}",
                    scene.mark(f"checks.{name}.readings"),
                )


def _number(value: str | int | float) -> float | None:
    """The number that a reading starts with."""
    found = _NUMBER.match(str(value))
    return float(found[1].replace(",", ".").replace("−", "-")) if found else None


RULES = (checks_order, reading_unusual)
