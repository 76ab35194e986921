"""Folds a sheet of paper: flat facets carried by reflections, layers ordered so that no paper crosses paper.

Shares nothing with the package: it is given creases, cuts and marks as they lie on the printed sheet, and
answers what a reader holds in hand. The layer conditions are those of flat folding: no facet crosses a
crease, no two creases at one place interlace (Bern and Hayes, The Complexity of Flat Origami, 1996).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations

CLEARANCE_MM = 1.0
EPS = 1e-6
Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def times(m: Matrix, n: Matrix) -> Matrix:
    """First n, then m."""
    a, b, c, d, e, f = m
    g, h, i, j, k, o = n
    return (
        a * g + c * h,
        b * g + d * h,
        a * i + c * j,
        b * i + d * j,
        a * k + c * o + e,
        b * k + d * o + f,
    )


def apply(m: Matrix, x: float, y: float) -> tuple[float, float]:
    a, b, c, d, e, f = m
    return a * x + c * y + e, b * x + d * y + f


def faces_up(m: Matrix) -> bool:
    """Whether the front of what is carried by m looks at the viewer."""
    return m[0] * m[3] - m[1] * m[2] > 0


@dataclass(frozen=True)
class Edge:
    """Where two facets meet: a crease, whose parts meet on their `towards` side."""

    one: int
    other: int
    start: tuple[float, float]
    end: tuple[float, float]
    towards: str

    @property
    def reflection(self) -> Matrix:
        (x0, y0), (x1, _) = self.start, self.end
        return (-1.0, 0.0, 0.0, 1.0, 2 * x0, 0.0) if x0 == x1 else (1.0, 0.0, 0.0, -1.0, 0.0, 2 * y0)


@dataclass(frozen=True)
class Mark:
    """Something printed: where its middle lies and where its head points, in the front's coordinates."""

    name: str
    side: str
    middle: tuple[float, float]
    up: tuple[float, float]


@dataclass
class Sheet:
    """The flat sheet cut into facets along its creases and cuts."""

    width: float
    height: float
    creases: Sequence[tuple[tuple[float, float], tuple[float, float], str]]
    cuts: Sequence[tuple[tuple[float, float], tuple[float, float]]] = ()
    facets: list[tuple[float, float, float, float]] = field(init=False)
    edges: list[Edge] = field(init=False)

    def __post_init__(self) -> None:
        lines = [(start, end) for start, end, _ in self.creases] + list(self.cuts)
        xs = sorted({0.0, self.width} | {s[0] for s, e in lines if s[0] == e[0]})
        ys = sorted({0.0, self.height} | {s[1] for s, e in lines if s[1] == e[1]})
        self.facets = [
            (x0, y0, x1, y1)
            for y0, y1 in zip(ys, ys[1:], strict=False)
            for x0, x1 in zip(xs, xs[1:], strict=False)
        ]
        self.edges = [
            edge for a, b in combinations(range(len(self.facets)), 2) for edge in self._between(a, b)
        ]

    def _between(self, a: int, b: int) -> Iterator[Edge]:
        p, q = self.facets[a], self.facets[b]
        start = max(p[0], q[0]), max(p[1], q[1])
        end = min(p[2], q[2]), min(p[3], q[3])
        if start > end or (start[0] < end[0]) == (start[1] < end[1]):
            return
        if any(_covers(cut, (start, end)) for cut in self.cuts):
            return
        for crease_start, crease_end, towards in self.creases:
            if _covers((crease_start, crease_end), (start, end)):
                yield Edge(a, b, start, end, towards)
                return
        raise AssertionError(f"nothing folds or cuts the sheet from {start} to {end}")

    def carried(self, opened: frozenset[Edge] = frozenset()) -> list[Matrix]:
        """Where each facet comes to lie; opened creases stay flat. Fails when the paper would tear."""
        found: dict[int, Matrix] = {0: IDENTITY}
        todo = [0]
        while todo:
            here = todo.pop()
            for edge in self.edges:
                if here in (edge.one, edge.other):
                    there = edge.other if here == edge.one else edge.one
                    turn = IDENTITY if edge in opened else edge.reflection
                    matrix = times(found[here], turn)
                    if there not in found:
                        found[there] = matrix
                        todo.append(there)
                    assert max(abs(p - q) for p, q in zip(found[there], matrix, strict=True)) < EPS, (
                        "the paper tears"
                    )
        assert len(found) == len(self.facets), "the sheet falls apart"
        return [found[n] for n in range(len(self.facets))]

    def layerings(self, opened: frozenset[Edge] = frozenset()) -> list[list[int]]:
        """Every way the facets can lie on each other, lowest first, seen with facet 0's front up."""
        carried = self.carried(opened)
        closed = [edge for edge in self.edges if edge not in opened]
        above = {self._order(edge, carried) for edge in closed}
        return [order for order in _orders(len(self.facets), above) if self._possible(order, carried, closed)]

    def _order(self, edge: Edge, carried: Sequence[Matrix]) -> tuple[int, int]:
        """The lower and the upper of the two facets at a crease."""
        other_on_top = (edge.towards == "front") == faces_up(carried[edge.one])
        return (edge.one, edge.other) if other_on_top else (edge.other, edge.one)

    def _possible(self, order: Sequence[int], carried: Sequence[Matrix], closed: Sequence[Edge]) -> bool:
        height = {facet: level for level, facet in enumerate(order)}
        spans = {edge: sorted((height[edge.one], height[edge.other])) for edge in closed}
        for edge in closed:
            low, high = spans[edge]
            for facet in order[low + 1 : high]:
                if not self._clear(facet, edge, carried, closed):
                    return False
        for one, other in combinations(closed, 2):
            (a, b), (c, d) = spans[one], spans[other]
            if self._same_place(one, other, carried) and (a < c < b < d or c < a < d < b):
                return False
        return True

    def _clear(self, facet: int, edge: Edge, carried: Sequence[Matrix], closed: Sequence[Edge]) -> bool:
        """Whether a facet between the layers of a crease keeps clear of it, or is creased there itself."""
        axis = 0 if edge.start[0] == edge.end[0] else 1
        at = apply(carried[edge.one], *edge.start)[axis]
        box = self.box(facet, carried)
        low, high = box[axis], box[axis + 2]
        if high <= at - CLEARANCE_MM + EPS or low >= at + CLEARANCE_MM - EPS:
            return True
        if low < at - EPS and high > at + EPS:
            return False
        return any(
            facet in (mine.one, mine.other) and self._same_place(mine, edge, carried)
            for mine in closed
            if mine is not edge
        )

    def _same_place(self, one: Edge, other: Edge, carried: Sequence[Matrix]) -> bool:
        ends = [
            sorted((apply(carried[edge.one], *edge.start), apply(carried[edge.one], *edge.end)))
            for edge in (one, other)
        ]
        return all(abs(p - q) < EPS for a, b in zip(*ends, strict=True) for p, q in zip(a, b, strict=True))

    def box(self, facet: int, carried: Sequence[Matrix]) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = self.facets[facet]
        p, q = apply(carried[facet], x0, y0), apply(carried[facet], x1, y1)
        return min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1])

    def facet_at(self, point: tuple[float, float]) -> int:
        for number, (x0, y0, x1, y1) in enumerate(self.facets):
            if x0 < point[0] < x1 and y0 < point[1] < y1:
                return number
        raise AssertionError(f"{point} lies on a fold or off the sheet")


