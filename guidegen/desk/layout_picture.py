"""All base layouts in one small picture, numbered as in a list to choose from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.drawing.png import write_png
from guidegen.drawing.primitives import Item, Sheet, Text
from guidegen.plan.body import draw_vehicle
from guidegen.plan.frame import OVERHANG_MM, Frame
from guidegen.vehicle.layout import Layout

_COLUMNS, _CELL_MM, _GAP_MM, _LABEL_MM = 3, 72.0, 4.0, 6.0
_INK, _LABEL_PT = "#1a1a1a", 12.0
_PIXELS = 960  # across: fits the usual window


def layouts_png(layouts: Sequence[Layout]) -> bytes:
    """The picture, all layouts at one scale with the front at the left."""
    sheet = layouts_sheet(layouts)
    return write_png(sheet, _PIXELS / sheet.width_mm * 25.4, grey=True)


def layouts_sheet(layouts: Sequence[Layout]) -> Sheet:
    """The picture as a sheet."""
    scale = _CELL_MM / max(_reach(layout) for layout in layouts)
    high = (max(layout.width for layout in layouts) + 2 * OVERHANG_MM) * scale + _LABEL_MM
    rows = -(-len(layouts) // _COLUMNS)
    items = tuple(
        item
        for number, layout in enumerate(layouts)
        for item in _cell(layout, number, scale, (number % _COLUMNS, number // _COLUMNS), high)
    )
    return Sheet(_COLUMNS * (_CELL_MM + _GAP_MM), rows * high, items, "Layouts")


def _reach(layout: Layout) -> float:
    behind = OVERHANG_MM if any(door.side == "rear" for door in layout.doors) else 0.0
    return layout.drawbar + layout.length + behind


def _cell(layout: Layout, number: int, scale: float, place: tuple[int, int], high: float) -> Iterator[Item]:
    left, top = place[0] * (_CELL_MM + _GAP_MM) + _GAP_MM / 2, place[1] * high
    yield Text(left, top + _LABEL_MM - 1.5, str(number + 1), _LABEL_PT, "bold", _INK)
    body = top + _LABEL_MM + OVERHANG_MM * scale
    yield from draw_vehicle(layout, Frame(scale, left + layout.drawbar * scale, body, layout.width))
