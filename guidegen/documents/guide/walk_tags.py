"""Where the numbers of a walk's stops stand on its map: near their stop, off the way, none over another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from guidegen.drawing.boxes import Box, grown
from guidegen.drawing.primitives import Point
from guidegen.plan.callouts.paths import point_to_segment

Line = tuple[Point, Point]
Sides = tuple[float, float, float, float]  # left, right, top, foot

_CELL_MM = 0.5
_GAPS_MM = (0.9, 1.8, 3.2, 5.0, 7.5, 10.5, 14.0, 18.0, 23.0, 29.0)  # between a stop's dot and its number
_NEXT_TO_MM = _GAPS_MM[0]  # so near no leader is needed
_SHARES = (0.5, 0.25, 0.75, 0.0, 1.0)  # of a number's width that lies to the left of its stop
_APART_MM = 0.7  # between two numbers, and between one and another stop's dot
# What counts against a place, in mm of distance: each cell of the way that a number covers, each piece of it
# that its leader crosses, that it lies nearer the map's middle than its stop, each dot or leader that its
# leader crosses, and one number over another or over a dot; without a leader, each dot that is as near; a
# ring that a number covers; each mm² of a number that lies in the vehicle where its stop does not, or out of
# it where its stop is inside.
_COVERED, _CROSSED, _INWARDS, _POOR, _NEVER, _MISTAKEN, _HIDDEN = 1.5, 1.0, 0.3, 30.0, 300.0, 2.5, 9.0
_WITHIN, _WITHOUT = 1.2, 0.2
_WELL, _POORLY = 1.75, 5.0  # stands a number against which less counts, and more
_TURNS = 4  # to choose
_TRIED = 60  # places for a number that lies over another, others making way
_NOWHERE: Sides = (math.inf, -math.inf, math.inf, -math.inf)


class Stand(Struct, frozen=True):
    """A number's box, and the line to it from the stop's dot; none where they are next to each other."""

    box: Box
    leader: Line | None
    span: Sides  # of the leader
    reach: Sides  # of both
    away: float  # what counts against the place in itself, in mm: its distance and what it covers


def beside_way(
    stops: Sequence[Point],
    sizes: Sequence[tuple[float, float]],
    ways: Sequence[Sequence[Point]],
    room: tuple[float, float],
    dot_mm: float,
    rings: Sequence[Point] = (),
    body: Box = (0.0, 0.0, 0.0, 0.0),
) -> list[Stand]:
    """A stand for each stop's number of that size (width, height), within the room and as near as can be.

    ways: what is to stay in sight, besides the dots of that radius and rings no larger. body: of the vehicle;
    a number stands in it or out of it as its stop does. Those with the most about them choose first, and
    again those that do not stand well, until all stand as they like. Then one that stands poorly takes the
    place it likes best from others, where with their next best all stand better together; one that lies over
    another, one place after the other.
    """
    pieces = list(dict.fromkeys(piece for way in ways for piece in pairwise(way)))
    rows, spans = _rows(pieces), [(piece, _span(piece)) for piece in pieces]
    crowd = [sum(math.dist(a, b) < 3 * w for b in stops) for a, (w, _) in zip(stops, sizes, strict=True)]
    order = sorted(range(len(stops)), key=lambda n: (-crowd[n], -sizes[n][0], n))
    around = [
        _Around(rows, body, _holds(body, stop), *_near(n, stops, sizes[n], spans, rings, dot_mm), dot_mm)
        for n, stop in enumerate(stops)
    ]
    found: dict[int, Stand] = {}

    def chosen(n: int, among: dict[int, Stand]) -> Stand:
        others = [one for m, one in among.items() if m != n]
        return _best(stops[n], sizes[n], room, around[n], others, among.get(n))

    def count(n: int, among: dict[int, Stand]) -> float:
        return among[n].away + around[n].cost(among[n], [one for m, one in among.items() if m != n])

    def bettered(n: int, stand: Stand, found: dict[int, Stand]) -> dict[int, Stand]:
        """With one at that stand and those in its way at their next best, where all then stand better."""
        tried = {**found, n: stand}
        taken = grown(stand.box, _APART_MM)
        those = [m for m in order if m == n or boxes_meet(taken, found[m].box)]
        for m in those:
            if m != n:
                tried[m] = chosen(m, tried)
        better = sum(count(m, tried) for m in those) < sum(count(m, found) for m in those)
        return tried if better else found

    for turn in range(_TURNS):
        before = dict(found)
        for n in order:
            if not turn or count(n, found) > _WELL:
                found[n] = chosen(n, found)
        if found == before:
            break
    for n in order:
        if count(n, found) >= _POORLY:
            found = bettered(n, chosen(n, {}), found)
    for n in (n for n in order if count(n, found) >= _NEVER):  # it lies over another
        for stand in _by_cost(stops[n], sizes[n], room, around[n])[:_TRIED]:
            found = bettered(n, stand, found)
            if count(n, found) < _NEVER:
                break
    return [found[n] for n in range(len(stops))]


def _near(
    n: int,
    stops: Sequence[Point],
    size: tuple[float, float],
    pieces: Sequence[tuple[Line, Sides]],
    rings: Sequence[Point],
    dot_mm: float,
) -> tuple[list[tuple[Line, Sides]], list[Point], list[Point]]:
    """Pieces of the way, other stops and rings that can be in the way of a number or its leader."""
    far = dot_mm + _GAPS_MM[-1]
    near = far + 2 * max(size)
    x, y = stops[n]
    about = (x - far, x + far, y - far, y + far)
    return (
        [(piece, its) for piece, its in pieces if _meet(about, its)],
        [stop for m, stop in enumerate(stops) if m != n and math.dist(stop, stops[n]) < near],
        [ring for ring in rings if math.dist(ring, stops[n]) < near],
    )


class _Around(Struct, frozen=True):
    """What a number and its leader should not cover."""

    rows: Sequence[int]  # the cells of the way: for each row the columns as bits
    body: Box  # of the vehicle
    inside: bool  # whether the stop is
    pieces: Sequence[tuple[Line, Sides]]  # of the way
    dots: Sequence[Point]
    rings: Sequence[Point]
    dot_mm: float

    def covered(self, box: Box, most: float) -> float:
        """What counts against a number's box for what it covers; a part of it where that is over `most`."""
        near = _APART_MM / 2
        x, y, w, h = framed = grown(box, near)
        within = _shared(framed, self.body)
        cost = _WITHOUT * (w * h - within) if self.inside else _WITHIN * within
        if cost > most:
            return cost
        first = _cell(x)
        mask = (1 << _cell(x + w) - first + 1) - 1
        rows = self.rows[_cell(y) : _cell(y + h) + 1]
        cost += _COVERED * sum([(row >> first & mask).bit_count() for row in rows])
        if cost > most:
            return cost
        wider = grown(box, self.dot_mm + near)
        return cost + _NEVER * _held(wider, self.dots) + _HIDDEN * _held(wider, self.rings)

    def cost(self, stand: Stand, others: Sequence[Stand], most: float = math.inf) -> float:
        """What else counts against a stand; a part of it where that is over `most`."""
        near = _APART_MM / 2
        x, y, w, h = wider = grown(stand.box, _APART_MM)
        right, foot = x + w, y + h
        boxes = [one.box for one in others]
        cost = _NEVER * sum([a < right and x < a + c and b < foot and y < b + d for a, b, c, d in boxes])
        if cost > most:
            return cost
        leaders = [(one.leader, one.span) for one in others if one.leader]
        about = (x, right, y, foot)
        cost += _NEVER * sum([_runs_into(wider, leader) for leader, its in leaders if _meet(about, its)])
        line = stand.leader
        if not line:
            wider = grown(stand.box, self.dot_mm + _NEXT_TO_MM)
            return cost + _MISTAKEN * _held(wider, self.dots)
        if cost > most:
            return cost
        left, right, top, foot = stand.span
        by = self.dot_mm + near
        dots = [(x, y) for x, y in self.dots if left - by < x < right + by and top - by < y < foot + by]
        cost += _NEVER * sum([point_to_segment(dot, *line) < by for dot in dots])
        boxes = [
            (x - near, y - near, w + 2 * near, h + 2 * near)
            for x, y, w, h in boxes
            if x - near <= right and left <= x + w + near and y - near <= foot and top <= y + h + near
        ]
        cost += _NEVER * sum([_runs_into(box, line) for box in boxes])
        cost += _POOR * sum([_cut(line, other) for other, its in leaders if _meet(stand.span, its)])
        return cost + _CROSSED * sum(
            [_cut(line, piece) for piece, its in self.pieces if _meet(stand.span, its)]
        )


