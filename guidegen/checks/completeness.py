"""Rules on what is missing: points, appliances without energy, equipment that is not described."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.checks.rule import Fault, Scene, rule
from guidegen.trade.records import Requirement, holds
from guidegen.vehicle.facts import combined_heater, gas_appliances
from guidegen.vehicle.model import ToLocate
from guidegen.vehicle.required import appliance_name

# Where the file describes what a fact stands for, when the words differ.
_BLOCKS = {"battery": "leisure_battery", "step": "entry_step", "burns": "", "gas-appliance": "gas"}
_FRESH_WATER = "add equipment: fresh_water: {tank: 100 l}"
_SUPPLIES = ("gas", "mains", "diesel", "dc")
_APPLIANCES = ("hob", "grill", "oven", "water_heater", "heating", "fridge")


def block_of(requirement: Requirement) -> str:
    """Dotted path of the equipment that brings a requirement."""
    root = requirement.when[0].split("|")[0].split(".")[0] if requirement.when else ""
    block = _BLOCKS.get(root, root.replace("-", "_"))
    return f"equipment.{block}" if block else "equipment"


def _path(missing: ToLocate, scene: Scene) -> str:
    if missing.serves:
        served = missing.serves[0].replace("-", "_")
        return f"equipment.{'heating' if served == 'space_heater' else served}"
    for requirement in scene.trade.requirements:
        if requirement.kinds[0] == missing.kind and holds(requirement.when, scene.vehicle.facts):
            return block_of(requirement)
    return "equipment"


@rule("to-locate")
def to_locate(scene: Scene) -> Iterator[Fault]:
    """A point that the equipment requires is not placed."""
    for missing in scene.vehicle.to_locate:
        if missing.kind != "co-alarm":
            serves = f", serves: {missing.serves[0]}" if missing.serves else ""
            yield Fault(
                f"{missing.name}: not located yet ({missing.reason})",
                f"find it in the vehicle and add it under points: {{kind: {missing.kind}{serves}, …}}",
                scene.mark(_path(missing, scene)),
            )


@rule("co-alarm-missing")
def co_alarm_missing(scene: Scene) -> Iterator[Fault]:
    """Something burns and no carbon monoxide alarm is placed (EN 50291-2)."""
    if any(missing.kind == "co-alarm" for missing in scene.vehicle.to_locate):
        yield Fault(
            "something burns on board and no carbon monoxide alarm is placed",
            "fit one to EN 50291-2, then add it under points: {kind: co-alarm, …}",
            scene.mark("equipment"),
        )


@rule("appliance-no-energy", "error")
def appliance_no_energy(scene: Scene) -> Iterator[Fault]:
    """An appliance has no energy at all; the two blocks of a combined heater share theirs."""
    e, facts = scene.vehicle.equipment, scene.vehicle.facts
    for name in _APPLIANCES:
        block = getattr(e, name)
        if block is None or (name == "fridge" and block.type == "compressor"):
            continue
        shared = any(f"{name.replace('_', '-')}.{energy}" in facts for energy in _SUPPLIES)
        if not shared and not any(getattr(block, energy, None) for energy in _SUPPLIES):
            said = " or ".join(energy for energy in _SUPPLIES if hasattr(block, energy))
            yield Fault(
                f"the {name.replace('_', ' ')} has no energy",
                f"say what it runs on with its figure: {said}",
                scene.mark(f"equipment.{name}"),
            )


@rule("gas-without-supply", "error")
def gas_without_supply(scene: Scene) -> Iterator[Fault]:
    """A gas appliance has no gas supply."""
    equipment = scene.vehicle.equipment
    if equipment.gas:
        return
    for appliance in gas_appliances(equipment):
        block = "heating" if appliance == "space-heater" else appliance.replace("-", "_")
        if not getattr(getattr(equipment, block), "gas", None):
            block = "heating"  # of a combined heater, whose gas figure stands there
        named = appliance_name(appliance, scene.trade, equipment)
        yield Fault(
            f"the {named} burns gas and no gas supply is described",
            "add equipment: gas: {supply: cylinders, cylinders: [{size: 6 kg}]}, or take out its gas figure",
            scene.mark(f"equipment.{block}.gas"),
        )


@rule("mains-without-supply")
def mains_without_supply(scene: Scene) -> Iterator[Fault]:
    """An appliance runs on 230 V and neither hook-up nor inverter is described."""
    e = scene.vehicle.equipment
    if e.hook_up or e.inverter:
        return
    for name in (*_APPLIANCES, "microwave", "air_conditioner"):
        block = getattr(e, name)
        if block is not None and getattr(block, "mains", None):
            yield Fault(
                f"the {name.replace('_', ' ')} runs on 230 V and no hook-up is described",
                "add equipment: hook_up: {inlet: 16 A}, or take out its mains figure",
                scene.mark(f"equipment.{name}.mains"),
            )
    for n, load in enumerate(e.mains_loads):
        yield Fault(
            f"“{load.name}” runs on 230 V and no hook-up is described",
            "add equipment: hook_up: {inlet: 16 A}, or take it out of mains_loads",
            scene.mark(f"equipment.mains_loads.{n}"),
        )


@rule("battery-missing")
def battery_missing(scene: Scene) -> Iterator[Fault]:
    """Equipment needs 12 V and no leisure battery is described."""
    e = scene.vehicle.equipment
    if e.leisure_battery:
        return
    needing = {
        "fresh_water": "water pump" if e.fresh_water else "",
        "solar": "solar panel" if e.solar else "",
        "inverter": "inverter" if e.inverter else "",
        "fridge": "compressor fridge" if e.fridge and e.fridge.type == "compressor" else "",
        "heating": "heating" if e.heating and e.heating.type != "gas-convector" else "",
    }
    found = [(block, name) for block, name in needing.items() if name]
    if found:
        names = " and the ".join(name for _, name in found)
        yield Fault(
            f"the {names} {'needs' if len(found) == 1 else 'need'} 12 V and no leisure battery is described",
            "add equipment: leisure_battery: {capacity: 100 Ah, type: agm}",
            scene.mark(f"equipment.{found[0][0]}"),
        )


@rule("combined-heater-twice")
def combined_heater_twice(scene: Scene) -> Iterator[Fault]:
    """A combined heater is placed twice, as a water heater and as a heater, so that it has two numbers."""
    waters = scene.of("water-heater")
    if not waters or not combined_heater(scene.vehicle.equipment):
        return
    for heater in scene.of("space-heater"):
        yield Fault(
            f"“{heater.name}” and “{waters[0].name}” are one combined heater with two numbers",
            "keep the water-heater point under the name of the combined heater; take the space-heater out",
            heater.mark,
        )


@rule("equipment-missing")
def equipment_missing(scene: Scene) -> Iterator[Fault]:
    """A point is placed whose equipment is not described, so that no step would use it."""
    for point in scene.points:
        asking = [r for r in scene.trade.requirements if point.kind in r.kinds]
        if asking and not any(holds(_loosely(r), scene.vehicle.facts) for r in asking):
            wanted = block_of(asking[0])
            yield Fault(
                f"“{point.name}” is placed, but its equipment is not described",
                f"describe it under {wanted.replace('.', ': ')}, or take the point out",
                point.mark,
            )


def _loosely(requirement: Requirement) -> tuple[str, ...]:
    """The requirement's facts without those that only choose between points."""
    choosing = ("!", "water-heater.storage", "water-heater.combined")
    return tuple(term for term in requirement.when if not term.startswith(choosing))


