"""The numbers of one vehicle as immutable records, ready to print or to write as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, TypeAlias

from msgspec import Struct

from guidegen.numbers.constants import BATTERY_V

Subject: TypeAlias = Literal["power", "hot-water", "gas", "battery", "water", "mass", "lead"]


class Number(Struct, frozen=True):
    """One computed figure; `text` is a plain sentence, `formula` has the vehicle's values put in."""

    id: str  # "warm-up.mains-1000"
    subject: Subject
    title: str
    value: float
    unit: str
    text: str
    formula: str
    assumptions: tuple[str, ...]
    source: str


class Use(Struct, frozen=True):
    """A 230 V load switched on, at one of its steps when it has several."""

    load: str  # "heating"
    watts: float
    stepped: bool = False

    @property
    def said(self) -> str:
        return f"{self.load} at {self.watts:.0f} W" if self.stepped else self.load


class HookUpSet(Struct, frozen=True):
    """Loads that may run together; maximal: nothing more, and no higher step, would fit."""

    uses: tuple[Use, ...]

    @property
    def watts(self) -> float:
        return sum(use.watts for use in self.uses)


class HookUpSupply(Struct, frozen=True):
    """What one size of supply carries."""

    amps: int
    limit_w: float
    base: tuple[Use, ...]  # loads that are left on: fridge and charger
    sets: tuple[HookUpSet, ...]  # every maximal set
    shown: tuple[HookUpSet, ...]  # a few of them with the base on, which cover what fits beside it
    alone: tuple[Use, ...]  # loads and steps that fit only with all switched off but the fixed ones
    too_much: tuple[Use, ...]  # loads that never fit, at their lowest step
    text: str
    fixed: tuple[Use, ...] = ()  # loads that draw whenever there is hook-up: a charger without a switch

    @property
    def also(self) -> tuple[HookUpSet, ...]:
        """What runs together with the base on, apart from the sets that are shown."""
        base = set(self.base)
        return tuple(s for s in self.sets if base <= set(s.uses) and s not in self.shown)


class GasUse(Struct, frozen=True):
    """One gas appliance: its full power in kW, and its hours a day when the file says them."""

    appliance: str
    kilowatts: float
    hours_per_day: float | None
    hours_on_board: float  # that the gas on board lasts for this appliance alone


class DailyLoad(Struct, frozen=True):
    """One 12 V load of a day."""

    name: str
    watts: float
    hours: float

    @property
    def amp_hours(self) -> float:
        return self.watts * self.hours / BATTERY_V


class PayloadRow(Struct, frozen=True):
    """One rung: the mass in kg, negative when it is taken away, and how it was reckoned."""

    name: str
    kg: float
    detail: str = ""


class PayloadTable(Struct, frozen=True):
    """From the greatest mass down to what is left; minimum_kg by the rule, None when not computable."""

    rows: tuple[PayloadRow, ...]
    left_kg: float
    payload_kg: float  # before water, gas and luggage, as far as there are: what the minimum is compared with
    minimum_kg: float | None


class NumberSheet(Struct, frozen=True):
    """Everything computed, and what could not be: pairs of a number's id and the reason."""

    numbers: tuple[Number, ...] = ()
    hook_up: tuple[HookUpSupply, ...] = ()
    gas_uses: tuple[GasUse, ...] = ()
    daily_loads: tuple[DailyLoad, ...] = ()
    rest_volts: tuple[tuple[float, int], ...] = ()
    payload: PayloadTable | None = None
    missing: tuple[tuple[str, str], ...] = ()

    def number(self, id: str) -> Number | None:
        return next((n for n in self.numbers if n.id == id), None)

    def of(self, subject: Subject) -> tuple[Number, ...]:
        return tuple(n for n in self.numbers if n.subject == subject)

    @property
    def by_id(self) -> Mapping[str, Number]:
        return {n.id: n for n in self.numbers}
