"""What the writer of a description asked of the sequences and cannot have, without a search for the best."""

from __future__ import annotations

from guidegen.sequence.conditions import variants_of
from guidegen.sequence.model import SequenceError
from guidegen.sequence.planner import make_plan
from guidegen.sequence.planning import plan_sequences
from guidegen.trade.records import SEQUENCES, Trade
from guidegen.vehicle.model import Vehicle


def refusal(vehicle: Vehicle, trade: Trade) -> tuple[str, str] | None:
    """The key that asks for it ("orders" or "extra_steps") and why it cannot be; None when all can."""
    try:
        for name in SEQUENCES if vehicle.extra_steps else ():
            make_plan(trade, name, variants_of(name, vehicle.facts)[0], vehicle.facts, vehicle.extra_steps)
    except SequenceError as error:
        return "extra_steps", str(error)
    try:
        if vehicle.orders:
            plan_sequences(vehicle, trade)
    except SequenceError as error:
        return "orders", str(error)
    return None
