"""The map of a walk: a faded floor plan, the way in order of walking, and the stops numbered along it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import combinations, groupby

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.walk_arrows import arrow_heads
from guidegen.documents.guide.walk_tags import Stand, beside_way, boxes_meet
from guidegen.documents.parts import INK
from guidegen.drawing.boxes import Box
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Circle, Colour, Item, Line, Point, Rect, Style, Text, moved
from guidegen.paper.blocks import Drawing
from guidegen.paper.text import TextStyle
from guidegen.plan.frame import Frame
from guidegen.sequence.model import PlannedSequence
from guidegen.vehicle.layout import XY, Area

_RATIOS = (40, 45, 50, 55, 60, 65, 70, 75, 80, 90, 100, 110, 120)  # all maps of a guide come out alike
_POST = "Pitch supply"
_AROUND_MM = 1200.0  # of the vehicle: further from it nothing is drawn
WAY: Colour = "#1f4e8c"
_BETWEEN_TAGS_MM = 0.45
_BETWEEN_ROWS_MM = 1.5
_TAG_PT = 8.5
_DOT_MM, _RING_MM = 0.9, 0.75  # radius of the dot of a stop, on the way, and of where else its steps lead
_ARROW_MM = 2.3
_LANE_MM = 0.55  # to the right of the way's middle line, so that there and back stand side by side


def stop_tag(text: str, size_pt: float, colour: Colour = INK) -> Drawing:
    """The number of a stop: white on dark in a square, told apart at a glance from the round badges."""
    height = size_pt * 0.45
    style = TextStyle(size_pt, "bold", WHITE)
    width = max(height, style.width_mm(text) + 1.6)
    cap = cap_height_mm(style.size_pt)
    return Drawing(
        items=(
            Rect(0.0, 0.0, width, height, Style(fill=colour), radius=0.5),
            Text(width / 2, height / 2 + cap / 2, text, style.size_pt, "bold", WHITE, "middle"),
        ),
        width=width,
        height=height,
        baseline=height / 2 + cap_height_mm(size_pt) / 2,
        title=f"stop {text}",
    )


def stop_tags(numbers: Sequence[int], size_pt: float) -> Drawing:
    """The numbers of a place's stops side by side, parted so that 1 and 9 are never read as 19."""
    tags = [stop_tag(str(number), size_pt) for number in numbers]
    starts = [sum(tag.width + _BETWEEN_TAGS_MM for tag in tags[:n]) for n in range(len(tags))]
    return replace(
        tags[0],
        items=tuple(moved(tag.items, x, 0.0) for x, tag in zip(starts, tags, strict=True)),
        width=starts[-1] + tags[-1].width,
        title=f"stops {', '.join(map(str, numbers))}",
    )


