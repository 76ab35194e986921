"""How the workbook looks: fonts, fills, widths, and which cells may be written in."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

_TEXT_FORMAT, _DATE_FORMAT = "@", "yyyy-mm-dd"
_INK, _SOFT, _HEAD, _INPUT, _NOTE = "FF1A1A1A", "FF595959", "FFD9DFE6", "FFFFFBE6", "FFF2F2F2"

_EDGE_IN = 0.4  # 10 mm of white round a printed page


class Look:
    """The styles, made once a workbook and handed from cell to cell."""

    def __init__(self, book: Workbook) -> None:
        from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side

        self._models, self._made = book.create_sheet("models"), 0
        line = Side(style="thin", color="FFBFBFBF")
        box = {"border": Border(left=line, right=line, top=line, bottom=line)}
        bold = {"font": Font(name="Arial", size=10, bold=True, color=_INK)}
        plain = {"font": Font(name="Arial", size=10, color=_INK)}
        soft = {"font": Font(name="Arial", size=9, color=_SOFT)}
        top = {"alignment": Alignment(vertical="top", wrap_text=True)}
        left = {"alignment": Alignment(horizontal="left", vertical="top", wrap_text=True)}
        fills = {
            name: {"fill": PatternFill("solid", fgColor=colour)}
            for name, colour in (("head", _HEAD), ("input", _INPUT), ("note", _NOTE))
        }
        # A cell to write in; its text stays text, whatever it looks like.
        entry = {**plain, **box, **left, **fills["input"], "protection": Protection(locked=False)}
        self._styles = {
            "heading": self._model(**bold, **box, **top, **fills["head"]),
            "bold": self._model(**bold, **top),
            "plain": self._model(**plain, **top),
            "soft": self._model(**soft, **top),
            "told": self._model(**soft, **box, **top, **fills["note"]),
            "entry": self._model(**entry, number_format=_TEXT_FORMAT),
            "entry number": self._model(**entry, number_format="General"),
            "entry date": self._model(**entry, number_format=_DATE_FORMAT),
        }
        book.remove(self._models)

    def _model(self, **styles: Any) -> Any:
        self._made += 1
        cell = self._models.cell(self._made, 1)
        for name, style in styles.items():
            setattr(cell, name, style)
        # The cell's own record of its styles; setting each one anew on every cell takes ten times as long.
        return copy(cell._style)

    def heading(self, cell: Cell) -> None:
        cell._style = copy(self._styles["heading"])

    def words(self, cell: Cell, font: str = "plain") -> None:
        cell._style = copy(self._styles[font])

    def told(self, cell: Cell) -> None:
        """A cell that tells something and is not read."""
        cell._style = copy(self._styles["told"])

    def entry(self, cell: Cell, form: str) -> None:
        """A cell to write in."""
        active = cell.data_type == "s" and str(cell.value)[:1] in "=+-@"
        cell._style = copy(self._styles[f"entry {form}" if form in ("number", "date") else "entry"])
        if active:
            cell.quotePrefix = True  # still text when somebody edits it


def put(cell: Cell, value: Any) -> None:
    """Writes the value; text that begins like a formula is text all the same."""
    from guidegen.desk.escaping import escaped

    if isinstance(value, str):
        cell.value = escaped(value)
        cell.data_type = "s"
    else:
        cell.value = value


def widths(sheet: Worksheet, columns: Mapping[str, float]) -> None:
    for letter, width in columns.items():
        sheet.column_dimensions[letter].width = width


def finish(sheet: Worksheet, freeze: str) -> None:
    """Keeps the headings in sight and locks, without a password, what is not to be written in."""
    sheet.freeze_panes = freeze
    sheet.sheet_view.zoomScale = 110
    protection = sheet.protection
    protection.sheet = True
    for allowed in ("formatColumns", "formatRows", "formatCells", "sort", "autoFilter"):
        setattr(protection, allowed, False)  # in the file format, False is "not locked"
    setup = sheet.page_setup
    setup.orientation, setup.paperSize, setup.fitToWidth, setup.fitToHeight = "landscape", 9, 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    edges = sheet.page_margins
    edges.left = edges.right = edges.top = _EDGE_IN
    edges.bottom, edges.footer = 2 * _EDGE_IN, _EDGE_IN
    sheet.oddFooter.left.text, sheet.oddFooter.right.text = "&F", "&A, page &P of &N"  # the file, the sheet
