"""Completeness and plausibility of a vehicle: every rule is a small function with an id."""

from __future__ import annotations

from guidegen.checks import completeness, figures, fire, history, places, readings, safety, words
from guidegen.checks.rule import Rule, Scene
from guidegen.errors import Finding
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle

__all__ = ["RULES", "Rule", "check"]

RULES: tuple[Rule, ...] = (
    *completeness.RULES,
    *places.RULES,
    *safety.RULES,
    *fire.RULES,
    *figures.RULES,
    *words.RULES,
    *readings.RULES,
    *history.RULES,
)


def check(vehicle: Vehicle, trade: Trade) -> tuple[Finding, ...]:
    """Everything that is missing or cannot be, by line; errors stop printing, warnings do not."""
    scene = Scene(vehicle, trade)
    found = [finding for rule in RULES for finding in rule.findings(scene)]
    return tuple(sorted(found, key=lambda f: (f.mark.line, f.mark.column)))
