"""What can run together on a 6, 10 or 16 A hook-up: P = U·I and every maximal set of the 230 V loads."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from itertools import chain, count

from msgspec import Struct
from msgspec.structs import replace

from guidegen.numbers.constants import MAINS_V, SUPPLIES_A
from guidegen.numbers.model import HookUpSet, HookUpSupply, Number, Use
from guidegen.numbers.wording import listed, within
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import combined_heater

# The enumeration is exact; with more loads than this nobody could read the result.
MOST_LOADS = 16
_CHARGER = "charger"
_BASE = ("fridge", _CHARGER)
# Which load people ask about first.
_ORDER = (
    "heater",
    "heating",
    "water heater",
    "air conditioner",
    "hotplate",
    "microwave",
    "oven",
    "grill",
)


class Load(Struct, frozen=True):
    """A 230 V load and its steps in W, one of which may be on."""

    name: str
    steps_w: tuple[float, ...]

    def at(self, watts: float) -> Use:
        return Use(self.name, watts, len(self.steps_w) > 1)


def mains_loads(equipment: Equipment) -> tuple[Load, ...]:
    """The vehicle's own 230 V loads: a combined heater is one load, because it has one set of elements."""
    e = equipment
    loads = [
        *_heaters(e),
        *(
            Load(name, (watts,))
            for name, watts in (
                ("air conditioner", e.air_conditioner and e.air_conditioner.mains),
                ("hotplate", e.hob and e.hob.mains),
                ("microwave", e.microwave and e.microwave.mains),
                ("oven", e.oven and e.oven.mains),
                ("grill", e.grill and e.grill.mains),
                ("fridge", e.fridge and e.fridge.mains),
                (_CHARGER, e.hook_up and e.hook_up.charger),
            )
            if watts
        ),
    ]
    for own in (m for m in e.mains_loads if m.power):
        loads.append(Load(_apart(within(own.name), {load.name.casefold() for load in loads}), (own.power,)))
    return tuple(loads)


def _apart(name: str, taken: Container[str]) -> str:
    """The name, with a figure behind it where another load has it: names tell loads apart."""
    names = chain([name], (f"{name} {n}" for n in count(2)))
    return next(one for one in names if one.casefold() not in taken)


def _heaters(e: Equipment) -> Iterator[Load]:
    space = e.heating.mains if e.heating else ()
    water = e.water_heater.mains if e.water_heater else ()
    if combined_heater(e) and space and water:
        yield Load("heater", _steps((*space, *water)))
        return
    for name, steps in (("heating", space), ("water heater", water)):
        if any(steps):
            yield Load(name, _steps(steps))


def _steps(watts: Sequence[float]) -> tuple[float, ...]:
    return tuple(sorted({w for w in watts if w}))


def maximal_sets(loads: Sequence[Load], limit_w: float) -> Iterator[tuple[Use, ...]]:
    """Every set of uses within the limit to which nothing can be added and no step raised.

    Depth-first over the loads, largest first; a branch is cut when even with all that remains
    switched on a load left off, or a higher step, would still fit.
    """
    order = sorted(loads, key=lambda load: -load.steps_w[-1])
    rest = [0.0] * (len(order) + 1)
    for i in range(len(order) - 1, -1, -1):
        rest[i] = rest[i + 1] + order[i].steps_w[-1]

    def walk(i: int, used: float, least_more: float, uses: tuple[Use, ...]) -> Iterator[tuple[Use, ...]]:
        if used + rest[i] + least_more <= limit_w:
            return
        if i == len(order):
            yield uses
            return
        load = order[i]
        choices = (0.0, *load.steps_w)
        for k in range(len(choices) - 1, -1, -1):
            if used + choices[k] > limit_w:
                continue
            more = choices[k + 1] - choices[k] if k + 1 < len(choices) else float("inf")
            chosen = uses if k == 0 else (*uses, load.at(choices[k]))
            yield from walk(i + 1, used + choices[k], min(least_more, more), chosen)

    return walk(0, 0.0, float("inf"), ())


def supplies(equipment: Equipment) -> tuple[HookUpSupply, ...]:
    """What each usual supply up to the vehicle's inlet carries; empty without hook-up or loads."""
    loads = mains_loads(equipment)
    if not equipment.hook_up or not loads or len(loads) > MOST_LOADS:
        return ()
    inlet = equipment.hook_up.inlet
    amps = sorted({*(a for a in SUPPLIES_A if a <= inlet), *([int(inlet)] if inlet >= 1 else [])})
    fixed = () if equipment.hook_up.charger_switch else (_CHARGER,)
    return tuple(_supply(a, loads, fixed) for a in amps)


