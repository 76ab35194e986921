"""Facts: plain words about what a vehicle has, which the trade data ask for (`when`).

motorhome campervan caravan motorised
gas gas.cylinders gas.tank gas.two-cylinders gas.crash-protected gas.open-on-road gas.changeover
gas.changeover-manual gas.barbecue gas.alarm gas.butane gas.propane gas-appliance
hob hob.gas hob.mains oven oven.gas oven.mains grill grill.gas grill.mains cooking.gas microwave
water-heater water-heater.gas water-heater.mains water-heater.diesel water-heater.storage
water-heater.combined
heating heating.gas heating.mains heating.diesel heating.convector heating.wet heating.air
heating.approved-on-road
fridge fridge.absorption fridge.compressor fridge.gas fridge.mains fridge.12v fridge.automatic
fridge.manual
fresh-water fresh-water.tank fresh-water.container fresh-water.submersible fresh-water.pressure
fresh-water.filter fresh-water.outside-shower
waste-water waste-water.tank waste-water.container
toilet toilet.own-tank toilet.fresh-flush toilet.fan
hook-up hook-up.charger hook-up.charger-switch
battery battery.several battery.lithium battery.isolator solar inverter air-conditioner
step step.electric step.manual awning awning.wind-out awning.electric awning.bag
aerial aerial.directional aerial.satellite aerial.dome aerial.fixed steadies roof-lights drop-down-bed
burns (anything with a flame)  mains-appliance
has.<kind>  for every kind of point that is placed
two-axles (of the layout)
"""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.vehicle.description import Equipment, Gas, Oven


def facts_of(kind: str, equipment: Equipment, point_kinds: frozenset[str] = frozenset()) -> frozenset[str]:
    """All facts of a vehicle of that kind ("motorhome", "campervan", "caravan") with that equipment."""
    found = {kind, *(f"has.{k}" for k in point_kinds)}
    if kind != "caravan":
        found.add("motorised")
    for group in (_gas, _cooking, _heat, _water, _electric, _body):
        found.update(group(equipment))
    burning = {f for f in found if f.endswith(".gas") and f != "cooking.gas"}
    if burning:
        found.add("gas-appliance")
    if burning or "heating.diesel" in found:
        found.add("burns")
    plugged = found & {"microwave", "air-conditioner"} or equipment.mains_loads
    if plugged or any(f.endswith(".mains") for f in found):
        found.add("mains-appliance")
    return frozenset(found)


GAS_APPLIANCES = ("hob", "grill", "oven", "fridge", "water-heater", "space-heater")


def gas_appliances(equipment: Equipment) -> tuple[str, ...]:
    """Appliances that burn LPG, as the kinds that stand for them in the vehicle."""
    e = equipment
    water, heating = _heat_energies(e)
    fitted = (
        bool(e.hob and e.hob.gas),
        bool(e.grill and e.grill.gas),
        bool(e.oven and e.oven.gas),
        bool(e.fridge and e.fridge.gas),
        "gas" in water,
        "gas" in heating and not combined_heater(e),
    )
    return tuple(name for name, present in zip(GAS_APPLIANCES, fitted, strict=True) if present)


def combined_heater(equipment: Equipment) -> bool:
    """Whether one heater, with one burner and one set of elements, makes hot water and heats the rooms."""
    water, heating = equipment.water_heater, equipment.heating
    return bool(water and heating and water.type == "combined" and heating.type in ("combined-air", "wet"))


def _heat_energies(e: Equipment) -> tuple[frozenset[str], frozenset[str]]:
    """Of hot water and of heating; a combined heater has both wherever its figure is written.

    Water is heated with diesel by combined heaters alone.
    """
    water, heating = (
        frozenset(n for n in ("gas", "mains", "diesel") if block and getattr(block, n))
        for block in (e.water_heater, e.heating)
    )
    return (water | heating, water | heating) if combined_heater(e) else (water - {"diesel"}, heating)