@rule("water-heater-without-water", "error")
def water_heater_without_water(scene: Scene) -> Iterator[Fault]:
    """A water heater without a fresh water system: no order of steps would keep it from running dry."""
    e = scene.vehicle.equipment
    if e.water_heater and not e.fresh_water:
        yield Fault(
            "a water heater is described, but no fresh water",
            f"{_FRESH_WATER}, or take the water heater out",
            scene.mark("equipment.water_heater"),
        )


@rule("toilet-without-water")
def toilet_without_water(scene: Scene) -> Iterator[Fault]:
    """A toilet flushed from the fresh water system, which is not described."""
    e = scene.vehicle.equipment
    if e.toilet and e.toilet.flush == "fresh-system" and not e.fresh_water:
        yield Fault(
            "the toilet is flushed from the fresh water system, which is not described",
            f"{_FRESH_WATER}, or say flush: own-tank",
            scene.mark("equipment.toilet"),
        )


@rule("waste-missing")
def waste_missing(scene: Scene) -> Iterator[Fault]:
    """Fresh water without waste water."""
    e = scene.vehicle.equipment
    if e.fresh_water and not e.waste_water:
        yield Fault(
            "fresh water is described, but not where waste water goes",
            "add equipment: waste_water: {tank: 90 l}, or {external_container: yes}",
            scene.mark("equipment.fresh_water"),
        )