def _supply(amps: int, loads: Sequence[Load], always: Sequence[str]) -> HookUpSupply:
    """always: the loads that nobody can switch off; no set leaves them out."""
    limit = MAINS_V * amps
    fixed = tuple(load.at(load.steps_w[-1]) for load in loads if load.name in always)
    every = (HookUpSet(_in_order(uses, loads)) for uses in maximal_sets(loads, limit))
    sets = tuple(s for s in every if set(fixed) <= set(s.uses))
    base = tuple(load.at(load.steps_w[-1]) for load in loads if load.name in _BASE)
    if sum(use.watts for use in base) > limit:
        base = fixed
    with_base = [s for s in sets if set(base) <= set(s.uses)]
    shown = tuple(_cover(with_base, loads))
    room = limit - sum(use.watts for use in fixed)
    higher = [(load, _not_reached(load, shown)) for load in loads]
    alone = tuple(load.at(max(fits)) for load, steps in higher if (fits := [w for w in steps if w <= room]))
    too_much = tuple(load.at(load.steps_w[0]) for load, steps in higher if steps and load.steps_w[0] > room)
    supply = HookUpSupply(amps, limit, base, sets, shown, alone, too_much, "", fixed)
    return replace(supply, text=_said(supply, loads))


def _not_reached(load: Load, shown: Sequence[HookUpSet]) -> list[float]:
    """The steps of a load above the highest that any of the sets holds."""
    reached = max((use.watts for s in shown for use in s.uses if use.load == load.name), default=0.0)
    return [step for step in load.steps_w if step > reached]


def _in_order(uses: Sequence[Use], loads: Sequence[Load]) -> tuple[Use, ...]:
    names = [load.name for load in loads]
    return tuple(sorted(uses, key=lambda use: names.index(use.load)))


def _cover(sets: Sequence[HookUpSet], loads: Sequence[Load]) -> Iterator[HookUpSet]:
    """A few sets that between them hold each load at the highest step that any of them holds."""
    names = [load.name for load in loads]
    highest: dict[str, Use] = {}
    for use in (use for s in sets for use in s.uses):
        if use.load not in highest or use.watts > highest[use.load].watts:
            highest[use.load] = use
    left = sorted(highest.values(), key=lambda use: names.index(use.load))
    while left:
        holding = [s for s in sets if left[0] in s.uses]
        best = max(holding, key=lambda s: (len(s.uses), s.watts))
        yield best
        left = [use for use in left if use not in best.uses]


def _said(supply: HookUpSupply, loads: Sequence[Load]) -> str:
    """Such as "10 A: heating at 1000 W with fridge and charger; switch the kettle on alone"."""
    base = listed([use.said for use in supply.base])
    beside = [[use.said for use in s.uses if use not in supply.base] for s in supply.shown]
    choices = [listed(names) for names in beside if names]
    everything = HookUpSet(tuple(load.at(load.steps_w[-1]) for load in loads))
    if everything in supply.shown:
        first = "everything together"
    elif not choices:
        first = f"only {base}" if base else ""
    elif len(choices) == 1:
        first = f"{choices[0]} with {base}" if base else choices[0]
    else:
        first = f"{f'with {base}, ' if base else ''}either {', or '.join(choices)}"
    parts = [first] if first else []
    reached = {use.load for s in supply.shown for use in s.uses}  # of which there is enough to say
    alone = [use for use in supply.alone if use.load not in reached]
    if alone:
        beside_it = f" beside the {listed([use.load for use in supply.fixed])}" if supply.fixed else ""
        parts.append(f"switch {listed([f'the {use.said}' for use in alone], 'or')} on alone{beside_it}")
    if supply.too_much:
        needs = "needs" if len(supply.too_much) == 1 else "need"
        parts.append(f"{listed([f'the {use.load}' for use in supply.too_much])} {needs} more than this")
    return f"{supply.amps} A: {'; '.join(parts)}"


def power_numbers(equipment: Equipment) -> Iterator[Number]:
    """The power of each supply, said with what it carries."""
    for supply in supplies(equipment):
        yield Number(
            id=f"hook-up.{supply.amps}",
            subject="power",
            title=f"Together on {supply.amps} A",
            value=supply.limit_w,
            unit="W",
            text=supply.text,
            formula=f"P = U · I = {MAINS_V:.0f} V · {supply.amps} A = {supply.limit_w:.0f} W",
            assumptions=("Rated power of each appliance; starting peaks are not counted.",),
            source="230 V by IEC 60038",
        )


def power_missing(equipment: Equipment) -> Iterator[tuple[str, str]]:
    loads = mains_loads(equipment)
    if not equipment.hook_up:
        yield "hook-up", "no hook-up is described"
    elif not loads:
        yield "hook-up", "the power of no 230 V appliance is given"
    elif len(loads) > MOST_LOADS:
        yield "hook-up", f"more than {MOST_LOADS} loads on 230 V: join the small ones into one"
    if equipment.hook_up and equipment.hook_up.charger_switch and not equipment.hook_up.charger:
        yield "hook-up", "the charger's power is not given: it is not counted"
