"""Reads the sequential ordering problems of TSPLIB95 (format: tests/data/tsplib_sop/README.md)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from guidegen.sequence.ordering import Move, Problem

FOLDER = Path(__file__).parent.parent / "data" / "tsplib_sop"


@dataclass(frozen=True)
class Instance:
    """matrix[i][j]: cost from node i to node j; -1: j must come before i."""

    matrix: tuple[tuple[int, ...], ...]

    @property
    def shift(self) -> int:
        """What every move is made dearer by, so that no way round is cheaper: costs become a metric.

        Every order has the same number of moves, so that the cheapest one stays the cheapest.
        """
        return max(map(max, self.matrix))

    @property
    def moves(self) -> int:
        return len(self.matrix) - 1

    def problem(self) -> Problem:
        """Steps are the nodes between the first and the last; what no order has costs twice the shift."""
        inner, shift = range(1, len(self.matrix) - 1), self.shift
        cost = [
            [0 if i == j else 2 * shift if c < 0 or c > shift else c + shift for j, c in enumerate(row)]
            for i, row in enumerate(self.matrix)
        ]
        before = [sum(1 << (j - 1) for j in inner if self.matrix[i][j] == -1) for i in inner]
        moves = tuple((Move(i, i),) for i in inner)
        return Problem(cost, moves, tuple(before), 0, [row[-1] for row in cost])

    def value(self, nodes: list[int]) -> int:
        """The cost of a whole path, added up from the file; fails when it breaks a precedence."""
        assert sorted(nodes) == list(range(len(self.matrix))), "every node once"
        for later, i in enumerate(nodes):
            for j in nodes[later + 1 :]:
                assert self.matrix[i][j] != -1, f"node {j} must come before node {i}"
        return sum(self.matrix[a][b] for a, b in zip(nodes, nodes[1:], strict=False))


def read(name: str) -> Instance:
    text = (FOLDER / f"{name}.sop").read_text()
    head, body = text.split("EDGE_WEIGHT_SECTION")
    size = next(int(line.split(":")[1]) for line in head.splitlines() if line.startswith("DIMENSION"))
    numbers = [int(word) for word in body.replace("EOF", "").split()]
    numbers = numbers[-size * size :]  # some files repeat the size before the matrix
    return Instance(tuple(tuple(numbers[i * size : (i + 1) * size]) for i in range(size)))