def _best(
    stop: Point,
    size: tuple[float, float],
    room: tuple[float, float],
    around: _Around,
    others: Sequence[Stand],
    now: Stand | None,
) -> Stand:
    """The best stand, the one it has if none is better; on the stop itself where the room holds none."""
    dot_mm = around.dot_mm
    best, found = math.inf, _stand(stop, (stop[0], stop[1], *size), dot_mm, False, math.inf)
    if now:
        best, found = now.away + around.cost(now, others), now
    for gap in _GAPS_MM:
        if best <= gap:
            break
        near = _within_reach(stop, size, dot_mm + gap, others)
        for box, apart, inwards in _places(stop, size, room, dot_mm, gap):
            if apart >= best:
                continue
            away = apart + inwards
            away += around.covered(box, best - away)
            if away >= best:
                continue
            stand = _stand(stop, box, dot_mm, gap > _NEXT_TO_MM, away)
            cost = away + around.cost(stand, near, best - away)
            if cost < best:
                best, found = cost, stand
    return found


def _within_reach(
    stop: Point, size: tuple[float, float], away: float, others: Sequence[Stand]
) -> list[Stand]:
    """Those that a number so far from its stop, or its leader, can meet."""
    (x, y), (w, h) = stop, size
    wide, high = away + w + _APART_MM, away + h + _APART_MM
    about = (x - wide, x + wide, y - high, y + high)
    return [one for one in others if _meet(about, one.reach)]


