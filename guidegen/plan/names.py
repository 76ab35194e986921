"""A plan with names at the ends of its leaders: the vehicle upright between two columns of labels.

The leaders are those of the arrangement that the numbers run round, larger and each led on to its label. So
the labels follow each other as the numbers do, and no two leaders cross. A crowd of points stands enlarged
in its column, its names beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.paper.text import TextStyle, balance
from guidegen.plan.arrange import MARKER_MM, Arrangement
from guidegen.plan.callouts import Box
from guidegen.plan.columns import spaced
from guidegen.plan.derived import upright
from guidegen.plan.frame import Frame
from guidegen.plan.insets import Detail
from guidegen.plan.labels import Label, led, meeting, mended, straightened
from guidegen.plan.markers import INK
from guidegen.plan.named_crowds import PAD_MM, NamedCrowd, frame_width, named_crowd
from guidegen.vehicle.layout import Layout

LABEL = TextStyle(10.0, "regular", INK, 1.2, "en")
MARK_MM = 4.4  # within a label, before its text
_WIDEST_MM = 56.0  # of a text in one line
_NARROWEST_MM = 40.0  # of a column
_GAP_MM = 1.2  # between labels
_BESIDE_MM = 16.0  # least room between body and column: mirrors stand there
_BEYOND_MM = 12.0  # least room before the front and behind the rear
_EXCHANGES = 4  # rounds in which neighbours in a column may change places
_HOPELESS = 12  # clashes, with which no mending is tried
_LARGEST = 1.7  # times the numbered arrangement
_RING_MM = 7.6  # from the body to the first row of numbered badges, at their middle
# Labels that change columns at the front and at the rear, where a column is too full or its leaders meet.
_CHANGES = ((0, 0), (0, 1), (0, -1), (1, 0), (-1, 0))
_REACH_MM = 25.0  # how far a leader goes up or down in the margin, if it may choose


class Crowd(Struct, frozen=True):
    """An enlarged crowd: its frame and leader as a label, and what stands in the frame, in its own mm.

    source: the frame on the plan of what it enlarges.
    """

    label: Label
    named: NamedCrowd
    source: Box


class NamesPlan(Struct, frozen=True):
    """A plan between its columns of labels, in mm of the page."""

    frame: Frame
    ratio: int
    labels: tuple[Label, ...]
    crowds: tuple[Crowd, ...]
    columns: tuple[Box, Box]


class _Entry(Struct, frozen=True):
    """What is to stand in a column: where its leader comes from and bends, and its height."""

    key: str
    place: Point
    radius: float
    bend: Point
    lines: tuple[str, ...]
    height: float
    crowd: Detail | None = None
    source: Box = (0.0, 0.0, 0.0, 0.0)


class _Crowds:
    """The crowds' frames, each laid out once for either column."""

    def __init__(self, names: Mapping[str, str], width: float) -> None:
        self._names, self._width = names, width
        self._known: dict[tuple[str, bool], NamedCrowd | None] = {}

    def on(self, crowd: Detail, left: bool) -> NamedCrowd | None:
        key = (crowd.letter, left)
        if key not in self._known:
            self._known[key] = named_crowd(crowd, self._names, self._width, left)
        return self._known[key]


def names_plan(found: Arrangement, layout: Layout, names: Mapping[str, str], page: Box) -> NamesPlan | None:
    """The plan of a landscape arrangement as large as its labels allow in a box of the page.

    names: what the label of each point says. None when the labels have no room.
    """
    turned = upright(found, (0.0, 0.0))
    texts = {key: _lines(name, LABEL, _WIDEST_MM) for key, name in names.items()}
    width = _column_width(turned, texts)
    crowds = _Crowds(names, width)
    for ratio in range(math.ceil(found.ratio / _LARGEST), found.ratio + 1):
        frame = _frame(turned, layout, ratio, page, width)
        if frame is None:
            continue
        entries = _round(turned, frame, layout, texts)
        for in_turn in (_as_numbered(entries, found.order), entries):
            plan = _in_order(in_turn, frame, ratio, page, width, crowds)
            if plan:
                return plan
    return None