class WalkMap(Struct, frozen=True, dict=True):
    """A map for a box of width × at most height; its own height is known before it is drawn.

    rows: of numbers for which there is room beyond the way, above the vehicle and below it.
    """

    kit: Kit
    sequence: PlannedSequence
    width: float
    most_height: float
    rows: int = 1

    @cached_property
    def _laid(self) -> tuple[Frame, float]:
        vehicle, layout = self.kit.context.vehicle, self.kit.context.vehicle.layout
        whole = Frame(1.0, 0.0, 0.0, layout.width, "landscape", vehicle.nearside)
        ends = [(-layout.drawbar, 0.0), (layout.length, layout.width)]
        path = [self._nearer(p) for p in self.sequence.path]
        xs, ys = zip(*(whole.at(*p) for p in (*path, *ends)), strict=True)
        tag = stop_tag("1", self._tag_pt).height
        margin = tag + 2 * self._dot_mm + 1.0  # for a number beyond the way
        more = (self.rows - 1) * (tag + _BETWEEN_ROWS_MM)
        posts = [whole.at(*self._nearer(post))[1] for post in self._posts]
        # The number of the pitch supply stands beside it.
        head, foot = (more + (tag / 2 + 0.5 if end in posts else margin) for end in (min(ys), max(ys)))
        length, across = max(xs) - min(xs), max(ys) - min(ys)
        largest = min((self.width - 2 * margin) / length, (self.most_height - head - foot) / across)
        scale = next((1 / n for n in _RATIOS if 1 / n <= largest), largest)
        left = (self.width - length * scale) / 2 - min(xs) * scale
        frame = Frame(scale, left, head - min(ys) * scale, layout.width, "landscape", vehicle.nearside)
        return frame, head + across * scale + foot

    def _nearer(self, p: XY) -> XY:
        """A place of the walk, the pitch supply drawn nearer: nobody knows how far it will be."""
        layout = self.kit.context.vehicle.layout
        return (
            min(max(p[0], -layout.drawbar - _AROUND_MM), layout.length + _AROUND_MM),
            min(max(p[1], -_AROUND_MM), layout.width + _AROUND_MM),
        )

    def _at(self, p: XY) -> Point:
        return self.frame.at(*self._nearer(p))

    @property
    def frame(self) -> Frame:
        return self._laid[0]

    @property
    def height(self) -> float:
        return self._laid[1]

    @property
    def crowded(self) -> bool:
        """Whether a number lies over another, as there is no room for all."""
        return any(boxes_meet(a.box, b.box) for a, b in combinations(self._marks.stands, 2))

    def drawn(self, x: float, y: float) -> tuple[Item, ...]:
        """The map with its corner at x, y."""
        items: list[Item] = [*self.kit.vehicle(self.frame, faded=True)]
        items += self._way()
        items += self._tags()
        return (moved(items, x, y),)

    def _stops(self) -> list[XY]:
        return [
            (steps[0].x, steps[0].y)
            for steps in (list(g) for _, g in groupby(self.sequence.steps, key=lambda s: s.stop))
        ]

    def _legs(self) -> list[tuple[XY, ...]]:
        """The way to each spot where something is done from the one before, the first without."""
        path = self.sequence.path
        legs: list[tuple[XY, ...]] = []
        at = 0
        for stop in (spot for step in self.sequence.steps for spot in step.spots or ((step.x, step.y),)):
            end = next((n for n in range(at, len(path)) if math.dist(path[n], stop) < 1.0), at)
            legs.append(path[at : end + 1])
            at = end
        return legs

    def _elsewhere(self) -> list[Point]:
        """Where one stands for steps at several places, but for the stops' own."""
        stops = [self._at(stop) for stop in self._stops()]
        spots = dict.fromkeys(self._at(spot) for step in self.sequence.steps for spot in step.spots)
        return [spot for spot in spots if all(math.dist(spot, stop) > 2 * self._dot_mm for stop in stops)]

    @cached_property
    def _ways(self) -> list[list[Point]]:
        """The way to each spot from the one before it, on paper."""
        return [
            _in_lane(_straightened([self._at(p) for p in leg]), _LANE_MM * self._bold)
            for leg in self._legs()
            if leg
        ]

    def _way(self) -> Iterator[Item]:
        ways = [points for points in self._ways if len(points) > 1]
        bold = self._bold
        for style in (Style(stroke=WHITE, width_mm=1.1 * bold), Style(stroke=WAY, width_mm=0.5 * bold)):
            yield from (Line(tuple(points), style) for points in ways)
        marks = self._marks
        taken = [_framed(one.box) for one in marks.stands]
        for points, r in ((marks.dots, self._dot_mm), (marks.rings, _RING_MM * bold)):
            taken += [(x - r, y - r, 2 * r, 2 * r) for x, y in points]
        for head in arrow_heads(ways, _ARROW_MM * bold, taken):
            yield Line(head, Style(fill=WAY, stroke=WHITE, width_mm=0.2), closed=True)

    @cached_property
    def _marks(self) -> _Marks:
        """The numbers of the stops stand beside the way and off the vehicle's wall."""
        at: dict[XY, list[int]] = {}
        for number, stop in enumerate(self._stops(), 1):
            at.setdefault(stop, []).append(number)
        tags = [self._tag(stop, numbers) for stop, numbers in at.items()]
        dots, rings = [self._at(stop) for stop in at], self._elsewhere()
        sizes = [(tag.width, tag.height) for tag in tags]
        room, layout = (self.width, self.height), self.kit.context.vehicle.layout
        body = self.frame.box(Area(0.0, 0.0, layout.length, layout.width))
        stands = beside_way(dots, sizes, self._ways, room, self._dot_mm, rings, body)
        return _Marks(tuple(dots), tuple(rings), tuple(tags), tuple(stands))

    def _tags(self) -> Iterator[Item]:
        """A dot for each place where one stops and, beside it and the way, the numbers of its stops."""
        marks = self._marks
        for x, y in marks.rings:
            yield Circle(
                x, y, _RING_MM * self._bold, Style(fill=WHITE, stroke=WAY, width_mm=0.3 * self._bold)
            )
        for x, y in marks.dots:
            yield Circle(x, y, self._dot_mm, Style(fill=WAY, stroke=WHITE, width_mm=0.3))
        for tag, stand in zip(marks.tags, marks.stands, strict=True):
            if stand.leader:
                yield Line(stand.leader, Style(stroke=WHITE, width_mm=0.9))
                yield Line(stand.leader, Style(stroke=INK, width_mm=0.25))
            yield Rect(*_framed(stand.box), Style(fill=WHITE), radius=0.8)
            yield moved(tag.items, *stand.box[:2])

    def _tag(self, stop: XY, numbers: Sequence[int]) -> Drawing:
        """The numbers of a place; those of the pitch supply behind its name."""
        tag = stop_tags(numbers, self._tag_pt)
        if stop not in self._posts:
            return tag
        style = self.kit.look.small
        left = style.width_mm(_POST) + 1.2
        name = Text(
            0.0, (tag.height + cap_height_mm(style.size_pt)) / 2, _POST, style.size_pt, "regular", INK
        )
        return replace(tag, items=(name, moved(tag.items, left, 0.0)), width=left + tag.width)

    @property
    def _tag_pt(self) -> float:
        return _TAG_PT * self.kit.look.drawing_scale

    @property
    def _bold(self) -> float:
        """By how much the way is drawn bolder than in a guide of its own size."""
        return math.sqrt(self.kit.look.drawing_scale)

    @property
    def _dot_mm(self) -> float:
        return _DOT_MM * self.kit.look.drawing_scale

    @property
    def _posts(self) -> set[XY]:
        """Where the pitch supply is taken to stand."""
        return {(step.x, step.y) for step in self.sequence.steps if step.stop == "post"}