def _by_cost(
    stop: Point, size: tuple[float, float], room: tuple[float, float], around: _Around
) -> list[Stand]:
    """All stands in the room, those first against which least counts while no others stand there."""
    found = []
    for gap in _GAPS_MM:
        for box, apart, inwards in _places(stop, size, room, around.dot_mm, gap):
            away = apart + inwards + around.covered(box, math.inf)
            found.append(_stand(stop, box, around.dot_mm, gap > _NEXT_TO_MM, away))
    return sorted(found, key=lambda stand: stand.away + around.cost(stand, ()))


def _places(
    stop: Point, size: tuple[float, float], room: tuple[float, float], dot_mm: float, gap: float
) -> Iterator[tuple[Box, float, float]]:
    """Places in the room that far from a stop's dot, with what distance and lying further inwards cost."""
    for box, aside in _boxes(stop, size, dot_mm + gap):
        x, y, w, h = box
        if x >= 0 and y >= 0 and x + w <= room[0] and y + h <= room[1]:
            inwards = abs(y + h / 2 - room[1] / 2) < abs(stop[1] - room[1] / 2)
            yield box, gap + aside, _INWARDS * inwards


def _boxes(stop: Point, size: tuple[float, float], away: float) -> Iterator[tuple[Box, float]]:
    """Places for a number so far from a stop, and what each costs: beside it, and at a slant."""
    (x, y), (w, h) = stop, size
    for share in _SHARES:
        for top in (y - away - h, y + away):
            yield (x - share * w, top, w, h), abs(share - 0.5)
    for share in (0.5, 0.0, 1.0):
        for left in (x - away - w, x + away):
            yield (left, y - share * h, w, h), abs(share - 0.5)
    slant = away * math.sqrt(0.5)
    for left in (x - slant - w, x + slant):
        for top in (y - slant - h, y + slant):
            yield (left, top, w, h), 0.6


def _stand(stop: Point, box: Box, dot_mm: float, led: bool, away: float) -> Stand:
    x, y, w, h = box
    if not led:
        return Stand(box, None, _NOWHERE, (x, x + w, y, y + h), away)
    end = (min(max(stop[0], x + 0.5), x + w - 0.5), min(max(stop[1], y + 0.5), y + h - 0.5))
    share = dot_mm / math.dist(stop, end)
    start = (stop[0] + share * (end[0] - stop[0]), stop[1] + share * (end[1] - stop[1]))
    left, right, top, foot = span = _span((start, end))
    reach = (min(left, x), max(right, x + w), min(top, y), max(foot, y + h))
    return Stand(box, (start, end), span, reach, away)


