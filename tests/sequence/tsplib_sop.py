"""Reads the sequential ordering problems of TSPLIB95 (format: tests/data/tsplib_sop/README.md)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from guidegen.sequence.ordering import FAR, Move, Problem

FOLDER = Path(__file__).parent.parent / "data" / "tsplib_sop"


@dataclass(frozen=True)
class Instance:
    """matrix[i][j]: cost from node i to node j; -1: j must come before i."""

    matrix: tuple[tuple[int, ...], ...]

    def problem(self) -> Problem:
        """Steps are the nodes between the first and the last."""
        inner = range(1, len(self.matrix) - 1)
        cost = [[FAR if c < 0 else c for c in row] for row in self.matrix]
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
