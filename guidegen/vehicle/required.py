"""Points that the equipment requires (trade.md's table, as trade/requirements.yaml) and nobody placed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Protocol

from guidegen.trade.records import Requirement, Trade, holds
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import combined_heater, gas_appliances
from guidegen.vehicle.model import ToLocate


class Placed(Protocol):
    """What is asked of a point here: its kind and what it serves."""

    @property
    def kind(self) -> str: ...
    @property
    def serves(self) -> tuple[str, ...]: ...


# Other words by which a description may name the same appliance.
_ALSO = {"space-heater": ("heating",)}
_HEATERS = ("water-heater", "space-heater", "heating")


def to_locate(
    facts: frozenset[str], equipment: Equipment, points: Iterable[Placed], trade: Trade
) -> tuple[ToLocate, ...]:
    """Every required point that is not among `points`, in the order of the requirements."""
    placed = tuple(points)
    found: dict[str, ToLocate] = {}
    for requirement in trade.requirements:
        if holds(requirement.when, facts):
            for missing in _missing(requirement, equipment, placed, trade):
                found.setdefault(missing.name, missing)
    return tuple(found.values())


def serves_appliance(point: Placed, appliance: str, equipment: Equipment) -> bool:
    """Whether the point serves the appliance, named by kind, numbered id or another word for it."""
    names = {appliance, *_ALSO.get(appliance, ())}
    water = equipment.water_heater
    if appliance == "water-heater" and water and water.type == "combined":
        names |= {"space-heater", "heating"}
    return any(word in names or word.rstrip("0123456789").removesuffix("-") in names for word in point.serves)


def appliance_name(appliance: str, trade: Trade, equipment: Equipment | None = None) -> str:
    """The appliance as printed in a sentence: "hob"; of a combined heater that it is one."""
    if appliance in _HEATERS and equipment and combined_heater(equipment):
        return "combined heater"
    kind = trade.kinds.get(appliance)
    return kind.name if kind else appliance.replace("-", " ")


def _missing(
    requirement: Requirement, equipment: Equipment, placed: tuple[Placed, ...], trade: Trade
) -> Iterator[ToLocate]:
    candidates = tuple(p for p in placed if p.kind in requirement.kinds)
    kind = requirement.kinds[0]
    name = trade.kinds[kind].name if kind in trade.kinds else kind.replace("-", " ")
    name = name[:1].upper() + name[1:]
    if requirement.each_of != "gas-appliance":
        if not candidates:
            yield ToLocate(kind, name, requirement.reason)
        return
    appliances = gas_appliances(equipment)
    if len(appliances) == 1 and any(not p.serves for p in candidates):
        return  # the only valve for the only appliance need not say so
    for appliance in appliances:
        if not any(serves_appliance(p, appliance, equipment) for p in candidates):
            printed = appliance_name(appliance, trade, equipment)
            reason = requirement.reason.format(appliance=printed)
            yield ToLocate(kind, f"{name} of the {printed}", reason, (appliance,))
