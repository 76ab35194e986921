"""The numbers of one vehicle as immutable records, ready to print or to write as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from guidegen.numbers.constants import BATTERY_V

Subject: TypeAlias = Literal["power", "hot-water", "gas", "battery", "water", "mass", "lead"]


@dataclass(frozen=True, slots=True)
class Number:
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


@dataclass(frozen=True, slots=True)
class Use:
    """A 230 V load switched on, at one of its steps when it has several."""

    load: str  # "heating"
    watts: float
    stepped: bool = False

    @property
    def said(self) -> str:
        return f"{self.load} at {self.watts:.0f} W" if self.stepped else self.load


@dataclass(frozen=True, slots=True)
class HookUpSet:
    """Loads that may run together; maximal: nothing more, and no higher step, would fit."""

    uses: tuple[Use, ...]

    @property
    def watts(self) -> float:
        return sum(use.watts for use in self.uses)


@dataclass(frozen=True, slots=True)
class HookUpSupply:
    """What one size of supply carries."""

    amps: int
    limit_w: float
    base: tuple[Use, ...]  # loads that are left on: fridge and charger
    sets: tuple[HookUpSet, ...]  # every maximal set
    shown: tuple[HookUpSet, ...]  # a few of them with the base on, which cover what fits beside it
    alone: tuple[Use, ...]  # fits, but only with part of the base switched off
    too_much: tuple[Use, ...]  # never fits
    text: str


@dataclass(frozen=True, slots=True)
class GasUse:
    """One gas appliance: its full power in kW, and its hours a day when the file says them."""

    appliance: str
    kilowatts: float
    hours_per_day: float | None
    hours_on_board: float  # that the gas on board lasts for this appliance alone


@dataclass(frozen=True, slots=True)
class DailyLoad:
    """One 12 V load of a day."""

    name: str
    watts: float
    hours: float

    @property
    def amp_hours(self) -> float:
        return self.watts * self.hours / BATTERY_V


@dataclass(frozen=True, slots=True)
class PayloadRow:
    """One rung: the mass in kg, negative when it is taken away, and how it was reckoned."""

    name: str
    kg: float
    detail: str = ""


@dataclass(frozen=True, slots=True)
class PayloadTable:
    """From the greatest mass down to what is left; minimum_kg by the rule, None when not computable."""

    rows: tuple[PayloadRow, ...]
    left_kg: float
    payload_kg: float  # before water, gas and luggage: what the minimum is compared with
    minimum_kg: float | None


@dataclass(frozen=True, slots=True)
class NumberSheet:
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
