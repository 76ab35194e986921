"""The free floor of a layout as a grid of cells, and shortest ways over it.

A cell is free when nothing stands at its middle or close to it; a step or a shower is stood on, and a
table that cuts the floor in two is put aside. Moves go to the eight neighbours and by
the knight's move, so a way is at most 2.8 % longer than the straight line it stands for.
"""

from __future__ import annotations

import heapq
import math
from functools import cached_property, lru_cache
from itertools import product

from msgspec import Struct

from guidegen.vehicle.layout import XY, Area, Door, Hatch, Layout, Partition, Window
from guidegen.vehicle.outline import inside_body

CELL_MM = 150
_LOW_MM = 120  # what is lower is stepped over
_NEAR_CELLS = 6  # so far a place is looked for around it before all cells are
_NO_WAY = 1 << 40
_TROD = {"step", "shower"}
_CLEAR_MM = 40  # from furniture: one squeezes past a table, not through a crack
Cell = tuple[int, int]
_MOVES = [(1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (2, -1), (1, 2), (1, -2)]
_MOVES += [(-i, -j) for i, j in _MOVES]
_REACH = 3  # cells, more than a move is long
_STEPS = [(i, j, round(math.hypot(i, j) * CELL_MM)) for i, j in _MOVES]


class Floor(Struct, frozen=True, dict=True):
    """Cells that can be reached from the door, each with its neighbours and their distance in mm."""

    links: dict[Cell, tuple[tuple[Cell, int], ...]]
    door: Cell

    def nearest(self, x: float, y: float, room: Area | None = None) -> Cell:
        """The cell from which one reaches the place: in its room, if any is, as walls stand between."""
        if room and (cells := self._inside(room)):
            return min(cells, key=lambda c: (_off(c, x, y), c))
        i, j = int(x // CELL_MM), int(y // CELL_MM)
        for r in range(_NEAR_CELLS):
            square = ((a, b) for a in range(i - r, i + r + 1) for b in range(j - r, j + r + 1))
            off, cell = min(
                ((_off(c, x, y), c) for c in square if c in self.links), default=(math.inf, (0, 0))
            )
            if off <= ((r + 0.5) * CELL_MM) ** 2:  # all cells outside the square are farther
                return cell
        return min(self.links, key=lambda c: (_off(c, x, y), c))

    def _inside(self, room: Area) -> list[Cell]:
        found = self._rooms.get(room)
        if found is None:
            found = self._rooms[room] = [c for c in self.links if room.contains(*middle(c))]
        return found

    @cached_property
    def _rooms(self) -> dict[Area, list[Cell]]:
        """The cells of each room that was asked for."""
        return {}

    def ways_from(self, start: Cell) -> tuple[dict[Cell, int], dict[Cell, Cell]]:
        """Distances in mm to every cell, and the cell before each on the way."""
        found = self._ways.get(start)
        if found is None:
            found = self._ways[start] = self._found_from(start)
        return found

    @cached_property
    def _ways(self) -> dict[Cell, tuple[dict[Cell, int], dict[Cell, Cell]]]:
        """The ways from each cell that was asked for: all walks over one floor begin at the same few."""
        return {}

    def _found_from(self, start: Cell) -> tuple[dict[Cell, int], dict[Cell, Cell]]:
        cells, near = self._graph
        count = len(cells)
        far, before = [_NO_WAY] * count, [-1] * count
        first = cells.index(start)
        far[first] = 0
        queue = [first]  # distance · count + cell
        while queue:
            d, cell = divmod(heapq.heappop(queue), count)
            if d > far[cell]:
                continue
            for other, step in near[cell]:
                there = d + step
                if there < far[other]:
                    far[other] = there
                    before[other] = cell
                    heapq.heappush(queue, there * count + other)
        came = {cells[k]: cells[b] for k, b in enumerate(before) if b >= 0}
        return dict(zip(cells, far, strict=True)), came

    @cached_property
    def _graph(self) -> tuple[list[Cell], list[list[tuple[int, int]]]]:
        """The cells, and of each the positions and distances of its neighbours."""
        cells = list(self.links)
        place = {cell: k for k, cell in enumerate(cells)}
        return cells, [[(place[o], step) for o, step in self.links[cell]] for cell in cells]


def middle(cell: Cell) -> XY:
    return ((cell[0] + 0.5) * CELL_MM, (cell[1] + 0.5) * CELL_MM)


@lru_cache(maxsize=16)  # the sequences and the handover walk over the same floor
def floor_of(layout: Layout, door: Door | None) -> Floor:
    """The floor that is reached through the door; without any free floor, the cell behind the door."""
    foot = opening_foot(layout, door)
    free = free_cells(layout)
    if not free:
        lone = (int(foot[0] // CELL_MM), int(foot[1] // CELL_MM))
        return Floor({lone: ()}, lone)
    floor = _reached(layout, free, foot)
    if len(floor.links) < len(free) and any(f.kind == "table" for f in layout.furniture):
        floor = _reached(layout, free_cells(layout, tables=False), foot)
    return floor


def _reached(layout: Layout, free: set[Cell], foot: XY) -> Floor:
    """Those of the free cells that one reaches from the foot of the door."""
    start = min(free, key=lambda c: (_off(c, *foot), c))
    links = _linked(free, [segment for p in layout.partitions for segment in _solid(p)])
    found, todo = {start}, [start]
    while todo:
        new = {other for other, _ in links[todo.pop()]} - found
        found |= new
        todo.extend(new)
    return Floor({cell: tuple(links[cell]) for cell in sorted(found)}, start)


def opening_foot(layout: Layout, opening: Door | Window | Hatch | None, out: float = -300.0) -> XY:
    """The point `out` mm outside the middle of a door, window or hatch (inside, when negative)."""
    if opening is None:
        return (layout.length / 2, -out)
    centre = opening.start + opening.width / 2
    return {
        "nearside": (centre, -out),
        "offside": (centre, layout.width + out),
        "front": (-out, centre),
        "rear": (layout.length + out, centre),
    }[opening.side]


def free_cells(layout: Layout, *, tables: bool = True) -> set[Cell]:
    """Cells inside the body where nothing stands; without `tables` those are not looked at."""
    wall = layout.wall
    first = layout.bonnet + 200 if layout.bonnet else wall
    passed = _TROD if tables else {*_TROD, "table"}
    columns = range(int(first // CELL_MM), int(layout.length // CELL_MM) + 1)
    rows = range(int(layout.width // CELL_MM) + 1)
    taken: set[Cell] = set()
    for piece in layout.furniture:
        if not piece.hidden and piece.top_mm > _LOW_MM and piece.kind not in passed:
            a = piece.area
            along = _within(columns, a.x - _CLEAR_MM, a.x + a.length + _CLEAR_MM)
            taken.update(product(along, _within(rows, a.y - _CLEAR_MM, a.y + a.width + _CLEAR_MM)))
    columns_free = _within(columns, first, layout.length - wall)
    return {
        cell
        for cell in product(columns_free, _within(rows, wall, layout.width - wall))
        if cell not in taken and inside_body(layout, *middle(cell))
    }


def _within(numbers: range, low: float, high: float) -> list[int]:
    """Those of the numbers of cells whose middle lies between the two, in mm."""
    return [k for k in numbers if low <= (k + 0.5) * CELL_MM <= high]


def _linked(free: set[Cell], walls: list[tuple[XY, XY]]) -> dict[Cell, list[tuple[Cell, int]]]:
    """The neighbours of each cell, and how far they are; no corner of furniture and no wall is crossed."""
    near = _near(walls)
    ahead: dict[Cell, list[tuple[Cell, int]]] = {cell: [] for cell in free}
    behind: dict[Cell, list[tuple[Cell, int]]] = {cell: [] for cell in free}
    for i, j, far in _STEPS[: len(_STEPS) // 2]:
        passed = _passed(i, j)
        for cell in free:
            x, y = cell
            other = (x + i, y + j)
            if other not in free or any((x + a, y + b) not in free for a, b in passed):
                continue
            if cell in near:
                here, there = middle(cell), middle(other)
                if any(_cross(here, there, a, b) for a, b in near[cell]):
                    continue
            ahead[cell].append((other, far))
            behind[other].append((cell, far))
    return {cell: ahead[cell] + behind[cell] for cell in free}


def _near(walls: list[tuple[XY, XY]]) -> dict[Cell, list[tuple[XY, XY]]]:
    """For each cell the walls that come so near that a step could cross them."""
    found: dict[Cell, list[tuple[XY, XY]]] = {}
    for wall in walls:
        (x0, x1), (y0, y1) = (sorted(int(p // CELL_MM) for p in axis) for axis in zip(*wall, strict=True))
        for i in range(x0 - _REACH, x1 + _REACH + 1):
            for j in range(y0 - _REACH, y1 + _REACH + 1):
                found.setdefault((i, j), []).append(wall)
    return found


def _passed(i: int, j: int) -> tuple[Cell, ...]:
    """The cells, from the first, that a move also touches."""
    if abs(i) + abs(j) == 1:
        return ()
    if abs(i) == abs(j):
        return (i, 0), (0, j)
    return ((i // 2, 0), (i // 2, j)) if abs(i) == 2 else ((0, j // 2), (i, j // 2))


def _solid(partition: Partition) -> list[tuple[XY, XY]]:
    (x0, y0), (x1, y1) = partition.start, partition.end
    length = math.hypot(x1 - x0, y1 - y0)
    if partition.opening is None or not length:
        return [(partition.start, partition.end)]
    a, width = partition.opening
    at = [min(max(t / length, 0.0), 1.0) for t in (a, a + width)]
    gap = [(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in at]
    return [(partition.start, gap[0]), (gap[1], partition.end)]


def _cross(a: XY, b: XY, c: XY, d: XY) -> bool:
    def turn(p: XY, q: XY, r: XY) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def _off(cell: Cell, x: float, y: float) -> float:
    mx, my = middle(cell)
    return (mx - x) ** 2 + (my - y) ** 2
