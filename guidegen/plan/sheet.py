"""The plan sheet: head, floor diagram, legend of the systems and scale bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import Item, Rect, Sheet, Style, Text
from guidegen.plan.arrange import Arrangement, arrange
from guidegen.plan.floor import draw_floor
from guidegen.plan.markers import INK, system_mark
from guidegen.plan.numbering import NUMBERING_BOX, subject_of
from guidegen.trade.records import Trade
from guidegen.vehicle.model import Vehicle

MARGIN_MM = 10.0
_SCALE_BAR_MM = 27.5
_A4 = (297.0, 210.0)


@dataclass(frozen=True, slots=True)
class PlanSheet:
    """A finished sheet and the arrangement on it."""

    sheet: Sheet
    arrangement: Arrangement


def plan_sheet(vehicle: Vehicle, trade: Trade) -> PlanSheet:
    """The floor diagram of a numbered vehicle on A4 landscape.

    Raises SheetTooSmallError when the callouts do not fit.
    """
    width, height = _A4
    arrangement = arrange(subject_of(vehicle), NUMBERING_BOX)
    items = plan_items(vehicle, trade, width, height - MARGIN_MM - 1.5)
    count = len(vehicle.points)
    description = (
        f"Floor plan of {vehicle.name} seen from above with {count} numbered service points. "
        f"Front at the left, nearside at the {'bottom' if vehicle.nearside == 'left' else 'top'}."
    )
    return PlanSheet(Sheet(width, height, items, f"Floor diagram: {vehicle.name}", description), arrangement)


def plan_items(vehicle: Vehicle, trade: Trade, width: float, foot: float) -> tuple[Item, ...]:
    """Head, diagram and foot for a sheet of that width; foot is the baseline of the legend."""
    arrangement = arrange(subject_of(vehicle), NUMBERING_BOX)
    return (
        *_head(vehicle, width),
        *_scale_bar(arrangement, width - MARGIN_MM, _SCALE_BAR_MM),
        *draw_floor(vehicle, trade, arrangement),
        *_foot(vehicle, trade, foot),
    )


def _head(vehicle: Vehicle, width: float) -> Iterator[Item]:
    yield Text(MARGIN_MM, 16.5, vehicle.name, 16, "bold", INK)
    known = [vehicle.stock_number and f"Stock no. {vehicle.stock_number}", vehicle.owner, vehicle.layout.name]
    yield Text(MARGIN_MM, 21.8, "   ".join(k for k in known if k), 9, "regular", INK)
    right = width - MARGIN_MM
    if vehicle.dealer:
        yield Text(right, 16.5, vehicle.dealer.name, 10, "bold", INK, "end")
    dated = f"{vehicle.printed_on:%d %B %Y}".lstrip("0") if vehicle.printed_on else ""
    contact = [vehicle.dealer.phone if vehicle.dealer else "", dated]
    yield Text(right, 21.8, "   ".join(c for c in contact if c), 9, "regular", INK, "end")


def _foot(vehicle: Vehicle, trade: Trade, y: float) -> Iterator[Item]:
    used = {p.system for p in vehicle.points}
    x = MARGIN_MM + 1.2
    for system in trade.systems.values():
        if system.letter not in used:
            continue
        yield system_mark(system, system.colour, x, y - cap_height_mm(7.5) / 2, 1.15)
        name = system.name[:1].upper() + system.name[1:]
        yield Text(x + 2.2, y, name, 7.5, "regular", INK)
        x += text_width_mm(name, 7.5) + 5.6


def _scale_bar(arrangement: Arrangement, right: float, y: float) -> Iterator[Item]:
    """A bar of one metre and the scale as a ratio."""
    metre = 1000 / arrangement.ratio
    x = right - metre
    for n in range(4):
        fill = INK if n % 2 == 0 else "#ffffff"
        yield Rect(x + n * metre / 4, y - 1.6, metre / 4, 1.6, Style(fill=fill, stroke=INK, width_mm=0.18))
    label = "1 m"
    yield Text(x - 1.5, y, label, 7.5, "regular", INK, "end")
