"""What the cells of the workbook offer to choose from; long lists lie on a hidden sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from guidegen.desk.fields import Field
from guidegen.trade.records import Trade
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids
from guidegen.vehicle.model import Vehicle

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

SHEET = "Lists"
_KINDS, _PARTS, _LAYOUTS, _SPOTS = "A", "B", "C", "D"
_LENGTH = 400  # rows that a long list may have
_LONG = {("kind",): _KINDS, ("in",): _PARTS, ("layout",): _LAYOUTS, ("spot",): _SPOTS}
_SPOT_WORDS = (
    "front end", "rear end", "middle", "nearside", "offside", "front nearside corner",
    "front offside corner", "rear nearside corner", "rear offside corner", "left", "right",
)  # fmt: skip


def parts_of(layout: Layout) -> tuple[tuple[str, str], ...]:
    """What a point can be in or at: ids with their printed names."""
    groups: tuple[Sequence[object], ...] = (layout.furniture, layout.rooms, layout.doors, layout.hatches)
    return tuple((part.id, part.name) for group in groups for part in group)  # type: ignore[attr-defined]


def add(book: Workbook, vehicle: Vehicle, trade: Trade) -> None:
    """The hidden sheet with the long lists."""
    sheet = book.create_sheet(SHEET)
    columns = (
        ("kinds", sorted(trade.kinds)),
        ("in", [id for id, _ in parts_of(vehicle.layout)]),
        ("layouts", list(layout_ids())),
        ("spots", list(_SPOT_WORDS)),
    )
    for column, (title, words) in enumerate(columns, 1):
        for row, word in enumerate((title, *words), 1):
            sheet.cell(row, column).value = word
    sheet.sheet_state = "hidden"
    sheet.protection.sheet = True


def offer(sheet: Worksheet, cells: str, field: Field) -> None:
    """Lets the cells be chosen from a list where there is one; a strict one refuses anything else."""
    from openpyxl.worksheet.datavalidation import DataValidation

    if field.path in _LONG and field.form == "text":
        column = _LONG[field.path]
        source = f"={SHEET}!${column}$2:${column}${_LENGTH}"
        rule = DataValidation(type="list", formula1=source, allow_blank=True, showErrorMessage=False)
    elif field.form in ("choice", "yes-no", "height"):
        words = ",".join(field.choices or ("yes", "no"))
        strict = field.form != "height"
        rule = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True, showErrorMessage=strict)
        rule.error, rule.errorTitle = f"One of: {words}", field.label
    elif field.form == "number":
        rule = DataValidation(
            type="whole", operator="between", formula1="0", formula2="999", allow_blank=True
        )
        rule.error, rule.errorTitle = "A whole number", field.label
    else:
        return
    rule.add(cells)
    sheet.add_data_validation(rule)