class Unreadable(Exception):  # noqa: N818 - named for what it reports
    """Nobody can read the folded sheet in its order."""


@dataclass(frozen=True)
class Seen:
    """A mark as a reader meets it: how far to the right it stands, and whether it stands upright."""

    name: str
    x: float
    upright: bool


class Reader:
    """Someone who takes the folded sheet in hand with the mark `cover` facing them, upright."""

    def __init__(self, sheet: Sheet, marks: Sequence[Mark], cover: str) -> None:
        self.sheet, self.marks = sheet, {(sheet.facet_at(m.middle), m.side): m for m in marks}
        self.cover = next(m for m in marks if m.name == cover)
        self.cover_facet = sheet.facet_at(self.cover.middle)

    def leaf_by_leaf(self) -> list[Seen]:
        """The marks in the order in which leaves are turned, from the cover to the back."""
        (order,) = self.sheet.layerings()
        view = self._view(frozenset(), self.cover.side)
        stack = self._from_top(order, view)
        self._check_cover(stack)
        seen: list[Seen] = []
        for facet in stack:
            sides = ("front", "back") if faces_up(view[facet]) else ("back", "front")
            seen += [self._seen(self.marks[facet, s], view) for s in sides if (facet, s) in self.marks]
        self._check_spine(stack, view)
        return seen

    def unfolding(self) -> list[list[Seen]]:
        """What comes into view, from left to right: cover; as each crease opens; as the sheet is turned."""
        (order,) = self.sheet.layerings()
        folded = self._view(frozenset(), self.cover.side)
        stack = self._from_top(order, folded)
        self._check_cover(stack)
        views = [[self._seen(self.cover, folded)]]
        met = {self.cover.name}
        opened: frozenset[Edge] = frozenset()
        inner = "back" if self.cover.side == "front" else "front"
        # Creases open from the cover inwards; what is being read stays facing the reader.
        for edge in sorted(self.sheet.edges, key=lambda e: min(stack.index(e.one), stack.index(e.other))):
            opened |= {edge}
            views.append(self._new(opened, inner, met))
        views.append(self._new(opened, self.cover.side, met))
        return views

    def _new(self, opened: frozenset[Edge], side: str, met: set[str]) -> list[Seen]:
        view = self._view(opened, side)
        stack = self._from_top(self.sheet.layerings(opened)[0], view)
        found = []
        for level, facet in enumerate(stack):
            middle = _middle(self.sheet.box(facet, view))
            hidden = any(_inside(middle, self.sheet.box(upper, view)) for upper in stack[:level])
            mark = self.marks.get((facet, "front" if faces_up(view[facet]) else "back"))
            if mark and not hidden and mark.name not in met:
                found.append(self._seen(mark, view))
                met.add(mark.name)
        return sorted(found, key=lambda seen: seen.x)

    def _view(self, opened: frozenset[Edge], side: str) -> list[Matrix]:
        """Facets carried so that this side of the cover's facet looks at the reader, its head up."""
        carried = self.sheet.carried(opened)
        front_up = faces_up(carried[self.cover_facet])
        if front_up != (side == "front"):
            carried = [times((-1.0, 0.0, 0.0, 1.0, 0.0, 0.0), m) for m in carried]
        ux, uy = self._up(self.cover, carried)
        # Turn in the plane until the cover's head points to −y; a leaf turned about an upright axis keeps it.
        turn: Matrix = (-uy, -ux, ux, -uy, 0.0, 0.0)
        return [times(turn, m) for m in carried]

    def _from_top(self, order: Sequence[int], view: Sequence[Matrix]) -> list[int]:
        """The layers from the reader's side; order is lowest first with facet 0's front up."""
        return list(reversed(order)) if faces_up(view[0]) else list(order)

    def _up(self, mark: Mark, view: Sequence[Matrix]) -> tuple[float, float]:
        a, b, c, d, _, _ = view[self.sheet.facet_at(mark.middle)]
        return a * mark.up[0] + c * mark.up[1], b * mark.up[0] + d * mark.up[1]

    def _seen(self, mark: Mark, view: Sequence[Matrix]) -> Seen:
        ux, uy = self._up(mark, view)
        x, _ = apply(view[self.sheet.facet_at(mark.middle)], *mark.middle)
        return Seen(mark.name, x, abs(ux) < EPS and abs(uy + 1) < EPS)

    def _check_cover(self, stack: Sequence[int]) -> None:
        if stack[0] != self.cover_facet:
            raise Unreadable("the cover lies inside")

    def _check_spine(self, stack: Sequence[int], view: Sequence[Matrix]) -> None:
        """Facing pages hang together at the left edge of the stack, where a book has its spine."""
        left = min(self.sheet.box(facet, view)[0] for facet in stack)
        for upper, lower in zip(stack, stack[1:], strict=False):
            below = (upper, "back" if faces_up(view[upper]) else "front")
            top = (lower, "front" if faces_up(view[lower]) else "back")
            if below in self.marks and top in self.marks:
                (edge,) = (e for e in self.sheet.edges if {e.one, e.other} == {upper, lower})
                ends = [apply(view[upper], *edge.start)[0], apply(view[upper], *edge.end)[0]]
                if max(abs(x - left) for x in ends) > EPS:
                    raise Unreadable("the book opens on the wrong side")


