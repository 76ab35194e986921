"""Rules on what can hurt: drop vents, cowls, sparks beside gas, mains beside water."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.checks import geometry, thresholds
from guidegen.checks.rule import Fault, Scene, rule
from guidegen.vehicle.facts import gas_appliances
from guidegen.vehicle.model import ServicePoint
from guidegen.vehicle.places import opening_area
from guidegen.vehicle.required import appliance_name, serves_appliance

_COWLS = ("water-heater-cowl", "heater-cowl", "diesel-heater-exhaust")
_SPARKS = (
    "leisure-battery",
    "vehicle-battery",
    "battery-isolator",
    "fuse-box-12v",
    "solar-regulator",
    "socket-12v",
    "usb-socket",
    "consumer-unit",
    "charger",
    "charger-switch",
    "socket-230v",
    "inverter",
    "hookup-inlet",
    "outlet-230v-outside",
)
_MAINS = ("consumer-unit", "charger", "socket-230v", "inverter", "microwave", "hotplate-230v")


def _leaking(scene: Scene) -> Iterator[ServicePoint]:
    """What escaped gas may come from: the gas appliances, the valves and the locker."""
    appliances = set(gas_appliances(scene.vehicle.equipment))
    if "water-heater" in appliances and "heating.gas" in scene.vehicle.facts:
        appliances.add("space-heater")
    yield from scene.of(*appliances, "isolation-valve", "gas-locker")


@rule("drop-vent-far")
def drop_vent_far(scene: Scene) -> Iterator[Fault]:
    """No gas drop vent within 1 m of a gas appliance, an isolation valve or the gas locker."""
    vents = scene.of("gas-drop-vent")
    reach = thresholds.VENT_REACH_MM
    for point in _leaking(scene) if vents else ():
        gap = geometry.nearest(point, vents)
        if gap > reach:
            yield Fault(
                f"no gas drop vent within {reach / 1000:g} m of “{point.name}” "
                f"(the nearest is {gap / 1000:.1f} m away)",
                "find its drop vent and add it under points: {kind: gas-drop-vent, on: under-floor, …}",
                point.mark,
            )


@rule("cowl-near-window")
def cowl_near_window(scene: Scene) -> Iterator[Fault]:
    """A cowl or exhaust within 0.5 m of a window or roof-light that opens."""
    for cowl in scene.of(*_COWLS):
        for window in scene.layout.windows:
            gap = geometry.to_window(cowl, window)
            if window.opens and gap < thresholds.COWL_CLEAR_MM:
                yield _cowl_fault(cowl, f"the opening window “{window.id}”", gap)
        for point in scene.of("opening-window"):
            gap = geometry.distance(cowl, point)
            if gap < thresholds.COWL_CLEAR_MM:
                yield _cowl_fault(cowl, f"“{point.name}”", gap)
    for flue in scene.of("heater-flue-roof"):
        opening, gap = geometry.roof_opening_under(flue, scene.layout)
        if opening and gap < thresholds.COWL_CLEAR_MM:
            yield _cowl_fault(flue, f"the {opening.name}", gap)


def _cowl_fault(cowl: ServicePoint, what: str, gap: float) -> Fault:
    return Fault(
        f"“{cowl.name}” is {gap / 1000:.2f} m from {what}: exhaust could come in",
        f"{thresholds.COWL_CLEAR_MM / 1000:g} m is the least: check the place, "
        "and that the window is kept shut while it burns",
        cowl.mark,
    )


@rule("cowl-near-filler")
def cowl_near_filler(scene: Scene) -> Iterator[Fault]:
    """A cowl or exhaust within 0.5 m of the filler of water, fuel or gas."""
    for cowl in scene.of(*_COWLS):
        for filler in scene.of("fresh-filler", "fuel-filler", "underslung-tank-filler"):
            gap = geometry.distance(cowl, filler)
            if gap < thresholds.COWL_CLEAR_MM:
                yield Fault(
                    f"“{cowl.name}” is {gap / 1000:.2f} m from “{filler.name}”",
                    f"{thresholds.COWL_CLEAR_MM / 1000:g} m is the least: check both places",
                    cowl.mark,
                )


@rule("exhaust-near-vent")
def exhaust_near_vent(scene: Scene) -> Iterator[Fault]:
    """The hot exhaust of a diesel heater within 0.5 m of a gas drop vent, where escaped gas falls out."""
    for exhaust in scene.of("diesel-heater-exhaust"):
        for vent in scene.of("gas-drop-vent"):
            gap = geometry.distance(exhaust, vent)
            if gap < thresholds.COWL_CLEAR_MM:
                yield Fault(
                    f"“{exhaust.name}” is {gap / 1000:.2f} m from “{vent.name}”, where escaped gas falls out",
                    f"{thresholds.COWL_CLEAR_MM / 1000:g} m is the least: check both places; "
                    "if they are right, have them looked at before handover",
                    exhaust.mark,
                )


@rule("mains-in-wet-room")
def mains_in_wet_room(scene: Scene) -> Iterator[Fault]:
    """230 V sockets or equipment in the room of a shower (BS 7671, section 701, from memory)."""
    wet = {f.room for f in scene.layout.furniture if f.kind == "shower"}
    for point in scene.of(*_MAINS):
        room = scene.layout.room(point.room)
        if room and room.id in wet:
            yield Fault(
                f"“{point.name}” is placed in the {room.name}, which has a shower: no 230 V belongs there",
                "correct its place; if it is really there, have an electrician look before handover",
                point.mark,
            )


@rule("spark-in-gas-locker")
def spark_in_gas_locker(scene: Scene) -> Iterator[Fault]:
    """Electrics inside the gas locker, or beside the filler of a gas tank."""
    lockers = scene.of("gas-locker", "gas-cylinder", "underslung-tank-filler")
    for point in scene.of(*_SPARKS):
        beside = [
            g
            for g in lockers
            if g.where == point.where and geometry.distance(g, point) < thresholds.LOCKER_SPARK_MM
        ]
        if beside:
            yield Fault(
                f"“{point.name}” lies beside “{beside[0].name}”: nothing that can spark belongs there",
                "correct its place; if it is really there, have it looked at before handover",
                point.mark,
            )


@rule("valve-serves")
def valve_serves(scene: Scene) -> Iterator[Fault]:
    """An isolation valve does not say which appliance it closes, or names one that burns no gas."""
    equipment = scene.vehicle.equipment
    appliances = gas_appliances(equipment)
    for valve in scene.of("isolation-valve"):
        names = [appliance for appliance in appliances if serves_appliance(valve, appliance, equipment)]
        choices = ", ".join(appliances)
        if not valve.serves and len(appliances) > 1:
            yield Fault(
                f"“{valve.name}” does not say which appliance it closes",
                f"add “serves: …” with one of {choices}",
                valve.mark,
            )
        elif valve.serves and not names and "barbecue-outlet" not in valve.serves and appliances:
            served = ", ".join(appliance_name(s, scene.trade, equipment) for s in valve.serves)
            yield Fault(
                f"“{valve.name}” serves the {served}, which burns no gas in this vehicle",
                f"name one of {choices}",
                valve.mark,
            )


@rule("fridge-vents")
def fridge_vents(scene: Scene) -> Iterator[Fault]:
    """The lower fridge vent lies above the upper one, or a vent is far from the fridge."""
    fridges = scene.of("fridge")
    uppers, lowers = scene.of("fridge-vent-upper"), scene.of("fridge-vent-lower")
    if uppers and lowers and min(p.z for p in lowers) >= max(p.z for p in uppers):
        yield Fault(
            f"“{lowers[0].name}” is not below “{uppers[0].name}”",
            "correct the heights: cool air enters below and warm air leaves above",
            lowers[0].mark,
        )
    for vent in (*uppers, *lowers) if fridges else ():
        gap = geometry.nearest(vent, fridges)
        if gap > thresholds.FRIDGE_VENT_REACH_MM:
            yield Fault(
                f"“{vent.name}” is {gap / 1000:.1f} m from the fridge",
                "a fridge vent lies behind the fridge: correct one of the places",
                vent.mark,
            )


@rule("opening-nowhere")
def opening_nowhere(scene: Scene) -> Iterator[Fault]:
    """An escape window, roof-light or entry step where the layout has no such opening."""
    layout, reach = scene.layout, thresholds.OPENING_REACH_MM
    for point in scene.of("escape-window", "roof-light"):
        _, roof = geometry.roof_opening_under(point, layout)
        windows = [geometry.beside_window(point, w, layout) for w in layout.windows]
        if point.kind == "roof-light" or point.where == "roof":
            windows = []
        if min(roof, *windows, float("inf")) > reach:
            yield Fault(
                f"“{point.name}” is placed where the layout has no {_opening(point.kind)}",
                "correct its place, or add the opening under layout_changes",
                point.mark,
            )
    for step in scene.of("entry-step"):
        gaps = [geometry.to_area(step, opening_area(layout, door)) for door in layout.doors]
        if gaps and min(gaps) > thresholds.STEP_REACH_MM:
            yield Fault(
                f"“{step.name}” is placed {min(gaps) / 1000:.1f} m from the nearest door",
                "correct its place: it lies under a door",
                step.mark,
            )


def _opening(kind: str) -> str:
    return "roof opening" if kind == "roof-light" else "window or roof opening"


@rule("road-gas")
def road_gas(scene: Scene) -> Iterator[Fault]:
    """Gas or a gas heater may be on while driving, without crash protection."""
    gas, heating = scene.vehicle.equipment.gas, scene.vehicle.equipment.heating
    if not gas or gas.crash_protected:
        return
    hint = "say gas: {crash_protected: yes} when a crash-protected regulator is fitted"
    if gas.open_on_the_road:
        yield Fault(
            "the gas may stay open on the road, but is not crash-protected",
            f"{hint}, or take out open_on_the_road",
            scene.mark("equipment.gas.open_on_the_road"),
        )
    if heating and heating.gas and heating.approved_on_road:
        yield Fault(
            "the gas heating may run on the road, but the gas is not crash-protected",
            f"{hint}, or take out approved_on_road",
            scene.mark("equipment.heating.approved_on_road"),
        )


RULES = (
    drop_vent_far,
    cowl_near_window,
    cowl_near_filler,
    exhaust_near_vent,
    mains_in_wet_room,
    spark_in_gas_locker,
    valve_serves,
    fridge_vents,
    opening_nowhere,
    road_gas,
)