def _gas(e: Equipment) -> Iterator[str]:
    if not e.gas:
        return
    yield "gas"
    if e.gas.supply == "underslung-tank":
        yield "gas.tank"
    else:
        yield "gas.cylinders"
        if len(e.gas.cylinders) > 1:
            yield "gas.two-cylinders"
    if e.gas.crash_protected:
        yield "gas.crash-protected"
        if e.gas.open_on_the_road:
            yield "gas.open-on-road"
    if e.gas.changeover != "none":
        yield "gas.changeover"
    if e.gas.changeover == "manual":
        yield "gas.changeover-manual"
    if e.gas.barbecue_outlet:
        yield "gas.barbecue"
    if e.gas.alarm:
        yield "gas.alarm"
    yield from (f"gas.{fuel}" for fuel in fuels(e.gas))


def fuels(gas: Gas) -> tuple[str, ...]:
    """The fuels on board, each once."""
    if gas.supply == "underslung-tank":
        return (gas.tank_gas,)
    return tuple(dict.fromkeys(c.gas for c in gas.cylinders)) or ("propane",)


def _energies(name: str, block: object, *energies: str) -> Iterator[str]:
    if block is not None:
        yield name
        yield from (f"{name}.{energy}" for energy in energies if getattr(block, energy))


def _cooking(e: Equipment) -> Iterator[str]:
    yield from _energies("hob", e.hob, "gas", "mains")
    ovens: tuple[tuple[str, Oven | None], ...] = (("oven", e.oven), ("grill", e.grill))
    for name, block in ovens:
        yield from _energies(name, block, "gas", "mains")
    if any(block and block.gas for block in (e.hob, e.oven, e.grill)):
        yield "cooking.gas"
    if e.microwave:
        yield "microwave"


def _heat(e: Equipment) -> Iterator[str]:
    water, heating = _heat_energies(e)
    if e.water_heater:
        yield from ("water-heater", f"water-heater.{e.water_heater.type}")
        yield from (f"water-heater.{energy}" for energy in water)
    if e.heating:
        yield from ("heating", *(f"heating.{energy}" for energy in heating))
        yield {"gas-convector": "heating.convector", "wet": "heating.wet"}.get(e.heating.type, "heating.air")
        if e.heating.approved_on_road:
            yield "heating.approved-on-road"
    yield from _energies("fridge", e.fridge, "gas", "mains")
    if e.fridge:
        yield f"fridge.{e.fridge.type}"
        yield f"fridge.{e.fridge.choice}"
        if e.fridge.dc or e.fridge.type == "compressor":
            yield "fridge.12v"


def _water(e: Equipment) -> Iterator[str]:
    if e.fresh_water:
        yield "fresh-water"
        yield "fresh-water.container" if e.fresh_water.external_container else "fresh-water.tank"
        yield f"fresh-water.{e.fresh_water.pump}"
        if e.fresh_water.filter:
            yield "fresh-water.filter"
        if e.fresh_water.outside_shower:
            yield "fresh-water.outside-shower"
    if e.waste_water:
        yield "waste-water"
        yield "waste-water.container" if e.waste_water.external_container else "waste-water.tank"
    if e.toilet:
        yield "toilet"
        yield "toilet.own-tank" if e.toilet.flush == "own-tank" else "toilet.fresh-flush"
        if e.toilet.vent_fan:
            yield "toilet.fan"


def _electric(e: Equipment) -> Iterator[str]:
    if e.hook_up:
        yield "hook-up"
        if e.hook_up.charger or e.hook_up.charger_switch:
            yield "hook-up.charger"
        if e.hook_up.charger_switch:
            yield "hook-up.charger-switch"
    if e.leisure_battery:
        yield "battery"
        if e.leisure_battery.count > 1:
            yield "battery.several"
        if e.leisure_battery.type == "lithium":
            yield "battery.lithium"
        if e.leisure_battery.isolator:
            yield "battery.isolator"
    for name, present in (
        ("solar", e.solar),
        ("inverter", e.inverter),
        ("air-conditioner", e.air_conditioner),
    ):
        if present:
            yield name


def _body(e: Equipment) -> Iterator[str]:
    if e.entry_step:
        yield from ("step", f"step.{e.entry_step.type}")
    if e.awning:
        yield from ("awning", f"awning.{e.awning.type}")
    if e.aerial:
        yield from ("aerial", f"aerial.{e.aerial.type}")
    if e.steadies:
        yield "steadies"
    if e.roof_lights:
        yield "roof-lights"
    if e.drop_down_bed:
        yield "drop-down-bed"