class _Marks(Struct, frozen=True):
    """What stands on a map's way and beside it."""

    dots: tuple[Point, ...]  # of the stops
    rings: tuple[Point, ...]  # where else their steps lead
    tags: tuple[Drawing, ...]  # the numbers of the stops, and where they stand
    stands: tuple[Stand, ...]


def _framed(box: Box) -> Box:
    """A number's box with the white about it."""
    x, y, w, h = box
    return x - 0.3, y - 0.3, w + 0.6, h + 0.6


def _straightened(points: Sequence[Point]) -> list[Point]:
    """The points without repeats and without those on a straight line between their neighbours."""
    kept: list[Point] = []
    for point in points:
        if kept and math.dist(kept[-1], point) < 0.05:
            continue
        while len(kept) > 1 and _turn(kept[-2], kept[-1], point) < 1e-3:
            kept.pop()
        kept.append(point)
    return kept


def _turn(a: Point, b: Point, c: Point) -> float:
    """Between 0, straight on, and 2, straight back."""
    one, two = math.dist(a, b), math.dist(b, c)
    return 1 - ((b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])) / (one * two)


def _in_lane(points: Sequence[Point], aside_mm: float) -> list[Point]:
    """The way moved to its own right, corners mitred."""
    if len(points) < 2:
        return list(points)
    normals = []
    for (x1, y1), (x2, y2) in zip(points, points[1:], strict=False):
        length = math.dist((x1, y1), (x2, y2))
        normals.append((-(y2 - y1) / length, (x2 - x1) / length))
    moved_points: list[Point] = []
    for n, (x, y) in enumerate(points):
        first, second = normals[max(0, n - 1)], normals[min(n, len(normals) - 1)]
        sx, sy = first[0] + second[0], first[1] + second[1]
        length = math.hypot(sx, sy)
        if length < 0.3:  # straight back: no mitre
            moved_points += [
                (x + first[0] * aside_mm, y + first[1] * aside_mm),
                (x + second[0] * aside_mm, y + second[1] * aside_mm),
            ]
            continue
        reach = min(2.0, 2 / length) * aside_mm
        moved_points.append((x + sx / length * reach, y + sy / length * reach))
    return moved_points
