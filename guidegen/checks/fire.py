"""Rules on fire: ways out of rooms with beds, an extinguisher at hand, a blanket within reach."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.checks import geometry, thresholds
from guidegen.checks.rule import Fault, Scene, rule
from guidegen.vehicle.layout import Room
from guidegen.vehicle.places import opening_area


@rule("no-way-out")
def no_way_out(scene: Scene) -> Iterator[Fault]:
    """A room with a bed has no door outside, escape window or escape roof-light."""
    beds = {f.room for f in scene.layout.furniture if f.berths}
    for room in scene.layout.rooms:
        if (room.sleeps or room.id in beds) and not _way_out(room, scene):
            what = "bedroom" if room.sleeps else "room with a bed,"
            yield Fault(
                f"the {what} “{room.name}” has no escape window and no door to the outside",
                "mark the window in the layout (layout_changes: windows: …: {escape: yes}), "
                "or add {kind: escape-window, …} under points",
                scene.mark("layout"),
            )


def _way_out(room: Room, scene: Scene) -> bool:
    layout = scene.layout
    windows = any(w.escape and w.room == room.id for w in layout.windows)
    roof = any(r.escape and room.area.contains(*r.area.centre) for r in layout.roof)
    doors = any(geometry.overlap(opening_area(layout, d, depth=300), room.area) for d in layout.doors)
    points = any(
        geometry.to_area(p, room.area) < thresholds.OPENING_REACH_MM for p in scene.of("escape-window")
    )
    return windows or roof or doors or points


@rule("extinguisher-far")
def extinguisher_far(scene: Scene) -> Iterator[Fault]:
    """No fire extinguisher near a door to the outside (EN 1645-1 and EN 1646-1, from memory)."""
    doors = [opening_area(scene.layout, door) for door in scene.layout.doors]
    extinguishers = scene.of("fire-extinguisher")
    gaps = [geometry.to_area(e, door) for e in extinguishers for door in doors]
    if gaps and min(gaps) > thresholds.EXTINGUISHER_REACH_MM:
        yield Fault(
            f"“{extinguishers[0].name}” is {min(gaps) / 1000:.1f} m from the nearest door",
            f"it belongs within {thresholds.EXTINGUISHER_REACH_MM / 1000:g} m of a door: check the place",
            extinguishers[0].mark,
        )


@rule("blanket-behind-flames")
def blanket_behind_flames(scene: Scene) -> Iterator[Fault]:
    """A fire blanket right above a cooker: nobody can reach it over the flames."""
    for blanket in scene.of("fire-blanket"):
        for cooker in scene.of("hob", "grill", "oven", "hotplate-230v"):
            near = geometry.plan_distance(blanket, cooker) < thresholds.OVER_FLAMES_MM
            if near and blanket.z > cooker.z:
                yield Fault(
                    f"“{blanket.name}” hangs right above “{cooker.name}”: nobody reaches it over flames",
                    "check its place; if it is really there, hang it beside the way to the door",
                    blanket.mark,
                )
                break


RULES = (no_way_out, extinguisher_far, blanket_behind_flames)
