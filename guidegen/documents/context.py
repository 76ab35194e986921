"""What every document is composed from: one numbered vehicle and what was computed of it."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Literal

from msgspec import Struct, field

from guidegen.errors import Finding
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle

if TYPE_CHECKING:
    from guidegen.numbers.model import NumberSheet
    from guidegen.plan.sheet import PlanOptions
    from guidegen.sequence import HelpEntry, Sequences
    from guidegen.sequence.model import SequenceSet


class Options(Struct, frozen=True):
    """Choices of the person who prints."""

    fold: str = "auto"
    duplex: Literal["short", "long"] = "short"
    large_print: bool = False
    plan: PlanOptions | None = None  # of the floor diagram alone; A4 landscape with all systems when None
    sticker_sheet: str = "a4-24"
    sticker_start: int = 1
    sticker_copies: int = 1
    sticker_points: tuple[str, ...] = ()


class Context(Struct, frozen=True, dict=True):
    """The vehicle with its callout numbers, the trade, the findings and the printing options."""

    vehicle: Vehicle
    trade: Trade
    findings: tuple[Finding, ...] = ()
    options: Options = field(default=Options())
    known: Sequences | None = None  # the sequences that are printed first, where they were planned before

    @cached_property
    def sequences(self) -> SequenceSet:
        from guidegen.sequence import plan_sequences

        return plan_sequences(self.vehicle, self.trade, known=self.known)

    @cached_property
    def help(self) -> tuple[HelpEntry, ...]:
        from guidegen.sequence import quick_help

        return quick_help(self.vehicle, self.trade)

    @cached_property
    def numbers(self) -> NumberSheet:
        from guidegen.numbers import compute_numbers

        return compute_numbers(self.vehicle)
