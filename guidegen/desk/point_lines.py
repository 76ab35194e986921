"""The lines of `points:`: those that are placed, and blanks for those that somebody has yet to find."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from guidegen.desk.yaml_text import flow
from guidegen.trade.records import Kind, Trade
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.model import ToLocate

# As the survey sheet asks for it.
_OUTSIDE = {"grid": None, "on": None, "height": None}
_ROOF = {"grid": None, "on": "roof"}
_INSIDE = {"grid": None, "height": None}


def placed_lines(
    points: list[Mapping[str, Any]], trade: Trade, marked: Collection[int | str] = ()
) -> Iterator[str]:
    """One line for each point; a heading where the system changes. marked: those to be checked, by place."""
    system = ""
    for number, point in enumerate(points):
        now = system_name(str(point.get("kind")), trade)
        if now != system:
            yield f"  # {now}"
            system = now
        yield point_line(point) + ("  # to check" if number in marked else "")


def point_line(point: Mapping[str, Any], indent: int = 2) -> str:
    """One point as a line of the file."""
    return f"{' ' * indent}- {flow(dict(point))}"


def blank_lines(
    missing: tuple[ToLocate, ...], equipment: Equipment, layout: Layout, trade: Trade
) -> Iterator[str]:
    """Commented lines for points to be located, by system; taking the # away makes one count."""
    order = [system.letter for system in trade.systems.values()]
    by_system = sorted(missing, key=lambda m: order.index(trade.kinds[m.kind].system))
    counts = how_many(equipment)
    system = ""
    for point in by_system:
        now = system_name(point.kind, trade)
        if now != system:
            yield f"  # {now}"
            system = now
        yield from [blank_line(point, layout, trade)] * counts.get(point.kind, 1)


def blank_place(kind: Kind, layout: Layout) -> dict[str, str | None]:
    """The keys that most often say where such a point is, or the layout's part of the same name."""
    parts = {p.id for group in (layout.furniture, layout.hatches, layout.doors) for p in group}
    if kind.id in parts:
        return {"in": kind.id}
    if kind.usual == ("roof",):
        return dict(_ROOF)
    return dict(_OUTSIDE if kind.outside else _INSIDE)


def blank_line(point: ToLocate, layout: Layout, trade: Trade) -> str:
    """A commented line to be filled in."""
    serves = {"serves": point.serves[0] if len(point.serves) == 1 else list(point.serves)}
    keys: dict[str, Any] = {"kind": point.kind, **(serves if point.serves else {})}
    keys |= blank_place(trade.kinds[point.kind], layout)
    text = ", ".join(f"{key}: {flow(value)}" for key, value in keys.items())
    return f"#  - {{{text}}}  # {point.reason.removeprefix('needed ')}"


def how_many(equipment: Equipment) -> dict[str, int]:
    """Of which kinds the equipment counts several, and how many there are."""
    gas, battery = equipment.gas, equipment.leisure_battery
    counts = {
        "gas-cylinder": len(gas.cylinders) if gas else 0,
        "leisure-battery": battery.count if battery else 0,
        "roof-light": equipment.roof_lights or 0,
        "steady": equipment.steadies or 0,
    }
    return {kind: count for kind, count in counts.items() if count}


def system_name(kind: str, trade: Trade) -> str:
    """The heading that points of this kind stand under."""
    letter = trade.kinds[kind].system if kind in trade.kinds else ""
    name = next((s.name for s in trade.systems.values() if s.letter == letter), "other")
    return name[:1].upper() + name[1:]