def printed(point: tuple[float, float], width: float, height: float, duplex: str) -> tuple[float, float]:
    """Where a printer that turns the sheet on that edge puts a point of the second page, from the front."""
    about_vertical_axis = (duplex == "long") == (height > width)
    return (width - point[0], point[1]) if about_vertical_axis else (point[0], height - point[1])


def _covers(line: tuple[tuple[float, float], ...], part: tuple[tuple[float, float], ...]) -> bool:
    (ax, ay), (bx, by) = line
    inside = [
        min(ax, bx) - EPS <= x <= max(ax, bx) + EPS and min(ay, by) - EPS <= y <= max(ay, by) + EPS
        for x, y in part
    ]
    return all(inside)


def _orders(count: int, above: set[tuple[int, int]], done: tuple[int, ...] = ()) -> Iterator[list[int]]:
    """All orders of the facets in which the lower of each pair comes first."""
    if len(done) == count:
        yield list(done)
        return
    for facet in range(count):
        if facet not in done and all(low in done for low, high in above if high == facet):
            yield from _orders(count, above, (*done, facet))


def _middle(box: tuple[float, float, float, float]) -> tuple[float, float]:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _inside(point: tuple[float, float], box: tuple[float, float, float, float]) -> bool:
    return box[0] < point[0] < box[2] and box[1] < point[1] < box[3]
