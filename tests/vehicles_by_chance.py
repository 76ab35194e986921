"""Random vehicles for tests: equipment that makes sense together, and points placed on a layout.

Plain functions of a seed; the same seed gives the same vehicle. Load with importlib, or through the
`vehicles_by_chance` fixture of conftest.
"""

from __future__ import annotations

import random
from typing import Any

from guidegen.errors import Mark
from guidegen.trade.load import load_trade
from guidegen.trade.records import Kind
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import facts_of, gas_appliances
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.model import ServicePoint, Vehicle
from guidegen.vehicle.outline import edge_at, room_at
from guidegen.vehicle.required import to_locate

VEHICLE_KINDS = ("motorhome", "campervan", "caravan")
_KIND_OF_BODY = {"panel-van": "campervan", "caravan": "caravan"}
_HEIGHTS = {
    "under-floor": 250.0,
    "floor": 750.0,
    "under-seat": 950.0,
    "low": 1000.0,
    "worktop": 1600.0,
    "eye-level": 2200.0,
    "ceiling": 2700.0,
    "roof": 3000.0,
}
_EXTRA = (
    "socket-12v socket-230v usb-socket lights-switch opening-window locker-door low-point-drain "
    "gas-drop-vent table-store fire-blanket first-aid-kit escape-window spare-wheel bike-rack torch "
    "warm-air-outlet television fuel-filler bonnet-release towing-eye warning-triangle hi-vis-store"
).split()


def random_equipment(rng: random.Random, kind: str = "motorhome") -> Equipment:
    """Equipment that can be fitted together: water with every water heater, gas with every burner."""

    def chance(share: float) -> bool:
        return rng.random() < share

    found: dict[str, Any] = {}
    gas, hook_up, water = chance(0.75), chance(0.85), chance(0.9)
    if gas:
        found["gas"] = _gas(rng)
    if hook_up:
        switch = chance(0.5)
        charger = {"charger": "300 W"} if switch or chance(0.6) else {}
        found["hook_up"] = {"inlet": rng.choice(["6 A", "10 A", "16 A"]), "charger_switch": switch, **charger}
    if chance(0.9):
        kind_of = rng.choice(["lead", "agm", "lithium"])
        found["leisure_battery"] = {"capacity": "100 Ah", "type": kind_of, "isolator": chance(0.4)}
    if water:
        found["fresh_water"] = {
            "pump": rng.choice(["submersible", "pressure"]),
            "filter": chance(0.3),
            "outside_shower": chance(0.3),
            **({"external_container": True} if chance(0.15) else {"tank": "100 l"}),
        }
    if water and chance(0.9):
        found["waste_water"] = {"external_container": True} if chance(0.2) else {"tank": "90 l"}
    _heat(rng, found, gas, hook_up, water)
    if chance(0.9):
        found["fridge"] = _fridge(rng, gas, hook_up)
    for name, share in (("hob", 0.9), ("oven", 0.5), ("grill", 0.4)):
        energies = [e for e, there in (("gas", gas), ("mains", hook_up)) if there]
        if energies and chance(share):
            found[name] = {rng.choice(energies): "1.5 kW"}
    if hook_up and chance(0.4):
        found["microwave"] = {"mains": "800 W"}
    if chance(0.8):
        found["toilet"] = {
            "flush": "fresh-system" if water and chance(0.6) else "own-tank",
            "vent_fan": chance(0.2),
        }
    _body(rng, found, kind)
    return Equipment.read(found)


def _gas(rng: random.Random) -> dict[str, Any]:
    protected = rng.random() < 0.5
    found: dict[str, Any] = {
        "crash_protected": protected,
        "open_on_the_road": protected and rng.random() < 0.5,
        "barbecue_outlet": rng.random() < 0.3,
        "alarm": rng.random() < 0.3,
    }
    if rng.random() < 0.2:
        return {**found, "supply": "underslung-tank", "tank": "20 kg"}
    count = rng.randint(1, 2)
    found["cylinders"] = [{"size": "11 kg", "gas": rng.choice(["propane", "butane"])} for _ in range(count)]
    if count == 2:
        found["changeover"] = rng.choice(["none", "manual", "automatic"])
    return found


def _heat(rng: random.Random, found: dict[str, Any], gas: bool, hook_up: bool, water: bool) -> bool:
    def energies(*, diesel: bool = False) -> dict[str, Any]:
        choices: list[dict[str, Any]] = []
        if gas:
            choices.append({"gas": "4 kW"})
        if hook_up:
            choices.append({"mains": ["900 W", "1800 W"]})
        if gas and hook_up:
            choices.append({"gas": "4 kW", "mains": ["500 W", "1000 W"]})
        if diesel:
            choices.append({"diesel": "4 kW"})
        return rng.choice(choices) if choices else {}

    combined = water and (gas or hook_up) and rng.random() < 0.3
    if combined:
        shared = energies(diesel=True)
        found["water_heater"] = {"type": "combined", "water": "10 l", **shared}
        found["heating"] = {"type": rng.choice(["combined-air", "wet"]), **shared}
        return True
    if water and (gas or hook_up) and rng.random() < 0.85:
        found["water_heater"] = {"type": "storage", "water": "10 l", **energies()}
    chosen = energies(diesel=True)
    if rng.random() < 0.85:
        kind = "diesel-air" if "diesel" in chosen else rng.choice(["gas-convector", "combined-air", "wet"])
        found["heating"] = {"type": kind, **chosen, "approved_on_road": rng.random() < 0.2}
    return False


