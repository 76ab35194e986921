"""Carries out steps one by one on a vehicle and looks after each whether anything is unsafe.

It shares no code with the planner, and of its data no more than the ids of steps and facts: the rules are
the invariants of leisure-vehicle handling (numbered 1 to 10), the effects of the steps its own table.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence

from msgspec import Struct

from guidegen.sequence.simulator_goals import unmet_goals
from guidegen.sequence.simulator_tables import (
    EFFECTS,
    FITTED,
    IN_LOCKERS,
    OPENING,
    OUTLETS,
    START,
    WITHIN,
    State,
    Value,
)

_PARK = ("park-level", "stand-firm")
_HOLD = (*_PARK, "chocks-set")  # what keeps the vehicle where it is
_STARTS = {"heating-on": "heating", "water-heater-on": "water-heater", "fridge-choose": "fridge"}


class Breach(Struct, frozen=True):
    """rule: "1" to "10", "parked", "step", "twice", "unknown", "not fitted" or "goal"; step: broke it.

    step is "" for what is wrong at the end.
    """

    rule: str
    step: str
    message: str


class Situation(Struct, frozen=True):
    """What the simulator knows of the vehicle and the pitch."""

    sequence: str
    variant: str
    facts: frozenset[str]

    @property
    def hooked_up(self) -> bool:
        return "hook-up" in self.facts and self.variant != "no-hook-up"

    @property
    def on_charge(self) -> bool:
        """Laid up in a heated hall with the charger left on."""
        return self.variant == "heated-store" and "hook-up.charger" in self.facts

    def has(self, *facts: str) -> bool:
        return any(f in self.facts for f in facts)

    def energy(self, appliance: str) -> str:
        """The energy in use: mains on hook-up, else gas, else diesel; compressor fridges 12 V."""
        if appliance == "fridge" and self.has("fridge.compressor"):
            return "12v"
        if self.hooked_up and self.has(f"{appliance}.mains"):
            return "mains"
        return next((e for e in ("gas", "diesel") if self.has(f"{appliance}.{e}")), "off")


def simulate(
    sequence: str, variant: str, facts: frozenset[str], steps: Sequence[str], own: Container[str] = ()
) -> tuple[Breach, ...]:
    """All breaches, in the order in which they happen; empty when the order is safe and does its work.

    own: ids of the dealer's own steps, which change nothing.
    """
    here = Situation(sequence, variant, facts)
    state = start_of(here)
    found: list[Breach] = []
    for count, step in enumerate(steps):
        if step in steps[:count]:
            found.append(Breach("twice", step, f"“{step}” is done twice"))
        if step not in EFFECTS and step not in own:
            found.append(Breach("unknown", step, f"nobody knows what “{step}” does"))
        if step in FITTED and not here.has(*FITTED[step]):
            found.append(Breach("not fitted", step, f"“{step}” is for equipment that is not fitted"))
        found += [Breach(rule, step, f"at “{step}”, {why}") for rule, why in _acts(step, state, here)]
        for name, value in EFFECTS.get(step, {}).items():
            state[name] = _value(value, here, state)
        found += [Breach(rule, step, f"after “{step}”, {why}") for rule, why in _states(state, here)]
    found += [Breach(rule, "", f"at the end, {why}") for rule, why in unmet_goals(here, state)]
    return _first_of_each(found)


def start_of(here: Situation) -> State:
    """The vehicle before the first step: the worst that the sequence must cope with."""
    state = dict(START[here.sequence])
    if not here.has("gas.crash-protected"):
        state["regulator"] = "ready"
    else:
        state["regulator"] = "ready" if here.sequence in ("leave", "lay-up") else "shut"
    if not here.has("battery"):
        state["12 V"] = True
    if here.sequence in ("leave", "lay-up"):
        _lived_in(state, here)
    if here.sequence == "lay-up" and here.has("caravan"):
        state["steadies"] = "up"
    for absent, name, value in (
        ("waste-water", "waste drain", "shut"),
        ("drop-down-bed", "bed", "up"),
        ("roof-lights", "roof-lights", "shut"),
        ("inverter", "inverter", False),
        ("fresh-water.outside-shower", "outside shower", "shut"),
        ("motorised", "cab view", "clear"),
    ):
        if not here.has(absent):
            state[name] = value
    return state


def _lived_in(state: State, here: Situation) -> None:
    if here.has("fresh-water"):
        state |= {"tank": "full", "heater full": True, "pump": True}
    if here.hooked_up:
        state |= {"vehicle end": "in", "post end": "in", "mains": True, "rcd": "proved", "lead": "about"}
        state["charger"] = here.has("hook-up.charger-switch")
    for fact, name, value in (
        ("gas", "cylinder", "open"),
        ("steadies", "steadies", "down"),
        ("step", "step", "out"),
        ("awning", "awning", "out"),
    ):
        if here.has(fact):
            state[name] = value
    if here.has("aerial.directional", "aerial.satellite"):
        state["aerial"] = "up"
    for appliance, name in (("water-heater", "water heater"), ("heating", "heating"), ("fridge", "fridge")):
        state[name] = here.energy(appliance)
    state["heater hot"] = here.has("water-heater")


def _value(value: Value, here: Situation, state: State) -> Value:
    if value == "@road":
        if here.has("caravan") and here.has("fridge.12v"):
            return "12v"
        return state["fridge"] if here.has("fridge.compressor") else "off"
    if value == "@waste":
        return "open" if here.has("waste-water.tank") or here.sequence == "lay-up" else state["waste drain"]
    if isinstance(value, str) and value.startswith("@"):
        return here.energy(value[1:])
    return value


def _open_drains(state: State, here: Situation) -> bool:
    return (
        (here.has("fresh-water.tank") and state["fresh drain"] == "open")
        or (here.has("water-heater") and state["heater drain"] == "open")
        or (here.has("has.low-point-drain") and state["low drains"] == "open")
    )


def _holds_water(s: State, here: Situation) -> bool:
    """Whether water that can freeze is left where draining reaches it."""
    shut = (s["taps"] == "shut", here.has("has.low-point-drain") and s["low drains"] == "shut")
    return s["tank"] != "empty" or any(shut) or (here.has("water-heater") and bool(s["heater full"]))


def _acts(step: str, s: State, here: Situation) -> Iterator[tuple[str, str]]:
    """What must not be so at the moment of the act."""
    if not s["standing"] and step in EFFECTS and step not in _PARK:
        yield "parked", "the vehicle is not parked"
    if step in ("lead-vehicle", "lead-post", "lead-post-off", "lead-vehicle-off") and s["mains"]:
        yield "3", "the lead is handled while the mains is on"
    if (
        step in ("fill", "fill-little", "rinse-fill")
        and here.has("fresh-water.tank")
        and s["fresh drain"] == "open"
    ):
        yield "5", "the tank is filled while its drain is open"
    if step in OPENING and s["pump"]:
        yield "6", "a water way is opened while the pump is on"
    if step in OUTLETS and (s["water heater"] != "off" or s["heater hot"]):
        yield "6", "the taps run empty while the heater is on or hot"
    if step == "heater-drain-open" and (s["water heater"] != "off" or s["heater hot"]):
        yield "6", "the heater's drain is opened while the heater is on or hot"
    if step == "heater-cool" and s["water heater"] != "off":
        yield "6", "the heater is to cool while it is on"
    if step == "heater-cool" and here.has("water-heater.combined") and s["heating"] != "off":
        yield "6", "the heater is to cool while it heats the room"
    if step == "rcd-test" and not s["mains"]:
        yield "3", "the RCD is tested while the mains is off"
    if step == "lead-stow" and "in" in (s["post end"], s["vehicle end"]):
        yield "3", "the lead is coiled up while an end of it is connected"
    if step == "regulator-reset" and s["cylinder"] != "open":
        yield "2", "the regulator is reset before gas comes to it"
    if step == "pump-on" and "open" in (s["taps"], s["outside shower"]):
        yield "4", "the pump is switched on while a tap is open"
    if step == "tag" and _holds_water(s, here):
        yield "10", "the tag tells of a drained system while water is in it"
    yield from _goes_in(step, s, here)
    yield from _rolls(step, s, here)
    if step in IN_LOCKERS and s["lockers"] == "shut" and here.sequence in ("leave", "lay-up"):
        yield "9", "a locker is opened again after all were locked"
    if step == "cassette-empty" and s["blade"] == "open":
        yield "7", "the cassette is taken out while the blade is open"
    if step == "toilet-ready" and s["blade"] == "open":
        yield "7", "the toilet is made ready while the blade is open"
    if here.sequence == "recommission":
        yield from _first_use(step, s, here)
    towed = here.has("caravan") and here.sequence == "arrive" and s["coupled"]
    if step == "steadies-down" and towed:
        yield "parked", "the steadies carry the tow car too"
    if step in ("cylinder-open", "lead-vehicle") and towed:
        yield "parked", "gas or mains is connected while the tow car is still coupled"
    started = _STARTS.get(step, "")
    if started and here.energy(started) in ("gas", "diesel") and s["alarms"] != "proved":
        yield "2", "a burner is lit before the alarms are tested"
    on_12_v = started == "heating" or (started and here.energy(started) in ("diesel", "12v"))
    if on_12_v and not s["12 V"]:
        yield "goal", "what runs on 12 V is started while that is off"
    if step == "uncouple" and (s["chocks"], s["caravan brake"]) != ("set", "on"):
        yield "parked", "the caravan is uncoupled while it can roll"
    if step == "chocks-stow" and not s["coupled"]:
        yield "parked", "nothing keeps the caravan from rolling"
    if step == "walk-round":
        for still in _still_open(s):
            yield "9", f"one looks round while {still}"
    if step in ("leaks-check", "sanitise", "flush", "prime", "heater-cool"):
        yield from _running_water(step, s, here)
    if step == "drive":
        yield from _on_the_road(s, here)


def _goes_in(step: str, s: State, here: Situation) -> Iterator[tuple[str, str]]:
    """Nobody climbs in without the step, or into a caravan that can tip."""
    if step in WITHIN and here.has("step") and s["step"] == "in":
        yield "step", "one goes in or out without the entry step"
    if step in ("step-out", "step-in") and here.has("step.electric") and not s["12 V"]:
        yield "step", "the electric step is to move without 12 V"
    loose = here.has("caravan") and not s["coupled"]
    if step in WITHIN and loose and here.has("steadies") and s["steadies"] == "up":
        yield "parked", "one goes into a caravan that can tip"


def _rolls(step: str, s: State, here: Situation) -> Iterator[tuple[str, str]]:
    """Nobody works at a caravan that can roll, but to hold it."""
    loose = here.has("caravan") and not s["coupled"]
    held = (s["chocks"], s["caravan brake"]) == ("set", "on")
    if loose and not held and step in EFFECTS and step not in _HOLD:
        yield "parked", "the caravan can roll"


def _first_use(step: str, s: State, here: Situation) -> Iterator[tuple[str, str]]:
    if step == "cylinder-open" and s["hoses"] != "sound":
        yield "2", "the gas is opened before its hoses are looked over"
    if step == "cylinder-open" and here.has("gas-appliance") and s["gas date"] != "known":
        yield "2", "the gas is opened before the date of its test is known"
    if step == "rinse-fill" and s["pipes"] != "agent":
        yield "goal", "the pipes are rinsed before they are cleaned"
    if step == "flush" and s["pipes"] != "rinsing":
        yield "goal", "the pipes are rinsed with the cleaning agent still in the tank"
    if step == "tag-off" and not s["heater full"]:
        yield "1", "the tag that warns of an empty heater is taken off too early"
    heaters = ("water-heater-on", *(("heating-on",) if here.has("water-heater.combined") else ()))
    if step in heaters and here.has("fresh-water") and s["tag"] == "hung":
        yield "1", "the heater is started while its tag says that it is empty"
    if step == "master-on" and s["battery"] == "apart":
        yield "goal", "the 12 V supply is switched on before its battery is connected"
    if step in ("fill-little", "leaks-check", "sanitise", "flush") and "open" in (
        s["taps"],
        s["outside shower"],
    ):
        yield "4", "water comes while a tap of the winter is open"


def _running_water(step: str, s: State, here: Situation) -> Iterator[tuple[str, str]]:
    """Some steps draw water, and so run the pump."""
    if s["tank"] == "empty" or not s["12 V"] or _open_drains(s, here):
        yield "4", "the pump runs without water or 12 V, or with a drain open"
    if step != "leaks-check" and here.has("waste-water") and s["waste drain"] == "open":
        yield "goal", "what runs down the sinks runs out on the ground"
    if step in ("prime", "heater-cool") and not s["pump"]:
        yield "1", "water is to run while the pump is off"
    if here.has("fresh-water.filter") and s["filter"] == "out":
        yield "4", "the pump runs while the housing of the filter is open"


def _states(s: State, here: Situation) -> Iterator[tuple[str, str]]:
    """What must never be so."""
    if s["water heater"] != "off" and not s["heater full"]:
        yield "1", "the water heater is on without water"
    if here.has("water-heater.combined") and s["heating"] != "off" and not s["heater full"]:
        yield "1", "the combined heater is on without water"
    yield from _burning(s, here)
    uses_mains = s["charger"] or "mains" in (s["water heater"], s["heating"], s["fridge"])
    if uses_mains and not s["mains"]:
        yield "3", "something runs on mains while the mains is off"
    elif uses_mains and s["rcd"] != "proved":
        yield "3", "something runs on mains before the RCD has proved itself"
    if s["mains"] and s["post end"] != "in":
        yield "3", "the main switch is on while the lead is not in the supply"
    if s["post end"] == "in" and s["vehicle end"] != "in":
        yield "3", "the lead is live with its vehicle end loose"
    if s["pump"] and (s["tank"] == "empty" or not s["12 V"] or _open_drains(s, here)):
        yield "4", "the pump is on without water or 12 V, or with a drain open"
    if s["fridge"] == "gas" and not (s["standing"] and s["level"]):
        yield "8", "the fridge is on gas while the vehicle is not parked and level"
    # A caravan's fridge is fed by the tow car, through a contact that is live only with the ignition on
    # (ISO 11446-1, contact 10; from memory), so that its 12 V setting empties no battery.
    drains = here.has("fridge.absorption") and not here.has("caravan")
    if drains and s["fridge"] == "12v" and not s["engine"]:
        yield "8", "the absorption fridge is on 12 V while the engine is off"


def _burning(s: State, here: Situation) -> Iterator[tuple[str, str]]:
    outlets = {"water heater": "water flue", "heating": "heater flue", "fridge": "fridge vents"}
    for name, outlet in outlets.items():
        if s[name] in ("gas", "diesel") and s[outlet] != "open":
            yield "2", f"the {name} burns while its outlet is covered"
        if s[name] == "mains" and s[outlet] != "open" and _has_burner(name, here):
            yield "2", f"the {name} is on while its outlet is covered"
        if s[name] == "gas" and (s["cylinder"], s["regulator"], s["isolators"]) != ("open", "ready", "open"):
            yield "2", f"the {name} is on gas while the gas is shut"


def _has_burner(name: str, here: Situation) -> bool:
    appliance = name.replace(" ", "-")
    return here.has(f"{appliance}.gas", f"{appliance}.diesel")


def _on_the_road(s: State, here: Situation) -> Iterator[tuple[str, str]]:
    approved = here.has("heating.approved-on-road")
    open_gas = here.has("gas.open-on-road") and here.has("gas.crash-protected")
    for wrong, why in (
        (here.has("caravan") and not s["coupled"], "the caravan is not coupled"),
        (here.has("caravan") and s["chocks"] == "set", "chocks lie at the wheels"),
        (here.has("caravan") and s["caravan brake"] == "on", "the caravan's brake is on"),
        (
            here.has("fresh-water.container") and s["container"] == "connected",
            "a water container hangs on it",
        ),
        (not s["looked round"], "nobody has looked round the vehicle"),
        (s["loose items"] == "about", "loose items lie about"),
        (s["bed"] == "down", "the drop-down bed is down"),
        (s["cab view"] == "blocked", "the driver's view is blocked"),
        (bool(s["pump"]), "the pump is on"),
        (s["fridge"] == "gas", "the fridge is on gas"),
        (s["water heater"] != "off", "the water heater is on"),
        (s["heating"] != "off" and not approved, "the heating is on"),
        (s["cylinder"] == "open" and not open_gas, "the gas is open"),
    ):
        if wrong:
            yield "9", f"one drives while {why}"
    for still in _still_open(s):
        yield "9", f"one drives while {still}"


def _still_open(s: State) -> Iterator[str]:
    """What hangs out of the vehicle or stands open."""
    for wrong, why in (
        (s["post end"] == "in" or s["vehicle end"] == "in", "the lead is connected"),
        (s["step"] == "out", "the step is out"),
        (s["awning"] == "out", "the awning is out"),
        (s["aerial"] == "up", "the aerial is up"),
        (s["steadies"] == "down", "the steadies are down"),
        (s["roof-lights"] == "open", "a roof-light is open"),
        (s["windows"] == "open", "a window is open"),
        (s["lockers"] == "open", "a locker is open"),
        (s["waste drain"] == "open", "the waste drain is open"),
    ):
        if wrong:
            yield why


def _first_of_each(found: list[Breach]) -> tuple[Breach, ...]:
    """A state that stays wrong is told once."""
    told: dict[tuple[str, str], Breach] = {}
    for breach in found:
        told.setdefault((breach.rule, breach.message.partition(", ")[2] or breach.message), breach)
    return tuple(told.values())
