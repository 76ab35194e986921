"""Ways out of a vehicle: doors, escape windows and roof lights, those with a number and those without."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.guide.pages import Kit
from guidegen.vehicle.layout import Layout, Side
from guidegen.vehicle.model import ServicePoint, Where

WAY_OUT_KINDS = ("habitation-door", "escape-window")
_WINDOW = "escape window"


class WayOut(Struct, frozen=True):
    """A door or an escape window that has no number, as a point to mark on the plan."""

    name: str
    point: ServicePoint


def ways_out(kit: Kit) -> tuple[WayOut, ...]:
    """Doors and marked windows and roof-lights of the layout that no numbered point stands for."""
    numbered = numbered_ways(kit)
    openings = _openings(kit.context.vehicle.layout)
    return tuple(w for w in openings if not any(_near(w.point, p) for p in numbered))


def numbered_ways(kit: Kit) -> tuple[ServicePoint, ...]:
    """The points that stand for a way out: doors, escape windows, roof lights at a marked opening."""
    vehicle = kit.context.vehicle
    above = [w.point for w in _openings(vehicle.layout) if w.point.where == "roof"]
    lights = (p for p in vehicle.of_kind("roof-light") if any(_near(p, opening) for opening in above))
    return (*vehicle.of_kind(*WAY_OUT_KINDS), *lights)


def in_green(kit: Kit, points: Iterable[ServicePoint]) -> tuple[ServicePoint, ...]:
    """Those that people leave by in the green of safe conditions (ISO 3864-1), like every other way out."""
    marked = {p.id for p in numbered_ways(kit)}
    return tuple(replace(p, system="S") if p.id in marked else p for p in points)


def named_ways(ways: Sequence[WayOut]) -> str:
    """Each by name, windows with their sides: "escape windows (2 offside, 1 nearside), cab door"."""
    said = [w.name for w in ways if w.name != _WINDOW]
    sides = Counter(w.point.where for w in ways if w.name == _WINDOW)
    if sides.total() == 1:
        said.insert(0, f"{next(iter(sides))} {_WINDOW}")
    elif sides:
        said.insert(0, f"{_WINDOW}s ({', '.join(f'{n} {side}' for side, n in sides.items())})")
    return ", ".join(dict.fromkeys(said))


def _near(way: ServicePoint, point: ServicePoint) -> bool:
    return abs(way.x - point.x) < 700 and abs(way.y - point.y) < 700


def _openings(layout: Layout) -> Iterator[WayOut]:
    for door in layout.doors:
        if door.kind in ("cab", "habitation", "sliding", "rear"):
            yield _way(door.id, door.name, layout, door.side, door.start + door.width / 2)
    for window in layout.windows:
        if window.escape:
            yield _way(window.id, _WINDOW, layout, window.side, window.start + window.width / 2)
    for opening in layout.roof:
        if opening.escape:
            x, y = opening.area.centre
            yield WayOut(opening.name, _point(opening.id, opening.name, x, y, "roof"))


def _way(id: str, name: str, layout: Layout, side: Side, along: float) -> WayOut:
    inside = 60.0
    x, y = {
        "nearside": (along, inside),
        "offside": (along, layout.width - inside),
        "front": (inside, along),
        "rear": (layout.length - inside, along),
    }[side]
    return WayOut(name, _point(id, name, x, y, side))


def _point(id: str, name: str, x: float, y: float, where: Where) -> ServicePoint:
    return ServicePoint(
        f"way-out:{id}", "escape-window", "S", name, "", x, y, 0.0, "low", where, "", "", "", (), 0, False
    )
