"""The plan sheet: head, floor diagram, legend of the systems and scale bar.

All sheets follow the arrangement on A4 landscape that the numbers run round: larger paper enlarges it, a
portrait sheet turns it, and a sheet of some systems leaves the others out. So every number is found at the
same place on each of them.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Group, Item, Sheet
from guidegen.plan.arrange import Arrangement, arrange
from guidegen.plan.derived import only, untitled
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.floor import draw_floor
from guidegen.plan.frame import Orientation
from guidegen.plan.margins import (
    LEGEND_LINE_MM,
    MARGIN_MM,
    Heading,
    head_columns,
    head_row,
    heading_of,
    legend,
    legend_list,
    legend_rows,
    scale_bar,
    scale_bar_width,
    used_systems,
)
from guidegen.plan.names import names_plan
from guidegen.plan.names_floor import draw_names
from guidegen.plan.numbering import NUMBERING_BOX, smallest_sheet, subject_of
from guidegen.plan.upright import Furniture, column_widths, upright_page
from guidegen.trade.records import System, Trade
from guidegen.vehicle.model import ServicePoint, Vehicle

_LONG_MM, _SHORT_MM = 297.0, 210.0  # A4, ISO 216
_HEAD_MM, _FOOT_MM = 19.0, 9.0  # between the margins and the diagram
_BAR_BASE_MM = 27.5
_LEGEND_BASE_MM = 1.5  # above the lower margin
_BELOW_HEAD_MM = 6.0
_NAMES_PAGES = ((297.0, 420.0), (420.0, 594.0))  # A3 and A2, whose type is small enough
_NAMES_TOP_MM = 32.0
_NAMES_BAR_BASE_MM = 25.2  # above the word of the side, which stands over the column of names
_UPRIGHT_PAGE = (7.0, 9.0, _SHORT_MM - 14.0, _LONG_MM - 18.0)


class PlanOptions(Struct, frozen=True):
    """What a plan sheet shows: paper in mm, only some systems (letters, all when empty), what badges say.

    names: names at the leaders' ends instead of numbers. blank: something to fill in; with names, empty
    lines at the leaders' ends, else on sheets of their own. answers: with names, what belongs on those lines.
    """

    width_mm: float = _LONG_MM
    height_mm: float = _SHORT_MM
    systems: tuple[str, ...] = ()
    names: bool = False
    blank: bool = False
    answers: bool = False

    @property
    def task(self) -> str:
        """What the sheet is to those who learn."""
        return "Exercise" if self.blank else "Answers" if self.answers else ""

    @property
    def orientation(self) -> Orientation:
        return "landscape" if self.width_mm >= self.height_mm else "portrait"

    @property
    def enlarged(self) -> float:
        """How much larger than A4 the sheet is."""
        long, short = max(self.width_mm, self.height_mm), min(self.width_mm, self.height_mm)
        return min(long / _LONG_MM, short / _SHORT_MM)


class PlanSheet(Struct, frozen=True):
    """A finished sheet and the arrangement on it, before the sheet was enlarged to its paper."""

    sheet: Sheet
    arrangement: Arrangement


class _Page(Struct, frozen=True):
    """Items on a page of a size in mm, which is then enlarged to the paper."""

    width_mm: float
    height_mm: float
    arrangement: Arrangement
    items: tuple[Item, ...]


_A4 = PlanOptions()


def plan_sheet(vehicle: Vehicle, trade: Trade, options: PlanOptions = _A4) -> PlanSheet:
    """The floor diagram of a numbered vehicle on one sheet.

    Raises SheetTooSmallError when the callouts do not fit.
    """
    if options.task:
        vehicle = replace(vehicle, owner="")  # others learn
    if options.names:
        page = _named(vehicle, trade, options)
    else:
        page = _like_numbered(vehicle, trade, options) or _anew(vehicle, trade, options)
    points = _shown(vehicle, options)
    near = {"landscape": ("bottom", "top"), "portrait": ("left", "right")}[options.orientation]
    description = (
        f"Floor plan of {vehicle.name} seen from above with {len(points)} numbered service points. "
        f"Front at the {'left' if options.orientation == 'landscape' else 'top'}, "
        f"nearside at the {near[0] if vehicle.nearside == 'left' else near[1]}."
    )
    items = _on_paper(page, options)
    title = f"Floor diagram: {vehicle.name}"
    return PlanSheet(Sheet(options.width_mm, options.height_mm, items, title, description), page.arrangement)


def plan_items(vehicle: Vehicle, trade: Trade, width: float, foot: float) -> tuple[Item, ...]:
    """Head, diagram and foot for a side of A4 landscape; foot is the baseline of the legend."""
    found = arrange(subject_of(vehicle), NUMBERING_BOX)
    return _lying(vehicle, trade, found, PlanOptions(width), foot)


def _shown(vehicle: Vehicle, options: PlanOptions) -> tuple[ServicePoint, ...]:
    return tuple(p for p in vehicle.points if not options.systems or p.system in options.systems)


def _heading(vehicle: Vehicle, trade: Trade, options: PlanOptions) -> Heading:
    heading = heading_of(vehicle, trade, options.systems)
    return replace(heading, subtitle=", ".join(word for word in (options.task, heading.subtitle) if word))


def _on_paper(page: _Page, options: PlanOptions) -> tuple[Item, ...]:
    """The items enlarged to the paper, in its middle."""
    by = min(options.width_mm / page.width_mm, options.height_mm / page.height_mm)
    if abs(by - 1) < 1e-9:
        return page.items
    left = (options.width_mm - page.width_mm * by) / 2
    top = (options.height_mm - page.height_mm * by) / 2
    return (Group(page.items, transform=(by, 0.0, 0.0, by, left, top)),)


def _like_numbered(vehicle: Vehicle, trade: Trade, options: PlanOptions) -> _Page | None:
    """The page after the arrangement that the numbers run round; None when it cannot be followed."""
    if options.enlarged < 1 - 1e-6:
        return None  # its type would be too small
    try:
        found = arrange(subject_of(vehicle), NUMBERING_BOX)
    except SheetTooSmallError:
        return None
    if options.orientation == "portrait":
        return _standing(vehicle, trade, found, options)
    found = only(found, {p.id for p in _shown(vehicle, options)})
    lying = replace(options, width_mm=_LONG_MM, height_mm=_SHORT_MM)
    items = _lying(vehicle, trade, found, lying, _SHORT_MM - MARGIN_MM - _LEGEND_BASE_MM)
    return _Page(_LONG_MM, _SHORT_MM, found, items)


def _anew(vehicle: Vehicle, trade: Trade, options: PlanOptions) -> _Page:
    """The page with the points arranged for its own paper."""
    width, height = options.width_mm, options.height_mm
    points = _shown(vehicle, options)
    lines = len(legend_rows(used_systems(points, trade), width))
    box = (
        MARGIN_MM,
        MARGIN_MM + _HEAD_MM,
        width - 2 * MARGIN_MM,
        height - 2 * MARGIN_MM - _HEAD_MM - _FOOT_MM - LEGEND_LINE_MM * (lines - 1),
    )
    try:
        found = arrange(replace(subject_of(vehicle, options.orientation), points=points), box)
    except SheetTooSmallError:
        raise SheetTooSmallError(
            f"{len(points)} callouts do not fit on a sheet of {width:.0f} × {height:.0f} mm: "
            f"use {_sheet_that_does(vehicle)}fewer systems, such as --system G,F"
        ) from None
    items = _lying(vehicle, trade, found, options, height - MARGIN_MM - _LEGEND_BASE_MM)
    return _Page(width, height, found, items)


def _sheet_that_does(vehicle: Vehicle) -> str:
    """The advice to take the smallest sheet that holds all the points; "" when none does."""
    try:
        return f"guidegen plan --paper {smallest_sheet(subject_of(vehicle))[0]}, or "
    except SheetTooSmallError:
        return ""


def _named(vehicle: Vehicle, trade: Trade, options: PlanOptions) -> _Page:
    """The vehicle upright between columns of names.

    Raises SheetTooSmallError, which says what sheet would do.
    """
    if options.orientation == "landscape":
        raise SheetTooSmallError("names stand beside an upright vehicle: use --orientation portrait")
    points = _shown(vehicle, options)
    found = only(arrange(subject_of(vehicle), NUMBERING_BOX), {p.id for p in points})
    names = {p.id: f"{p.number} {p.name}" if options.task else p.name for p in points}
    for width, height in _NAMES_PAGES:
        if options.width_mm < width - 0.5:
            break
        box = (
            MARGIN_MM,
            _NAMES_TOP_MM,
            width - 2 * MARGIN_MM,
            height - MARGIN_MM - _FOOT_MM - _NAMES_TOP_MM,
        )
        plan = names_plan(found, vehicle.layout, names, box)
        if plan:
            others = tuple(p for p in vehicle.points if p.id not in names)
            metre, foot = 1000 * plan.frame.scale, height - MARGIN_MM - _LEGEND_BASE_MM
            items = (
                *head_row(_heading(vehicle, trade, options), width),
                *scale_bar(metre, width - MARGIN_MM - scale_bar_width(metre), _NAMES_BAR_BASE_MM),
                *draw_names(vehicle, trade, plan, others, options.task),
                *legend(used_systems(points, trade), width, foot),
            )
            return _Page(width, height, found, items)
    larger = "A3" if options.enlarged < 1.4 else "A2" if options.enlarged < 1.9 else ""
    advice = f"use --paper {larger}, or " if larger else "use "
    raise SheetTooSmallError(
        f"{len(points)} names do not fit beside the plan: {advice}fewer systems, such as --system G,F"
    )


def _drawn(
    vehicle: Vehicle, trade: Trade, found: Arrangement, options: PlanOptions
) -> tuple[tuple[Item, ...], tuple[System, ...]]:
    """The diagram with the points that are not asked for as faint dots, and the systems on it."""
    points = _shown(vehicle, options)
    others = tuple(p for p in vehicle.points if p not in points)
    if options.blank:
        found = untitled(found)
        vehicle = replace(vehicle, points=tuple(replace(p, name="") for p in vehicle.points))
    return draw_floor(vehicle, trade, found, ghosts=others), used_systems(points, trade)


def _lying(
    vehicle: Vehicle, trade: Trade, found: Arrangement, options: PlanOptions, foot: float
) -> tuple[Item, ...]:
    """Head, diagram, legend and scale bar in rows over the whole width."""
    drawn, systems = _drawn(vehicle, trade, found, options)
    metre = 1000 / found.ratio
    return (
        *head_row(_heading(vehicle, trade, options), options.width_mm),
        *scale_bar(metre, options.width_mm - MARGIN_MM - scale_bar_width(metre), _BAR_BASE_MM),
        *drawn,
        *legend(systems, options.width_mm, foot),
    )


def _standing(vehicle: Vehicle, trade: Trade, found: Arrangement, options: PlanOptions) -> _Page | None:
    """The diagram upright from head to foot of the page, the rest in columns beside it."""
    widths = column_widths(found, _UPRIGHT_PAGE)
    if widths is None:
        return None
    heads = head_columns(_heading(vehicle, trade, options))
    heights = [head.height_mm(wide) + _BELOW_HEAD_MM for head, wide in zip(heads, widths, strict=True)]
    systems = used_systems(vehicle.points, trade)
    legend_mm = LEGEND_LINE_MM * (len(systems) + 1) + 2
    placed = upright_page(found, _UPRIGHT_PAGE, Furniture(heights[0], heights[1], legend_mm))
    if placed is None:
        return None
    found = only(placed.arrangement, {p.id for p in _shown(vehicle, options)})
    drawn, systems = _drawn(vehicle, trade, found, options)
    items = [*drawn]
    for head, (x, y, wide, _) in zip(heads, placed.heads, strict=True):
        items += head.draw(x, y, wide)
    if placed.foot:
        x, y, wide, high = placed.foot
        base = y + high - LEGEND_LINE_MM * len(systems) - 1.0
        items += scale_bar(1000 / found.ratio, x + 0.2, base, wide - scale_bar_width(0.0))
        items += legend_list(systems, x, y + high - 0.5)
    return _Page(_SHORT_MM, _LONG_MM, found, tuple(items))