def _rows(pieces: Sequence[Line]) -> list[int]:
    """The cells that pieces of the way run through, as bits by row; beyond the last row there are none."""
    found = [0] * (1 + _cell(max((y for piece in pieces for _, y in piece), default=0.0)))
    for (x1, y1), (x2, y2) in pieces:
        steps = math.ceil(1.5 * math.dist((x1, y1), (x2, y2)) / _CELL_MM) or 1
        dx, dy = x2 - x1, y2 - y1
        first = 0
        for row, last in _row_ends(y1, dy, steps):
            a, b = _cell(x1 + dx * first / steps), _cell(x1 + dx * last / steps)  # no step passes a cell
            cells = (1 << b + 1) - (1 << a) if a < b else (1 << a + 1) - (1 << b)
            on_map = row if row > 0 else 0  # as _cell says
            found[on_map] |= cells
            first = last + 1
    return found


def _row_ends(y: float, dy: float, steps: int) -> Iterator[tuple[int, int]]:
    """The rows that a piece runs through, each with the last of its steps there."""
    before = int(y / _CELL_MM)
    if dy:  # else it stays in its row
        for n in range(1, steps + 1):
            row = int((y + dy * n / steps) / _CELL_MM)
            if row != before:
                yield before, n - 1
                before = row
    yield before, steps


def _cell(mm: float) -> int:
    """The number of a row or column; what lies beyond the map counts as its edge."""
    return int(mm / _CELL_MM) if mm > 0 else 0


def _held(box: Box, points: Sequence[Point]) -> int:
    """How many of the points a box holds."""
    x, y, w, h = box
    right, foot = x + w, y + h
    return sum([x < px < right and y < py < foot for px, py in points])


def _holds(box: Box, point: Point) -> bool:
    x, y, w, h = box
    return x < point[0] < x + w and y < point[1] < y + h


def _span(line: Line) -> Sides:
    (x, y), (x2, y2) = line
    return (x if x < x2 else x2, x2 if x < x2 else x, y if y < y2 else y2, y2 if y < y2 else y)


def _meet(a: Sides, b: Sides) -> bool:
    """Whether two boxes touch."""
    return a[0] <= b[1] and b[0] <= a[1] and a[2] <= b[3] and b[2] <= a[3]


def _shared(a: Box, b: Box) -> float:
    """The area that two boxes share."""
    (x, y, w, h), (x2, y2, w2, h2) = a, b
    wide = min(x + w, x2 + w2) - max(x, x2)
    high = min(y + h, y2 + h2) - max(y, y2)
    return wide * high if wide > 0 and high > 0 else 0.0


def boxes_meet(a: Box, b: Box) -> bool:
    """Whether two boxes share some area."""
    return a[0] < b[0] + b[2] and b[0] < a[0] + a[2] and a[1] < b[1] + b[3] and b[1] < a[1] + a[3]


def _runs_into(box: Box, line: Line) -> bool:
    """Whether a line ends in a box or crosses one of its diagonals."""
    x, y, w, h = box
    (x1, y1), (x2, y2) = line
    if max(x1, x2) < x or min(x1, x2) > x + w or max(y1, y2) < y or min(y1, y2) > y + h:
        return False
    if _holds(box, line[0]) or _holds(box, line[1]):
        return True
    return _cut(line, ((x, y), (x + w, y + h))) or _cut(line, ((x + w, y), (x, y + h)))


def _cut(one: Line, other: Line) -> bool:
    """Whether two lines cross."""
    return _parts(one, other) and _parts(other, one)


def _parts(one: Line, other: Line) -> bool:
    """Whether the ends of the other lie on both sides of a line."""
    (x, y), (x2, y2) = one
    dx, dy = x2 - x, y2 - y
    (x3, y3), (x4, y4) = other
    return (dx * (y3 - y) - dy * (x3 - x)) * (dx * (y4 - y) - dy * (x4 - x)) < 0
