"""Rules on figures that cannot be: masses, sizes, berths, powers, tanks, leads."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from guidegen.checks import thresholds
from guidegen.checks.rule import Fault, Scene, rule
from guidegen.numbers.constants import MAINS_V
from guidegen.numbers.mass import payload
from guidegen.numbers.power import mains_loads
from guidegen.numbers.wording import figure
from guidegen.vehicle.facts import combined_heater

_SWITCHED_BLOCKS = ("hob", "grill", "oven", "water_heater", "heating", "fridge")


@rule("miro-above-mtplm")
def miro_above_mtplm(scene: Scene) -> Iterator[Fault]:
    """The mass in running order is greater than the greatest mass allowed."""
    masses = scene.vehicle.figures.masses
    if masses.mtplm and masses.miro and masses.miro > masses.mtplm:
        yield Fault(
            f"MIRO {masses.miro:.0f} kg is greater than MTPLM {masses.mtplm:.0f} kg",
            "look both up on the plate and the certificate: MIRO is the smaller one",
            scene.mark("masses.miro"),
        )


@rule("overloaded")
def overloaded(scene: Scene) -> Iterator[Fault]:
    """Nothing is left to load, or less than the rule asks for."""
    masses, table = scene.vehicle.figures.masses, payload(scene.vehicle)
    if not table or (masses.mtplm and masses.miro and masses.miro > masses.mtplm):
        return
    if table.left_kg < 0:
        yield Fault(
            f"with everyone, water, gas and luggage the vehicle is {-table.left_kg:.0f} kg too heavy",
            "check the masses; if they are right, tell the owner what to leave behind",
            scene.mark("masses"),
        )
    elif table.minimum_kg is not None and table.payload_kg < table.minimum_kg:
        yield Fault(
            f"the payload is {table.payload_kg:.0f} kg; the rule asks for {table.minimum_kg:.0f} kg",
            "check MTPLM, MIRO, options and seats",
            scene.mark("masses"),
        )


@rule("berths-above-layout")
def berths_above_layout(scene: Scene) -> Iterator[Fault]:
    """More berths are stated than the layout's beds have."""
    berths = scene.vehicle.figures.masses.berths
    beds = sum(f.berths for f in scene.layout.furniture)
    if berths and beds and berths > beds:
        yield Fault(
            f"{berths} berths are stated; the layout's beds have {beds}",
            "correct masses: berths, or the berths of the beds under layout_changes",
            scene.mark("masses.berths"),
        )


@rule("persons-above-berths")
def persons_above_berths(scene: Scene) -> Iterator[Fault]:
    """More persons than berths."""
    figures = scene.vehicle.figures
    berths = figures.masses.berths
    if figures.persons and berths and figures.persons > berths:
        yield Fault(
            f"{figures.persons} persons, but {berths} berths",
            "correct persons or masses: berths",
            scene.mark("persons"),
        )


@rule("persons-above-seats")
def persons_above_seats(scene: Scene) -> Iterator[Fault]:
    """More persons than a motor vehicle has seats to travel in, though there are berths for them."""
    figures, motor = scene.vehicle.figures, scene.vehicle.kind != "caravan"
    seats, berths = figures.masses.seats, figures.masses.berths
    persons = figures.persons or 0
    if motor and seats and persons > seats and (not berths or persons <= berths):
        yield Fault(
            f"{persons} persons, but seats for {seats} to travel in",
            "correct persons or masses: seats",
            scene.mark("persons"),
        )


@rule("seats-unusual")
def seats_unusual(scene: Scene) -> Iterator[Fault]:
    """No driver's seat in a motor vehicle, or travelling seats in a caravan."""
    seats, motor = scene.vehicle.figures.masses.seats, scene.vehicle.kind != "caravan"
    if motor and seats == 0:
        yield Fault(
            "no seats are stated: not even the driver's", "correct masses: seats", scene.mark("masses.seats")
        )
    elif not motor and seats:
        yield Fault(
            f"{seats} seats are stated, but nobody travels in a caravan",
            "take out masses: seats",
            scene.mark("masses.seats"),
        )


@rule("kind-unlike-layout")
def kind_unlike_layout(scene: Scene) -> Iterator[Fault]:
    """A caravan on a motor vehicle's layout, or the other way round."""
    caravan, body = scene.vehicle.kind == "caravan", scene.layout.body
    if caravan != (body == "caravan"):
        yield Fault(
            f"the vehicle is a {scene.vehicle.kind}; the layout “{scene.layout.id}” is of a {body} body",
            "correct kind or layout",
            scene.mark("layout"),
        )