def _in_order(
    entries: Sequence[tuple[float, _Entry]],
    frame: Frame,
    ratio: int,
    page: Box,
    width: float,
    crowds: _Crowds,
) -> NamesPlan | None:
    """The plan with its labels in this order, but for neighbours whose leaders would meet."""
    for front, rear in _CHANGES:
        sides = _sides(entries, front, rear)
        exchanged: set[frozenset[str]] = set()
        for _ in range(_EXCHANGES):
            plan = _filled(sides, frame, ratio, page, width, crowds)
            if isinstance(plan, NamesPlan):
                return _put_back(plan, exchanged, sides, page, width, crowds)
            if not _exchange(sides, plan, exchanged):
                break
    return None


def _put_back(
    plan: NamesPlan,
    exchanged: Iterable[frozenset[str]],
    sides: tuple[list[_Entry], list[_Entry]],
    page: Box,
    width: float,
    crowds: _Crowds,
) -> NamesPlan:
    """The plan without those exchanges that the others made needless."""
    for pair in sorted(exchanged, key=sorted):
        _exchange(sides, [pair], set())
        again = _filled(sides, plan.frame, plan.ratio, page, width, crowds)
        if isinstance(again, NamesPlan):
            plan = again
        else:
            _exchange(sides, [pair], set())
    return plan


def _lines(text: str, style: TextStyle, width: float) -> tuple[str, ...]:
    return tuple(line.text for line in balance(text, width, style))


def _column_width(turned: Arrangement, texts: Mapping[str, tuple[str, ...]]) -> float:
    """As wide as the widest label, and as an enlarged crowd with its names."""
    label = max((LABEL.width_mm(line) for lines in texts.values() for line in lines), default=0.0)
    return max(_NARROWEST_MM, label + MARK_MM + 2 * PAD_MM, frame_width(turned.details))


def _frame(turned: Arrangement, layout: Layout, ratio: int, page: Box, width: float) -> Frame | None:
    """The vehicle in the middle of the page, None when it leaves too little room."""
    x, y, page_width, page_height = page
    scale = 1 / ratio
    across, along = layout.width * scale, (layout.length + layout.drawbar) * scale
    if page_width - across < 2 * (width + _BESIDE_MM) or page_height - along < 2 * _BEYOND_MM:
        return None
    top = y + (page_height - along) / 2 + layout.drawbar * scale
    return replace(turned.frame, scale=scale, x=x + (page_width - across) / 2, y=top)


def _round(
    turned: Arrangement, frame: Frame, layout: Layout, texts: Mapping[str, tuple[str, ...]]
) -> list[tuple[float, _Entry]]:
    """All callouts by their turn clockwise about the body's middle, from the middle of the rear on."""
    by = frame.scale / turned.frame.scale
    middle = frame.at(layout.length / 2, layout.width / 2)

    def on_page(p: Point) -> Point:
        return (
            frame.x + (p[0] - turned.frame.x) * by,
            frame.y + (p[1] - turned.frame.y) * by,
        )

    x, y = frame.x - _RING_MM * by, frame.y - (layout.drawbar * frame.scale) - _RING_MM * by
    along = (layout.length + layout.drawbar) * frame.scale + 2 * _RING_MM * by
    ring = (x, y, layout.width * frame.scale + 2 * _RING_MM * by, along)
    crowds = {f"inset:{d.letter}": d for d in turned.details}
    found = []
    for c in turned.placement.callouts:
        crowd = crowds.get(c.key)
        source = crowd.source if crowd else (*turned.places[c.key], 0.0, 0.0)
        place = on_page((source[0] + source[2] / 2, source[1] + source[3] / 2))
        bend = _within(ring, place, on_page((c.x, c.y)))
        if crowd is None:
            lines = texts[c.key]
            high = len(lines) * LABEL.line_mm + 1.2
            entry = _Entry(c.key, place, MARKER_MM, bend, lines, high)
        else:
            _, _, w, h = source
            framed = (*on_page((source[0], source[1])), w * by, h * by)
            entry = _Entry(c.key, place, min(w, h) / 2 * by, bend, (), 0.0, crowd, framed)
        found.append((math.atan2(middle[0] - bend[0], bend[1] - middle[1]) % math.tau, entry))
    return sorted(found, key=lambda one: one[0])


