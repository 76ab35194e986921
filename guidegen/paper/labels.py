"""Sheets of self-adhesive labels: grids read from labels.yaml, places in order, ink kept off the edges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import count
from pathlib import Path
from typing import Any

from msgspec import Struct

from guidegen.errors import GuidegenError, WrongUse
from guidegen.paper.sheets import EDGE_MM, Paper, paper
from guidegen.resources import shipped_yaml

LABEL_MARGIN_MM = 1.5
"""Ink stays this far inside a label's own edge: printers feed sheets up to about a millimetre askew."""


class LabelSheet(Struct, frozen=True):
    """A grid of equal labels on a sheet; left and top are those of the first label."""

    name: str
    title: str
    sheet: Paper
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    gap_x_mm: float
    gap_y_mm: float
    left_mm: float
    top_mm: float
    corner_mm: float = 0.0

    @property
    def per_sheet(self) -> int:
        return self.columns * self.rows


class LabelPlace(Struct, frozen=True):
    """One label: its sheet from 0, its box, and the box that ink may fill."""

    sheet: int
    x: float
    y: float
    width: float
    height: float
    ink: tuple[float, float, float, float]  # x, y, width, height


def grid(
    name: str,
    columns: int,
    rows: int,
    label: tuple[float, float],
    gap: tuple[float, float] = (0.0, 0.0),
    *,
    title: str = "",
    sheet: Paper | None = None,
    left: float | None = None,
    top: float | None = None,
    corner: float = 0.0,
) -> LabelSheet:
    """A sheet of labels; the grid stands in the middle where left or top is not given.

    Raises GuidegenError when it does not fit on the sheet.
    """
    on = sheet or paper("A4")
    width = columns * label[0] + (columns - 1) * gap[0]
    height = rows * label[1] + (rows - 1) * gap[1]
    x = (on.width_mm - width) / 2 if left is None else left
    y = (on.height_mm - height) / 2 if top is None else top
    if columns < 1 or rows < 1 or min(*label) <= 0 or min(*gap) < 0:
        raise GuidegenError(f"The label sheet “{name}” needs a row, a column and labels larger than nothing.")
    if min(x, y) < -1e-6 or x + width > on.width_mm + 1e-6 or y + height > on.height_mm + 1e-6:
        raise GuidegenError(
            f"The labels of “{name}” take {width:.1f} × {height:.1f} mm from {x:.1f}, {y:.1f} mm: "
            f"more than {on.name} has ({on.width_mm:g} × {on.height_mm:g} mm)."
        )
    return LabelSheet(name, title, on, columns, rows, *label, *gap, x, y, corner)


def label_sheet(name: str) -> LabelSheet:
    """The sheet of that name. Raises WrongUse when there is none."""
    sheets = _sheets()
    if name not in sheets:
        raise WrongUse(f"There is no label sheet called “{name}”: choose one of {', '.join(sheets)}.")
    return sheets[name]


def label_sheet_names() -> tuple[str, ...]:
    """The names of all label sheets."""
    return tuple(_sheets())


def positions(sheet: LabelSheet, start: int = 1) -> Iterator[LabelPlace]:
    """Places row by row without end, sheet after sheet; start is the first label still on the first sheet.

    Raises WrongUse when the sheet has no label of that number.
    """
    if not 1 <= start <= sheet.per_sheet:
        raise WrongUse(f"Label {start} is not on the sheet “{sheet.name}”: it has 1 to {sheet.per_sheet}.")
    return (_place(sheet, index) for index in count(start - 1))


def _place(sheet: LabelSheet, index: int) -> LabelPlace:
    page, cell = divmod(index, sheet.per_sheet)
    row, column = divmod(cell, sheet.columns)
    x = sheet.left_mm + column * (sheet.width_mm + sheet.gap_x_mm)
    y = sheet.top_mm + row * (sheet.height_mm + sheet.gap_y_mm)
    left, top = max(x + LABEL_MARGIN_MM, EDGE_MM), max(y + LABEL_MARGIN_MM, EDGE_MM)
    right = min(x + sheet.width_mm - LABEL_MARGIN_MM, sheet.sheet.width_mm - EDGE_MM)
    foot = min(y + sheet.height_mm - LABEL_MARGIN_MM, sheet.sheet.height_mm - EDGE_MM)
    return LabelPlace(page, x, y, sheet.width_mm, sheet.height_mm, (left, top, right - left, foot - top))


@cache
def _sheets() -> dict[str, LabelSheet]:
    raw = shipped_yaml(Path(__file__).with_name("labels.yaml"))
    return {name: _sheet(name, data) for name, data in raw.items()}


def _sheet(name: str, data: Mapping[str, Any]) -> LabelSheet:
    return grid(
        name,
        data["columns"],
        data["rows"],
        (float(data["label"][0]), float(data["label"][1])),
        (float(data["gap"][0]), float(data["gap"][1])),
        title=data["title"],
        sheet=paper(data["paper"]),
        left=data.get("left"),
        top=data.get("top"),
        corner=float(data.get("corner", 0.0)),
    )
