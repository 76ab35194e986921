"""The map of a walk: a faded floor plan, the way in order of walking, and the stops numbered along it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.guide.pages import Kit
from guidegen.documents.parts import INK
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import WHITE, Colour, Item, Line, Point, Rect, Style, Text, moved
from guidegen.paper.blocks import Drawing
from guidegen.paper.text import TextStyle
from guidegen.plan.frame import Frame
from guidegen.sequence.model import PlannedSequence
from guidegen.vehicle.layout import XY

_RATIOS = (40, 45, 50, 55, 60, 65, 70, 75, 80, 90, 100)  # all maps of a guide come out alike
_POST = "Pitch supply"
WAY: Colour = "#1f4e8c"
_BETWEEN_TAGS_MM = 0.45
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
    """A map for a box of width × at most height; its own height is known before it is drawn."""

    kit: Kit
    sequence: PlannedSequence
    width: float
    most_height: float

    @cached_property
    def _laid(self) -> tuple[Frame, float]:
        vehicle, layout = self.kit.context.vehicle, self.kit.context.vehicle.layout
        xs = [p[0] for p in self.sequence.path] + [-layout.drawbar, layout.length]
        ys = [p[1] for p in self.sequence.path] + [0.0, layout.width]
        margin = 380.0
        length, across = max(xs) - min(xs) + 2 * margin, max(ys) - min(ys) + 2 * margin
        largest = min(self.width / length, self.most_height / across)
        scale = next((1 / n for n in _RATIOS if 1 / n <= largest), largest)
        above = (max(ys) - layout.width if vehicle.nearside == "left" else -min(ys)) + margin
        spare = (self.width - length * scale) / 2
        frame = Frame(
            scale,
            spare + (margin - min(xs)) * scale,
            above * scale,
            layout.width,
            "landscape",
            vehicle.nearside,
        )
        return frame, across * scale

    @property
    def frame(self) -> Frame:
        return self._laid[0]

    @property
    def height(self) -> float:
        return self._laid[1]

    def drawn(self, x: float, y: float) -> tuple[Item, ...]:
        """The map with its corner at x, y."""
        items: list[Item] = [*self.kit.vehicle(self.frame, faded=True)]
        for leg in self._legs():
            items += self._way(leg)
        items += self._tags()
        return (moved(items, x, y),)

    def _stops(self) -> list[XY]:
        return [
            (steps[0].x, steps[0].y)
            for steps in (list(g) for _, g in groupby(self.sequence.steps, key=lambda s: s.stop))
        ]

    def _legs(self) -> list[tuple[XY, ...]]:
        """The way to each stop from the one before it; the first has none."""
        path = self.sequence.path
        legs: list[tuple[XY, ...]] = []
        at = 0
        for stop in self._stops():
            end = next((n for n in range(at, len(path)) if math.dist(path[n], stop) < 1.0), at)
            legs.append(path[at : end + 1])
            at = end
        return legs

    def _way(self, leg: Sequence[XY]) -> Iterator[Item]:
        points = _in_lane(_straightened([self.frame.at(*p) for p in leg]), _LANE_MM)
        if len(points) < 2:
            return
        yield Line(tuple(points), Style(stroke=WHITE, width_mm=1.1))
        yield Line(tuple(points), Style(stroke=WAY, width_mm=0.5))
        yield from _arrow(points)

    def _tags(self) -> Iterator[Item]:
        """One tag a place, with the numbers of all its stops; tags that would overlap are moved apart."""
        at: dict[XY, list[int]] = {}
        for number, stop in enumerate(self._stops(), 1):
            at.setdefault(stop, []).append(number)
        size = max(7.8, 8.5 * self.kit.look.drawing_scale)
        tags = [stop_tags(numbers, size) for numbers in at.values()]
        boxes = [(*self.frame.at(*stop), tag.width, tag.height) for stop, tag in zip(at, tags, strict=True)]
        parted = _parted(boxes, self.width, self.height)
        for stop, (x, y), tag in zip(at, parted, tags, strict=True):
            left, top = x - tag.width / 2, y - tag.height / 2
            yield Rect(
                left - 0.3, top - 0.3, tag.width + 0.6, tag.height + 0.6, Style(fill=WHITE), radius=0.8
            )
            yield moved(tag.items, left, top)
            if stop in self._posts:
                style = self.kit.look.small
                baseline = y + cap_height_mm(style.size_pt) / 2
                yield Text(left - 1.2, baseline, _POST, style.size_pt, "regular", INK, "end")

    @property
    def _posts(self) -> set[XY]:
        """Where the pitch supply is taken to stand."""
        return {(step.x, step.y) for step in self.sequence.steps if step.stop == "post"}


def _parted(boxes: Sequence[tuple[float, float, float, float]], width: float, height: float) -> list[Point]:
    """Middles of boxes (middle x, y, width, height) pushed apart until none overlaps, within the map."""
    at = [[x, y] for x, y, _, _ in boxes]
    for _ in range(80):
        still = True
        for i in range(len(at)):
            for j in range(i + 1, len(at)):
                dx, dy = at[j][0] - at[i][0], at[j][1] - at[i][1]
                over_x = (boxes[i][2] + boxes[j][2]) / 2 + 0.7 - abs(dx)
                over_y = (boxes[i][3] + boxes[j][3]) / 2 + 0.7 - abs(dy)
                if over_x <= 1e-6 or over_y <= 1e-6:
                    continue
                still = False
                axis, over = (0, over_x) if over_x < over_y else (1, over_y)
                sign = 1.0 if (dx, dy)[axis] >= 0 else -1.0
                at[i][axis] -= sign * over / 2
                at[j][axis] += sign * over / 2
        for point, (_, _, w, h) in zip(at, boxes, strict=True):
            point[0] = min(max(point[0], w / 2), width - w / 2)
            point[1] = min(max(point[1], h / 2), height - h / 2)
        if still:
            break
    return [(x, y) for x, y in at]


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


def _arrow(points: Sequence[Point]) -> Iterator[Item]:
    """An arrow head in the middle of the longest piece, where it has room."""
    pieces = list(zip(points, points[1:], strict=False))
    (x1, y1), (x2, y2) = max(pieces, key=lambda piece: math.dist(*piece))
    length = math.dist((x1, y1), (x2, y2))
    if length < 4.0:
        return
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    mx, my = (x1 + x2) / 2 + ux * 0.9, (y1 + y2) / 2 + uy * 0.9
    back = (mx - ux * 1.8, my - uy * 1.8)
    corners = (
        (mx, my),
        (back[0] - uy * 0.75, back[1] + ux * 0.75),
        (back[0] + uy * 0.75, back[1] - ux * 0.75),
    )
    yield Line(corners, Style(fill=WAY, stroke=WHITE, width_mm=0.2), closed=True)