@rule("tank-and-container")
def tank_and_container(scene: Scene) -> Iterator[Fault]:
    """Water is said to come from or run into an outside container, and a tank on board has litres."""
    e = scene.vehicle.equipment
    for name, block in (("fresh_water", e.fresh_water), ("waste_water", e.waste_water)):
        if block and block.external_container and block.tank:
            said = name.replace("_", " ")
            yield Fault(
                f"{said}: a tank of {block.tank:g} l and an outside container are both described",
                "say which of them this vehicle has: take out tank or external_container",
                scene.mark(f"equipment.{name}.external_container"),
            )


@rule("gas-unused")
def gas_unused(scene: Scene) -> Iterator[Fault]:
    """A gas supply that nothing uses."""
    gas = scene.vehicle.equipment.gas
    if gas and not gas.barbecue_outlet and not gas_appliances(scene.vehicle.equipment):
        yield Fault(
            "gas is on board and no appliance burns it",
            "give the hob, heater or fridge its gas figure, or take out the gas",
            scene.mark("equipment.gas"),
        )


@rule("gas-supply-mixed")
def gas_supply_mixed(scene: Scene) -> Iterator[Fault]:
    """Cylinders are described beside a gas tank, or a tank beside cylinders: only one of them counts."""
    gas = scene.vehicle.equipment.gas
    if gas and gas.supply == "underslung-tank" and gas.cylinders:
        yield Fault(
            "the gas comes from a tank, and cylinders are described too: they are not counted",
            "take out gas: cylinders, or say supply: cylinders",
            scene.mark("equipment.gas.cylinders"),
        )
    if gas and gas.supply == "cylinders" and gas.tank:
        yield Fault(
            f"the gas comes from cylinders, and a tank of {gas.tank:g} kg is described: it is not counted",
            "take out gas: tank, or say supply: underslung-tank",
            scene.mark("equipment.gas.tank"),
        )


@rule("charger-missing")
def charger_missing(scene: Scene) -> Iterator[Fault]:
    """Hook-up and leisure battery, but no charger."""
    e = scene.vehicle.equipment
    described = "hook-up.charger" in scene.vehicle.facts or scene.of("charger")
    if e.hook_up and e.leisure_battery and not described:
        yield Fault(
            "a hook-up and a leisure battery are described, but no charger",
            "add its power: hook_up: {charger: 250 W}",
            scene.mark("equipment.hook_up"),
        )


@rule("fewer-than-fitted")
def fewer_than_fitted(scene: Scene) -> Iterator[Fault]:
    """Fewer points are placed than the equipment counts."""
    e = scene.vehicle.equipment
    cylinders = e.gas.cylinders if e.gas and e.gas.supply == "cylinders" else ()
    counts = (
        ("roof-light", e.roof_lights or 0, "equipment.roof_lights"),
        ("gas-cylinder", len(cylinders), "equipment.gas"),
        ("steady", e.steadies or 0, "equipment.steadies"),
    )
    for kind, fitted, path in counts:
        placed = len(scene.of(kind))
        if 0 < placed < fitted:
            name = scene.trade.kinds[kind].name
            yield Fault(
                f"{fitted} × {name} fitted, {placed} placed",
                f"add the others under points: {{kind: {kind}, …}}",
                scene.mark(path),
            )


RULES = (
    appliance_no_energy,
    gas_without_supply,
    to_locate,
    co_alarm_missing,
    mains_without_supply,
    battery_missing,
    equipment_missing,
    combined_heater_twice,
    water_heater_without_water,
    toilet_without_water,
    waste_missing,
    tank_and_container,
    gas_unused,
    gas_supply_mixed,
    charger_missing,
    fewer_than_fitted,
)
