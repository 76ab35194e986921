"""Cheapest assignment of rows to columns, kept optimal while edges are forbidden and columns closed.

Shortest augmenting paths with duals (R. Jonker and A. Volgenant, "A Shortest Augmenting Path Algorithm for
Dense and Sparse Linear Assignment Problems", Computing 38, 1987; rectangular form: D. F. Crouse, "On
Implementing 2D Rectangular Assignment Algorithms", IEEE TAES 52, 2016). A change costs one path, since the
duals of the old optimum stay feasible.
"""

from __future__ import annotations

from math import inf

SPARE = -2  # stands for the imaginary rows that hold the free columns


class Matching:
    """An optimal assignment: column_of[row], row_of[column] (-1 if free), with duals u and v.

    Invariants: u[i] + v[j] <= cost of (i, j), equal where matched; v[j] <= 0, and 0 where j is free.
    """

    __slots__ = ("column_of", "columns", "costs", "row_of", "u", "v")

    def __init__(self, costs: list[list[float]]) -> None:
        """costs: n rows of m >= n finite numbers; rows are never changed in place."""
        self.costs = list(costs)
        width = len(costs[0]) if costs else 0
        self.columns = list(range(width))
        self.column_of = [-1] * len(costs)
        self.row_of = [-1] * width
        self.v = [0.0] * width
        self.u = [min(row) for row in costs]
        late = []
        for i, row in enumerate(costs):
            j = row.index(self.u[i])
            if self.row_of[j] < 0:
                self.row_of[j], self.column_of[i] = i, j
            else:
                late.append(i)
        for i in late:
            self._augment(i, -1)

    def copy(self) -> Matching:
        twin = Matching.__new__(Matching)
        for name in Matching.__slots__:
            setattr(twin, name, getattr(self, name)[:])
        return twin

    def cost(self) -> float:
        return sum(row[j] for row, j in zip(self.costs, self.column_of, strict=True))

    def raise_cost(self, i: int, j: int, extra: float) -> None:
        """Make the edge (i, j) dearer by extra >= 0."""
        row = self.costs[i][:]
        row[j] += extra
        self.costs[i] = row
        if self.column_of[i] == j:
            self.column_of[i] = self.row_of[j] = -1
            self._augment(i, j)

    def close(self, j: int) -> bool:
        """Take column j out of use; False, and nothing done, if too few columns would be left."""
        if len(self.columns) <= len(self.costs):
            return False
        self.columns.remove(j)
        i = self.row_of[j]
        if i >= 0:
            self.column_of[i] = self.row_of[j] = -1
            self._augment(i, -1)
        return True

    def _augment(self, start: int, target: int) -> None:
        """Match row start along a cheapest path, which ends at any free column or, if given, at target.

        With a target its dual may be below 0, so the path may also pass through the spare rows: they give
        up the free column that is met first and take another column instead.
        """
        u, v, row_of, costs = self.u, self.v, self.row_of, self.costs
        label = [inf] * len(row_of)
        before = [-1] * len(row_of)
        todo = self.columns[:]
        settled: list[int] = []
        i, low, spare_low, spare_column = start, 0.0, inf, -1
        while True:
            best, at, base, row = inf, -1, low - u[i], costs[i]
            for k, j in enumerate(todo):
                reach = base + row[j] - v[j]
                if reach < label[j]:
                    label[j], before[j] = reach, i
                else:
                    reach = label[j]
                if reach < best:
                    best, at = reach, k
            low, sink = best, todo[at]
            todo[at] = todo[-1]
            todo.pop()
            if row_of[sink] < 0 and target >= 0 and sink != target:
                spare_low, spare_column = low, sink
                todo = [j for j in todo if row_of[j] >= 0 or j == target]
                for j in todo:
                    if low - v[j] < label[j]:
                        label[j], before[j] = low - v[j], SPARE
                at = min(range(len(todo)), key=lambda k: label[todo[k]])
                low, sink = label[todo[at]], todo[at]
                todo[at] = todo[-1]
                todo.pop()
            if row_of[sink] < 0:
                break
            settled.append(sink)
            i = row_of[sink]
        u[start] += low
        for j in settled:
            v[j] -= low - label[j]
            u[row_of[j]] += low - label[j]
        if low > spare_low:  # keeps the spare rows' dual at 0
            shift = low - spare_low
            self.u = [x - shift for x in u]
            free = [j for j in self.columns if row_of[j] < 0 and j != target]
            self.v = [x + shift for x in v]
            for j in free:
                self.v[j] = 0.0
        self._turn(before, sink, start, spare_column)

    def _turn(self, before: list[int], sink: int, start: int, spare_column: int) -> None:
        """Match along the path that ends at sink."""
        j = sink
        while True:
            i = before[j]
            if i == SPARE:
                self.row_of[j] = -1
                self.v[j] = 0.0
                j = spare_column
                continue
            self.row_of[j] = i
            self.column_of[i], j = j, self.column_of[i]
            if i == start:
                return
