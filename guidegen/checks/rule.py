"""What a rule is: an id, a severity, and a small function that finds faults in a vehicle."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Literal, TypeAlias

from msgspec import Struct

from guidegen.errors import Finding, Mark
from guidegen.trade.records import Trade
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.model import ServicePoint, Vehicle

Severity: TypeAlias = Literal["error", "warning"]


class Scene(Struct, frozen=True, dict=True):
    """The vehicle with the trade that judges it."""

    vehicle: Vehicle
    trade: Trade

    @property
    def layout(self) -> Layout:
        return self.vehicle.layout

    @cached_property
    def points(self) -> tuple[ServicePoint, ...]:
        return self.vehicle.points

    def of(self, *kinds: str) -> tuple[ServicePoint, ...]:
        """Points of these kinds in the order of the file."""
        return tuple(p for p in self.points if p.kind in kinds)

    def mark(self, path: str) -> Mark:
        """Where the file says this ("equipment.fridge.gas"), else the block around it, else the vehicle."""
        while path:
            if path in self.vehicle.marks:
                return self.vehicle.marks[path]
            path = path.rpartition(".")[0]
        return self.vehicle.mark


class Fault(Struct, frozen=True):
    """What a rule found: which thing, what to do about it, and where in the file."""

    message: str
    hint: str
    mark: Mark


Find: TypeAlias = Callable[[Scene], Iterator[Fault]]


class Rule(Struct, frozen=True):
    """One rule; `about` is its one-line meaning."""

    id: str
    severity: Severity
    about: str
    find: Find

    def findings(self, scene: Scene) -> Iterator[Finding]:
        for fault in self.find(scene):
            yield Finding(self.severity, self.id, fault.message, fault.hint, fault.mark)


def rule(id: str, severity: Severity = "warning") -> Callable[[Find], Rule]:
    """Makes a rule of a function; its docstring says what the rule is about."""

    def made(find: Find) -> Rule:
        return Rule(id, severity, (find.__doc__ or "").strip(), find)

    return made
