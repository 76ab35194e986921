"""What a sequence must have reached at its end, by the simulator's own account."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from guidegen.sequence.simulator_tables import State, Value


class Scene(Protocol):
    @property
    def sequence(self) -> str: ...
    @property
    def hooked_up(self) -> bool: ...
    @property
    def on_charge(self) -> bool: ...
    def has(self, *facts: str) -> bool: ...
    def energy(self, appliance: str) -> str: ...


def unmet_goals(here: Scene, state: State) -> Iterator[tuple[str, str]]:
    """(rule, what is wrong); rule "10" for what must be so after a lay-up, else "goal"."""
    wanted = {"arrive": _living, "leave": _road, "lay-up": _stored, "recommission": _first_use}
    for applies, name, value in wanted[here.sequence](here):
        if applies and state[name] != value:
            rule = "10" if here.sequence == "lay-up" else "goal"
            yield rule, f"{name} should be {_said(value)} but is {_said(state[name])}"


def _said(value: Value) -> str:
    return {True: "on", False: "off"}.get(value, str(value)) if isinstance(value, bool) else value


def _living(here: Scene) -> Iterator[tuple[bool, str, Value]]:
    yield True, "standing", True
    yield True, "level", True
    yield here.has("steadies"), "steadies", "down"
    yield here.has("step"), "step", "out"
    yield True, "12 V", True
    yield here.hooked_up, "mains", True
    yield here.hooked_up, "rcd", "proved"
    yield here.hooked_up and here.has("hook-up.charger-switch"), "charger", True
    yield here.has("gas"), "cylinder", "open"
    yield here.has("gas"), "regulator", "ready"
    yield here.has("fresh-water"), "tank", "full"
    yield here.has("gas-appliance"), "isolators", "open"
    yield here.has("waste-water"), "waste drain", "shut"
    yield here.has("fresh-water"), "pump", True
    yield here.has("fresh-water"), "heater full", True
    yield here.has("toilet"), "toilet", "ready"
    yield True, "alarms", "proved"
    for appliance, name in (("water-heater", "water heater"), ("heating", "heating"), ("fridge", "fridge")):
        yield here.has(appliance), name, here.energy(appliance)


def _first_use(here: Scene) -> Iterator[tuple[bool, str, Value]]:
    yield from _living(here)
    yield here.has("gas"), "hoses", "sound"
    yield here.has("gas-appliance"), "gas date", "known"
    yield here.has("battery"), "battery", "connected"
    yield here.has("fresh-water"), "leaks", "none"
    yield here.has("fresh-water"), "pipes", "clean"
    yield here.has("fresh-water"), "taps", "shut"
    yield here.has("fresh-water.outside-shower"), "outside shower", "shut"
    yield here.has("fresh-water"), "tag", "off"
    yield here.has("caravan"), "chocks", "set"
    yield here.has("fresh-water.filter"), "filter", "in"
    yield here.has("toilet"), "blade", "shut"


def _road(here: Scene) -> Iterator[tuple[bool, str, Value]]:
    yield True, "driving", True
    yield True, "looked round", True
    yield here.hooked_up, "lead", "stowed"
    yield True, "inverter", False
    yield here.has("fresh-water"), "taps", "shut"
    yield here.has("fresh-water.container"), "container", "away"
    yield here.has("toilet"), "blade", "shut"
    yield here.has("fridge.absorption") and here.has("fridge.12v"), "fridge", "12v"
    yield here.has("toilet"), "cassette", "empty"
    yield here.has("waste-water"), "waste", "empty"


def _stored(here: Scene) -> Iterator[tuple[bool, str, Value]]:
    water = here.has("fresh-water")
    yield water, "tank", "empty"
    yield water, "taps", "open"
    yield here.has("fresh-water.outside-shower"), "outside shower", "open"
    yield water, "fresh drain", "open"
    yield here.has("water-heater"), "heater drain", "open"
    yield here.has("has.low-point-drain"), "low drains", "open"
    yield here.has("waste-water"), "waste drain", "open"
    yield here.has("waste-water"), "waste", "empty"
    yield here.has("fresh-water.filter"), "filter", "out"
    yield here.has("toilet"), "flush", "empty"
    yield here.has("toilet"), "cassette", "empty"
    yield here.has("toilet"), "blade", "open"
    yield water, "pump", False
    yield True, "water heater", "off"
    yield True, "heating", "off"
    yield True, "fridge", "off"
    yield True, "inverter", False
    yield True, "cylinder", "shut"
    yield True, "mains", here.on_charge
    yield here.on_charge, "charge kept", True
    yield not here.on_charge, "charger", False
    yield not here.on_charge, "vehicle end", "out"
    yield not here.on_charge, "post end", "out"
    yield here.hooked_up and not here.on_charge, "lead", "stowed"
    yield here.has("battery") and not here.on_charge, "12 V", False
    yield True, "standing", True
    yield here.has("caravan"), "chocks", "set"
    yield here.has("caravan"), "caravan brake", "off"
    yield here.has("caravan") and here.has("steadies"), "steadies", "down"
    yield True, "step", "in"
    yield True, "awning", "in"
    yield True, "aerial", "down"
    yield True, "windows", "shut"
    yield True, "roof-lights", "shut"
    yield True, "cushions", "up"
    yield True, "lockers", "shut"
    yield water, "tag", "hung"