def _as_numbered(entries: Sequence[tuple[float, _Entry]], order: Sequence[str]) -> list[tuple[float, _Entry]]:
    """The callouts as the numbers follow each other, from the one next to the middle of the rear on."""
    rank = {key: n for n, key in enumerate(order)}

    def first(entry: _Entry) -> int:
        return min(rank[k] for k in (entry.crowd.keys if entry.crowd else (entry.key,)))

    start = first(entries[0][1]) if entries else 0
    turns = sorted(turn for turn, _ in entries)
    in_turn = sorted((e for _, e in entries), key=lambda e: (first(e) - start) % len(order))
    return list(zip(turns, in_turn, strict=True))


def _within(box: Box, start: Point, end: Point) -> Point:
    """The end, or where the way to it from a start in the box leaves the box."""
    share = 1.0
    for low, size, a, b in ((box[0], box[2], start[0], end[0]), (box[1], box[3], start[1], end[1])):
        if b < low and a > low:
            share = min(share, (a - low) / (a - b))
        elif b > low + size > a:
            share = min(share, (low + size - a) / (b - a))
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)


def _sides(
    entries: Sequence[tuple[float, _Entry]], front: int, rear: int
) -> tuple[list[_Entry], list[_Entry]]:
    """Left and right from above downwards; so many change over at the front and at the rear."""
    ordered = [entry for _, entry in entries]
    half = sum(turn < math.pi for turn, _ in entries) + front
    left, right = ordered[max(0, half - len(ordered)) : max(0, half)], ordered[max(0, half) :]
    if rear > 0:
        right, left = right + left[:rear], left[rear:]
    elif rear < 0:
        left, right = right[rear:] + left, right[:rear]
    return left[::-1], right


def _exchange(
    sides: tuple[list[_Entry], list[_Entry]],
    meeting: Iterable[Iterable[str]],
    done: set[frozenset[str]],
) -> bool:
    """Exchanges neighbours in a column whose leaders meet, once only; whether there were any."""
    wanted = {frozenset(pair) for pair in meeting} - done
    changed = False
    for side in sides:
        for n in range(len(side) - 1):
            pair = frozenset((side[n].key, side[n + 1].key))
            if pair in wanted:
                side[n], side[n + 1] = side[n + 1], side[n]
                done.add(pair)
                changed = True
    return changed


def _filled(
    sides: tuple[list[_Entry], list[_Entry]],
    frame: Frame,
    ratio: int,
    page: Box,
    width: float,
    crowds: _Crowds,
) -> NamesPlan | list[tuple[str, str]]:
    """Both columns with their labels, or the pairs whose leaders meet; none when the labels have no room."""
    x, y, page_width, page_height = page
    columns = ((x, y, width, page_height), (x + page_width - width, y, width, page_height))
    labels: list[Label] = []
    shown: dict[str, NamedCrowd] = {}
    sources = {entry.key: entry.source for side in sides for entry in side if entry.crowd}
    for side, column, edge in zip(sides, columns, (x + width, x + page_width - width), strict=True):
        for entry in side:
            if entry.crowd:
                crowd = crowds.on(entry.crowd, column is columns[0])
                if crowd is None:
                    return []
                shown[entry.key] = crowd
        heights = [shown[e.key].detail.height if e.crowd else e.height for e in side]
        wanted = [_aim(e, edge) for e in side]
        starts = spaced(heights, wanted, y, y + page_height, _GAP_MM)
        if starts is None:
            return []
        for entry, start, high in zip(side, starts, heights, strict=True):
            box = (column[0], start, width, high)
            label = Label(entry.key, entry.place, entry.radius, box, (), entry.lines)
            labels.append(led(label, entry.bend, (edge, start + high / 2)))
    labels = straightened(labels)
    if len(meeting(labels)) > _HOPELESS:
        return []
    labels = mended(labels)
    if left := meeting(labels):
        return left
    return NamesPlan(
        frame,
        ratio,
        tuple(label for label in labels if label.key not in shown),
        tuple(Crowd(label, shown[label.key], sources[label.key]) for label in labels if label.key in shown),
        columns,
    )


def _aim(entry: _Entry, edge: float) -> float:
    """Where a leader that went straight on would meet the edge of the column."""
    (x, y), (bx, by) = entry.place, entry.bend
    run = bx - x
    if abs(run) < 1e-6 or (edge - bx) * run <= 0:
        return by + math.copysign(_REACH_MM, by - y) * 0.4
    rise = (by - y) / run * (edge - bx)
    return by + max(-_REACH_MM, min(_REACH_MM, rise))