@rule("size-unlike-layout")
def size_unlike_layout(scene: Scene) -> Iterator[Fault]:
    """A stated size is not that of the layout."""
    sizes, layout = scene.vehicle.figures.sizes, scene.layout
    compared = (
        (
            "length",
            sizes.length,
            (layout.length, layout.length + layout.drawbar),
            thresholds.LENGTH_DIFFERENCE_MM,
        ),
        ("width", sizes.width, (layout.width,), thresholds.WIDTH_DIFFERENCE_MM),
        ("height", sizes.height, (layout.height,), thresholds.HEIGHT_DIFFERENCE_MM),
    )
    for name, stated, drawn, allowed in compared:
        if (
            stated
            and not _implausible(f"sizes.{name}", stated)
            and min(abs(stated - d) for d in drawn) > allowed
        ):
            yield Fault(
                f"the {name} is stated as {stated / 1000:g} m; the layout is {drawn[0] / 1000:g} m",
                f"correct sizes: {name}, or change the layout (layout_changes: {name}: …)",
                scene.mark(f"sizes.{name}"),
            )


@rule("figure-implausible")
def figure_implausible(scene: Scene) -> Iterator[Fault]:
    """A figure is far too small or too large."""
    for path, (least, greatest, unit, factor) in thresholds.RANGES.items():
        for where, value in _values(scene, path):
            if _implausible(path, value):
                shown = path.removeprefix("equipment.").replace("[]", "").replace(".", ": ").replace("_", " ")
                yield Fault(
                    f"{shown}: {figure(value * factor, 2)} {unit} cannot be right",
                    f"{figure(least, 2)} to {figure(greatest, 2)} {unit} is plausible: check value and unit",
                    scene.mark(where),
                )


def _implausible(path: str, value: float) -> bool:
    least, greatest, _, factor = thresholds.RANGES[path]
    return not least <= value * factor <= greatest


def _values(scene: Scene, path: str) -> Iterator[tuple[str, float]]:
    """The figures that a path names, each with where it stands; none where the file says nothing."""
    root: Any = scene.vehicle if path.startswith("equipment.") else scene.vehicle.figures
    found = [("", root)]
    for name in path.replace("[]", ".[]").split("."):
        if name == "[]":
            found = [(f"{at}.{n}", item) for at, items in found for n, item in enumerate(items)]
        else:
            found = [(f"{at}.{name}", getattr(block, name)) for at, block in found if block is not None]
    yield from ((at.removeprefix("."), value) for at, value in found if value is not None)


@rule("hours-above-day")
def hours_above_day(scene: Scene) -> Iterator[Fault]:
    """Something runs for more hours than a day has."""
    e = scene.vehicle.equipment
    blocks = [(name, getattr(e, name), f"equipment.{name}.hours_per_day") for name in _SWITCHED_BLOCKS]
    blocks += [(load.name, load, f"equipment.dc_loads.{n}") for n, load in enumerate(e.dc_loads)]
    for name, block, path in blocks:
        hours = getattr(block, "hours_per_day", None)
        if hours and hours > thresholds.DAY_H:
            yield Fault(
                f"{name.replace('_', ' ')}: {figure(hours)} h a day",
                "a day has 24 h: correct hours_per_day",
                scene.mark(path),
            )


@rule("inlet-unusual")
def inlet_unusual(scene: Scene) -> Iterator[Fault]:
    """The hook-up inlet is not of 6, 10 or 16 A."""
    hook_up = scene.vehicle.equipment.hook_up
    if hook_up and hook_up.inlet not in thresholds.INLETS_A:
        yield Fault(
            f"a hook-up inlet of {figure(hook_up.inlet)} A is unusual",
            "6, 10 or 16 A is usual: read it off the inlet (IEC 60309, blue)",
            scene.mark("equipment.hook_up.inlet"),
        )


@rule("load-above-inlet")
def load_above_inlet(scene: Scene) -> Iterator[Fault]:
    """One 230 V load alone is more than the inlet carries."""
    hook_up = scene.vehicle.equipment.hook_up
    if not hook_up:
        return
    limit = MAINS_V * hook_up.inlet
    for load in mains_loads(scene.vehicle.equipment):
        if load.steps_w[-1] > limit:
            yield Fault(
                f"{load.name}: {load.steps_w[-1]:.0f} W is more than the inlet's {figure(hook_up.inlet)} A "
                f"carry ({limit:.0f} W)",
                "check the power, and that the steps are not added up",
                scene.mark("equipment.hook_up"),
            )


