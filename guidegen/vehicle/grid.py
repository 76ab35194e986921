"""The grid printed on the survey sheet: letters from the front, numbers from the nearside.

I and O are letters of it. Left out now, they would move every square behind them in the files that there
are; a 1 or 0 in the place of the letter is refused, which a drain half a metre off would not be.
"""

from __future__ import annotations

import math

from msgspec import Struct

from guidegen.vehicle.layout import Area, Layout

_SQUARE_MM = 500


class Grid(Struct, frozen=True):
    """Columns and rows of near-square cells over body and drawbar, in vehicle mm."""

    area: Area
    columns: tuple[str, ...]
    rows: tuple[int, ...]

    def square(self, name: str) -> Area | None:
        """The area of a square such as "F3"; None when there is no such square."""
        letter, digits = name[:1], name[1:]
        if letter not in self.columns or digits not in map(str, self.rows):
            return None
        length, width = self.area.length / len(self.columns), self.area.width / len(self.rows)
        column, row = self.columns.index(letter), int(digits) - 1
        return Area(self.area.x + column * length, self.area.y + row * width, length, width)

    def name_at(self, x: float, y: float) -> str:
        """The square that holds a point of the vehicle; of a point outside the grid, the nearest."""
        across = (x - self.area.x) / self.area.length * len(self.columns)
        up = (y - self.area.y) / self.area.width * len(self.rows)
        column = min(max(int(across), 0), len(self.columns) - 1)
        row = min(max(int(up), 0), len(self.rows) - 1)
        return f"{self.columns[column]}{self.rows[row]}"


def grid_of(layout: Layout) -> Grid:
    """The grid of a layout: squares of about half a metre, never more than A to Z."""
    total = layout.length + layout.drawbar
    columns = min(26, max(1, math.ceil(total / _SQUARE_MM)))
    rows = max(1, math.ceil(layout.width / _SQUARE_MM))
    letters = tuple(chr(ord("A") + n) for n in range(columns))
    return Grid(Area(-layout.drawbar, 0, total, layout.width), letters, tuple(range(1, rows + 1)))
