"""The plan sheet: head, floor diagram, legend of the systems and scale bar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import Item, Rect, Sheet, Style, Text
from guidegen.plan.arrange import Arrangement, arrange
from guidegen.plan.floor import draw_floor
from guidegen.plan.frame import Orientation
from guidegen.plan.markers import INK, system_mark
from guidegen.plan.numbering import NUMBERING_BOX, subject_of
from guidegen.trade.records import System, Trade
from guidegen.vehicle.model import ServicePoint, Vehicle, day_in_words

MARGIN_MM = 10.0
_SCALE_BAR_MM = 27.5
_HEAD_MM, _FOOT_MM = 19.0, 9.0  # between the margins and the diagram
_LEGEND_PT = 7.5
_LEGEND_LINE_MM = 4.6


@dataclass(frozen=True, slots=True)
class PlanOptions:
    """What a plan sheet shows: paper in mm, only some systems (letters, all when empty), empty badges."""

    width_mm: float = 297.0
    height_mm: float = 210.0
    systems: tuple[str, ...] = ()

    @property
    def orientation(self) -> Orientation:
        return "landscape" if self.width_mm >= self.height_mm else "portrait"


@dataclass(frozen=True, slots=True)
class PlanSheet:
    """A finished sheet and the arrangement on it."""

    sheet: Sheet
    arrangement: Arrangement


_A4 = PlanOptions()


def plan_sheet(vehicle: Vehicle, trade: Trade, options: PlanOptions = _A4) -> PlanSheet:
    """The floor diagram of a numbered vehicle on one sheet.

    Raises SheetTooSmallError when the callouts do not fit.
    """
    width, height = options.width_mm, options.height_mm
    points = _shown(vehicle, options)
    box = (
        MARGIN_MM,
        MARGIN_MM + _HEAD_MM,
        width - 2 * MARGIN_MM,
        height
        - 2 * MARGIN_MM
        - _HEAD_MM
        - _FOOT_MM
        - _LEGEND_LINE_MM * (_legend_lines(points, trade, width) - 1),
    )
    subject = replace(subject_of(vehicle, options.orientation), points=points)
    arrangement = arrange(subject, box)
    items = _items(vehicle, trade, arrangement, points, options, height - MARGIN_MM - 1.5)
    near = {"landscape": ("bottom", "top"), "portrait": ("left", "right")}[options.orientation]
    description = (
        f"Floor plan of {vehicle.name} seen from above with {len(points)} numbered service points. "
        f"Front at the {'left' if options.orientation == 'landscape' else 'top'}, "
        f"nearside at the {near[0] if vehicle.nearside == 'left' else near[1]}."
    )
    return PlanSheet(Sheet(width, height, items, f"Floor diagram: {vehicle.name}", description), arrangement)


def plan_items(vehicle: Vehicle, trade: Trade, width: float, foot: float) -> tuple[Item, ...]:
    """Head, diagram and foot for a side of A4 landscape; foot is the baseline of the legend."""
    arrangement = arrange(subject_of(vehicle), NUMBERING_BOX)
    return _items(vehicle, trade, arrangement, vehicle.points, PlanOptions(width), foot)


def _shown(vehicle: Vehicle, options: PlanOptions) -> tuple[ServicePoint, ...]:
    return tuple(p for p in vehicle.points if not options.systems or p.system in options.systems)


def _items(
    vehicle: Vehicle,
    trade: Trade,
    arrangement: Arrangement,
    points: tuple[ServicePoint, ...],
    options: PlanOptions,
    foot: float,
) -> tuple[Item, ...]:
    others = tuple(p for p in vehicle.points if p not in points)
    return (
        *_head(vehicle, trade, options),
        *_scale_bar(arrangement, options.width_mm - MARGIN_MM, _SCALE_BAR_MM),
        *draw_floor(vehicle, trade, arrangement, ghosts=others),
        *_legend(points, trade, options.width_mm, foot),
    )


def _head(vehicle: Vehicle, trade: Trade, options: PlanOptions) -> Iterator[Item]:
    right = options.width_mm - MARGIN_MM
    systems = [trade.systems[letter].name for letter in options.systems]
    title = ": ".join((vehicle.name, ", ".join(systems))) if systems else vehicle.name
    dealer = vehicle.dealer
    room = right - MARGIN_MM - (text_width_mm(dealer.name, 10, "bold") + 6 if dealer else 0)
    size = 16.0
    while size > 9 and text_width_mm(title, size, "bold") > room:
        size -= 0.5
    yield Text(MARGIN_MM, 16.5, title, size, "bold", INK)
    if dealer:
        yield Text(right, 16.5, dealer.name, 10, "bold", INK, "end")
    dated = day_in_words(vehicle.printed_on)
    contact = "   ".join(c for c in (dealer.phone if dealer else "", dated) if c)
    yield Text(right, 21.8, contact, 9, "regular", INK, "end")
    room = right - MARGIN_MM - text_width_mm(contact, 9) - 6
    known = [vehicle.stock_number and f"Stock no. {vehicle.stock_number}", vehicle.owner, vehicle.layout.name]
    lines = [k for k in known if k]
    while len(lines) > 1 and text_width_mm("   ".join(lines), 9) > room:
        lines.pop()
    yield Text(MARGIN_MM, 21.8, "   ".join(lines), 9, "regular", INK)


def _legend_rows(
    points: Iterable[ServicePoint], trade: Trade, width: float
) -> list[list[tuple[float, System]]]:
    """The systems in use, as rows of (x, system)."""
    used = {p.system for p in points}
    rows: list[list[tuple[float, System]]] = [[]]
    x = MARGIN_MM + 1.2
    for system in (s for s in trade.systems.values() if s.letter in used):
        wide = text_width_mm(_legend_name(system), _LEGEND_PT) + 5.6
        if rows[-1] and x + wide - 3 > width - MARGIN_MM:
            rows.append([])
            x = MARGIN_MM + 1.2
        rows[-1].append((x, system))
        x += wide
    return rows


def _legend_lines(points: Iterable[ServicePoint], trade: Trade, width: float) -> int:
    return len(_legend_rows(points, trade, width))


def _legend_name(system: System) -> str:
    return system.name[:1].upper() + system.name[1:]


def _legend(points: Iterable[ServicePoint], trade: Trade, width: float, foot: float) -> Iterator[Item]:
    rows = _legend_rows(points, trade, width)
    for n, row in enumerate(rows):
        y = foot - (len(rows) - 1 - n) * _LEGEND_LINE_MM
        for x, system in row:
            yield system_mark(system, system.colour, x, y - cap_height_mm(_LEGEND_PT) / 2, 1.15)
            yield Text(x + 2.2, y, _legend_name(system), _LEGEND_PT, "regular", INK)


def _scale_bar(arrangement: Arrangement, right: float, y: float) -> Iterator[Item]:
    """A bar of one metre and the scale as a ratio."""
    metre = 1000 / arrangement.ratio
    x = right - metre
    for n in range(4):
        fill = INK if n % 2 == 0 else "#ffffff"
        yield Rect(x + n * metre / 4, y - 1.6, metre / 4, 1.6, Style(fill=fill, stroke=INK, width_mm=0.18))
    label = "1 m"
    yield Text(x - 1.5, y, label, 7.5, "regular", INK, "end")
