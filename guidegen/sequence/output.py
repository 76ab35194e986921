"""The sequences as JSON, in the shape that other programs rely on."""

from __future__ import annotations

from typing import Any

from guidegen.sequence.model import PlannedStep, SequenceSet
from guidegen.trade.load import load_trade
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle


def sequences_json(found: SequenceSet, vehicle: Vehicle, trade: Trade | None = None) -> dict[str, Any]:
    """{"vehicle", "sequences": {name: [step…]}, "walk_m": {name: metres}, …} of what is printed first."""
    known = (trade or load_trade()).of(vehicle.facts)
    return {
        "vehicle": vehicle.id,
        "sequences": {
            name: [_step(step, vehicle, known) for step in planned.steps]
            for name, planned in found.sequences.items()
        },
        "walk_m": {name: planned.walk_m for name, planned in found.sequences.items()},
        "variants": {name: planned.variant for name, planned in found.sequences.items()},
        "doors": {name: planned.doors for name, planned in found.sequences.items()},
        "proved": {name: planned.proved for name, planned in found.sequences.items()},
    }


def _step(step: PlannedStep, vehicle: Vehicle, trade: Trade) -> dict[str, Any]:
    points = [vehicle.point(id) for id in step.points]
    return {
        "step": step.step,
        "points": list(step.points),
        "numbers": [p.number for p in points if p and p.number],
        "place": step.place,
        "text": step.text,
        "check": step.check or None,
        "caution": " ".join(trade.cautions[id].text for id in step.cautions) or None,
        "needs": list(step.needs),
        "gives": list(step.gives),
    }