def _least_section(inlet: float) -> float:
    """In mm², of a lead for the inlet: that of the next usual one up, of the largest beyond it."""
    sections = thresholds.LEAD_SECTION_MM2
    return sections[min((usual for usual in sections if usual >= inlet), default=max(sections))]


@rule("lead-unusual")
def lead_unusual(scene: Scene) -> Iterator[Fault]:
    """The hook-up lead is too thin or too long."""
    figures, hook_up = scene.vehicle.figures, scene.vehicle.equipment.hook_up
    least = _least_section(hook_up.inlet) if hook_up else 0.0
    section, length = figures.lead_section, figures.lead_length
    if hook_up and section and section < least and not _implausible("lead_section", section):
        yield Fault(
            f"a lead of {figure(section, 2)} mm² is too thin for {figure(hook_up.inlet)} A",
            f"{figure(least, 2)} mm² is the least: read it off the lead",
            scene.mark("lead_section"),
        )
    if length and length > thresholds.LEAD_LENGTH_MM and not _implausible("lead_length", length):
        yield Fault(
            f"a lead of {figure(length / 1000)} m is longer than the usual 25 m",
            "check the length; long leads lose voltage",
            scene.mark("lead_length"),
        )


@rule("water-heater-mismatch")
def water_heater_mismatch(scene: Scene) -> Iterator[Fault]:
    """A combined water heater without combined heating, or the other way round."""
    water, heating = scene.vehicle.equipment.water_heater, scene.vehicle.equipment.heating
    combined = bool(water and water.type == "combined")
    if combined and (not heating or heating.type not in ("combined-air", "wet")):
        yield Fault(
            "the water heater is combined with the heating, but no such heating is described",
            "say heating: {type: combined-air} or {type: wet}, or water_heater: {type: storage}",
            scene.mark("equipment.water_heater"),
        )
    if water and not combined and heating and heating.type == "combined-air":
        yield Fault(
            "the heating is combined with hot water, but the water heater is a storage one of its own",
            "say water_heater: {type: combined}, or correct heating: type",
            scene.mark("equipment.heating"),
        )


@rule("energy-unlike-type")
def energy_unlike_type(scene: Scene) -> Iterator[Fault]:
    """An energy that this type of appliance does not use."""
    e = scene.vehicle.equipment
    fridge, heating, water = e.fridge, e.heating, e.water_heater
    if fridge and fridge.type == "compressor" and fridge.gas:
        yield Fault(
            "a compressor fridge does not burn gas",
            "take out fridge: gas, or say type: absorption",
            scene.mark("equipment.fridge.gas"),
        )
    if water and water.diesel and not combined_heater(e):
        yield Fault(
            "only a combined heater makes hot water with diesel",
            "take out water_heater: diesel, or say type: combined, there and under heating: combined-air",
            scene.mark("equipment.water_heater.diesel"),
        )
    if heating and heating.type == "gas-convector" and heating.diesel:
        yield Fault(
            "a gas convector does not burn diesel",
            "take out heating: diesel, or correct its type",
            scene.mark("equipment.heating.diesel"),
        )
    if heating and heating.type == "diesel-air" and heating.gas:
        yield Fault(
            "a diesel air heater does not burn gas",
            "take out heating: gas, or correct its type",
            scene.mark("equipment.heating.gas"),
        )


@rule("changeover-one-cylinder")
def changeover_one_cylinder(scene: Scene) -> Iterator[Fault]:
    """A changeover valve with fewer than two cylinders."""
    gas = scene.vehicle.equipment.gas
    if gas and gas.supply == "cylinders" and gas.changeover != "none" and len(gas.cylinders) < 2:
        yield Fault(
            f"a changeover valve with {len(gas.cylinders)} cylinder",
            "describe both cylinders, or say changeover: none",
            scene.mark("equipment.gas.changeover"),
        )


RULES = (
    miro_above_mtplm,
    overloaded,
    berths_above_layout,
    persons_above_berths,
    persons_above_seats,
    seats_unusual,
    kind_unlike_layout,
    size_unlike_layout,
    figure_implausible,
    hours_above_day,
    inlet_unusual,
    load_above_inlet,
    lead_unusual,
    water_heater_mismatch,
    energy_unlike_type,
    changeover_one_cylinder,
)