def _fridge(rng: random.Random, gas: bool, hook_up: bool) -> dict[str, Any]:
    if not gas and not hook_up or rng.random() < 0.35:
        return {"type": "compressor", "dc": "50 W", "capacity": "90 l"}
    found: dict[str, Any] = {"type": "absorption", "choice": rng.choice(["automatic", "manual"])}
    if gas:
        found["gas"] = "15 g/h"
    if hook_up:
        found["mains"] = "150 W"
    if rng.random() < 0.8:
        found["dc"] = "130 W"
    return found


def _body(rng: random.Random, found: dict[str, Any], kind: str) -> None:
    def chance(share: float) -> bool:
        return rng.random() < share

    if chance(0.7):
        found["entry_step"] = {"type": rng.choice(["electric", "manual"])}
    if chance(0.6):
        found["awning"] = {"type": rng.choice(["wind-out", "electric", "bag"])}
    if chance(0.6):
        found["aerial"] = {"type": rng.choice(["directional", "satellite", "dome", "fixed"])}
    if chance(0.95 if kind == "caravan" else 0.2):
        found["steadies"] = 4 if kind == "caravan" else 2
    if chance(0.9):
        found["roof_lights"] = rng.randint(1, 4)
    found["drop_down_bed"] = chance(0.2)


def random_vehicle(
    seed: int, *, layout: str = "", points: int | None = None, located: float = 0.95
) -> Vehicle:
    """A vehicle of that seed. `points`: how many (default: what is required, and a few more);
    `located`: the share of required points that are placed."""
    rng = random.Random(seed)
    base = read_layout(layout or rng.choice(layout_ids()))
    kind = _KIND_OF_BODY.get(base.body, "motorhome")
    equipment = random_equipment(rng, kind)
    nearside = rng.choice(["left", "right"])
    steering = "none" if kind == "caravan" else ("right" if nearside == "left" else "left")
    placed = random_points(rng, base, kind, equipment, points, located)
    return vehicle_of(
        base, kind, equipment, placed, id=f"chance-{seed}", nearside=nearside, steering=steering
    )


def vehicle_of(
    layout: Layout,
    kind: str,
    equipment: Equipment,
    points: tuple[ServicePoint, ...] = (),
    **other: Any,
) -> Vehicle:
    """A vehicle with plain defaults for everything else."""
    fields: dict[str, Any] = {
        "id": "by-chance", "name": "By chance", "steering": "none" if kind == "caravan" else "right",
        "nearside": "left", "stock_number": "", "owner": "", "printed_on": None, "web": "", "photo": None,
        "dealer": None, "figures": None, "extra_steps": (), "orders": {}, "checks": None, "mark": Mark(),
    }  # fmt: skip
    facts = facts_of(kind, equipment, frozenset(p.kind for p in points))
    missing = to_locate(facts, equipment, points, load_trade())
    return Vehicle(
        kind=kind, layout=layout, equipment=equipment, facts=facts, points=points, to_locate=missing,
        **{**fields, **other},
    )  # fmt: skip


def random_points(
    rng: random.Random,
    layout: Layout,
    kind: str,
    equipment: Equipment,
    count: int | None = None,
    located: float = 1.0,
) -> tuple[ServicePoint, ...]:
    """Points for what the equipment requires, then for other things, up to the count."""
    trade = load_trade()
    needed = to_locate(facts_of(kind, equipment), equipment, (), trade)
    wanted = [(m.kind, m.serves) for m in needed if rng.random() < located]
    if equipment.steadies:
        wanted += [("steady", ())] * (equipment.steadies - 1)
    spare = [k for k in _EXTRA if k in trade.kinds]
    total = len(wanted) + rng.randint(0, 12) if count is None else count
    wanted = wanted[:total]
    while len(wanted) < total:
        wanted.append((rng.choice(spare), ()))
    appliances = gas_appliances(equipment)
    ids: dict[str, int] = {}
    found = []
    for number, (name, serves) in enumerate(wanted, 1):
        ids[name] = ids.get(name, 0) + 1
        served = serves or ((rng.choice(appliances),) if name == "isolation-valve" and appliances else ())
        found.append(_point(rng, layout, trade.kinds[name], f"{name}-{ids[name]}", number, tuple(served)))
    return tuple(found)


def _point(
    rng: random.Random, layout: Layout, kind: Kind, id: str, number: int, serves: tuple[str, ...]
) -> ServicePoint:
    outside = rng.random() < 0.5 if kind.outside is None else kind.outside
    height = rng.choice(kind.usual or ("low", "worktop"))
    name = kind.name[:1].upper() + kind.name[1:]
    if outside:
        side = rng.choice(["nearside", "offside", "nearside", "offside", "rear", "front"])
        x, y = edge_at(
            layout, side, rng.uniform(0.2, 0.98) * layout.length, rng.uniform(0.1, 0.9) * layout.width
        )
        return ServicePoint(
            id, kind.id, kind.system, name, "", x, y, _HEIGHTS[height], height, side, "", "",
            f"Outside, {side}, {height}", serves, number, False,
        )  # fmt: skip
    piece = rng.choice([f for f in layout.furniture if not f.hidden])
    a = piece.area
    x, y = a.x + rng.uniform(0.1, 0.9) * a.length, a.y + rng.uniform(0.1, 0.9) * a.width
    room = layout.room(piece.room or room_at(layout, x, y))
    place = f"Inside, {room.name if room else 'living space'}, at the {piece.name}"
    return ServicePoint(
        id, kind.id, kind.system, name, "", x, y, _HEIGHTS[height], height, "inside",
        room.id if room else "", piece.id, place, serves, number, False,
    )  # fmt: skip
