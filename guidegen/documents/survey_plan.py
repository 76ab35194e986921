"""The pictures of the survey sheet: the base layout under its grid, and what the words for heights mean."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product

from guidegen.documents.parts import INK, SOFT_INK
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Item, Line, Point, Style, Text
from guidegen.paper.text import TextStyle
from guidegen.plan.body import draw_vehicle
from guidegen.plan.elevation import draw_elevation
from guidegen.plan.elevation_frame import ElevationFrame, fit_elevation
from guidegen.plan.frame import OVERHANG_MM, Frame, Hand, fit_frame
from guidegen.plan.markers import colour_of, system_mark
from guidegen.trade.records import Trade
from guidegen.vehicle.grid import Grid, grid_of
from guidegen.vehicle.layout import Area, Layout
from guidegen.vehicle.model import Height, ServicePoint
from guidegen.vehicle.places import height_above_ground

Box = tuple[float, float, float, float]
_NAMES_MM = 6.0  # room beyond the vehicle for letters and figures
_WORDS_MM = 4.5  # beyond those, for Front, Nearside and Offside
_CLEAR_MM = 1.5  # of the letters from what stands out of the body
_MARK_MM = 2.2
_OFF_LINE_MM = 1.2  # the middle of a mark, from the lines between its square and the next
# How often by what parts two marks one is moved: along the row first, in which what stands on a wall stays.
_ASIDE = sorted(product(range(-12, 13), repeat=2), key=lambda n: (abs(n[0]) + 3 * abs(n[1]), -n[0], n[1]))
_CLOSER = (1.0, 0.5, 0.25)  # times as far, where a square holds no more
_CEILING_MM = 150  # below the roof at least
_GRID = Style(stroke="#5a6f8c", width_mm=0.18, round_ends=False)
_NAME = TextStyle(10.0, "bold", INK)
_WORD_PT = 8.5
_HEIGHT_WORDS: tuple[Height, ...] = (
    "roof", "ceiling", "eye-level", "worktop", "low", "under-seat", "floor", "under-floor"
)  # fmt: skip


def draw_survey_plan(
    layout: Layout, nearside: Hand, box: Box, points: Sequence[ServicePoint], trade: Trade
) -> Iterator[Item]:
    """The layout as large as the box allows, its squares named on four sides, marks of known points."""
    frame = survey_frame(layout, nearside, box)
    yield from draw_vehicle(layout, frame)
    grid = grid_of(layout)
    yield from _lines(grid, frame)
    places = [frame.at(point.x, point.y) for point in points]
    rooms = [_room(grid, frame, point) for point in points]
    for point, at in zip(points, apart(places, rooms), strict=True):
        yield system_mark(trade.systems[point.system], colour_of(point, trade), *at, 1.0, css="mark")
    rear_doors = any(door.side == "rear" for door in layout.doors)
    over = frame.length(OVERHANG_MM) + _CLEAR_MM
    span = (frame.y - over, frame.y + frame.length(layout.width) + over)
    yield from _names(grid, frame, span, OVERHANG_MM * rear_doors)
    yield from _words(layout, frame, nearside, (span[0] - _NAMES_MM, span[1] + _NAMES_MM), box[0])


def apart(places: Sequence[Point], rooms: Sequence[Box]) -> list[Point]:
    """Marks that would hide each other side by side, so that each can be counted, each in its room."""
    found: list[Point] = []
    for (x, y), (left, top, width, height) in zip(places, rooms, strict=True):
        x, y = min(max(x, left), left + width), min(max(y, top), top + height)
        tries = (
            ((x + n * step, y + m * step), step)
            for step in (_MARK_MM * times for times in _CLOSER)
            for n, m in _ASIDE
            if left <= x + n * step <= left + width and top <= y + m * step <= top + height
        )
        free = (at for at, step in tries if all(math.dist(at, one) >= 0.9 * step for one in found))
        found.append(next(free, (x, y)))
    return found


def _room(grid: Grid, frame: Frame, point: ServicePoint) -> Box:
    """Where a point's mark may stand: in its square, off the lines to others, and on the edge of the grid."""
    square, area = grid.square(grid.name_at(point.x, point.y)), grid.area
    assert square
    inner = (
        square.x > area.x + 1,
        square.x + square.length < area.x + area.length - 1,
        square.y > area.y + 1,
        square.y + square.width < area.y + area.width - 1,
    )
    front, rear, near, off = (_OFF_LINE_MM / frame.scale * one for one in inner)
    length, width = square.length - front - rear, square.width - near - off
    return frame.box(Area(square.x + front, square.y + near, length, width))


def survey_frame(layout: Layout, nearside: Hand, box: Box) -> Frame:
    """Where the layout stands in the box, with room round it for the names of the squares."""
    x, y, width, height = box
    edge = _NAMES_MM + _WORDS_MM
    room = (x + edge, y + edge, width - 2 * edge, height - 2 * edge)
    return fit_frame(layout, room, "landscape", nearside)


def _lines(grid: Grid, frame: Frame) -> Iterator[Item]:
    area = grid.area
    for n in range(len(grid.columns) + 1):
        x = area.x + n * area.length / len(grid.columns)
        yield Line((frame.at(x, area.y), frame.at(x, area.y + area.width)), _GRID, css="grid")
    for n in range(len(grid.rows) + 1):
        y = area.y + n * area.width / len(grid.rows)
        yield Line((frame.at(area.x, y), frame.at(area.x + area.length, y)), _GRID, css="grid")


def _names(grid: Grid, frame: Frame, span: tuple[float, float], behind: float) -> Iterator[Item]:
    """Letters above and below what is drawn (span), figures before and so far behind."""
    drop = cap_height_mm(_NAME.size_pt)
    for letter in grid.columns:
        square = grid.square(f"{letter}1")
        assert square
        x = frame.at(*square.centre)[0]
        for baseline in (span[0], span[1] + drop):
            yield _name(letter, (x, baseline))
    left = frame.at(grid.area.x, 0)[0] - _NAMES_MM / 2
    right = frame.at(grid.area.x + grid.area.length + behind, 0)[0] + 0.6 * _NAMES_MM
    for row in grid.rows:
        square = grid.square(f"A{row}")
        assert square
        baseline = frame.at(*square.centre)[1] + drop / 2
        for x in (left, right):
            yield _name(str(row), (x, baseline))


def _name(text: str, at: Point) -> Text:
    return Text(*at, text, _NAME.size_pt, "bold", INK, "middle", css="grid-name")


def _words(
    layout: Layout, frame: Frame, nearside: Hand, span: tuple[float, float], left: float
) -> Iterator[Item]:
    """The sides beyond the letters (span: the baselines), and the front, no further left than that."""
    drop = cap_height_mm(_WORD_PT)
    middle = frame.at(layout.length / 2, layout.width / 2)
    low, high = ("Nearside", "Offside") if nearside == "left" else ("Offside", "Nearside")
    yield Text(middle[0], span[0], high, _WORD_PT, "bold", INK, "middle")
    yield Text(middle[0], span[1] + drop, low, _WORD_PT, "bold", INK, "middle")
    front = frame.at(-layout.drawbar, 0)[0] - _NAMES_MM - 1.0
    yield Text(max(left + drop, front), middle[1], "Front", _WORD_PT, "bold", INK, "middle", turn_deg=-90)


def draw_heights(layout: Layout, nearside: Hand, box: Box) -> Iterator[Item]:
    """The vehicle from its nearside with a line at the middle of each height, named at its end."""
    x, y, width, height = box
    words = 26.0
    room = (x, y + 1.0, width - words - 9.0, height - 3.0)
    frame = fit_elevation(layout, "nearside", room, nearside, 1 / 40)
    yield from draw_elevation(layout, "nearside", frame, faded=True)
    ends = sorted(frame.at(along, 0)[0] for along in (-layout.drawbar, layout.length))
    ground = frame.y
    yield Line(((ends[0] - 3, ground), (ends[1] + 3, ground)), Style(stroke=INK, width_mm=0.35))
    yield from _height_words(layout, frame, ends, (x + width - words + 3.0, y, height))


def _height_words(
    layout: Layout, frame: ElevationFrame, ends: Sequence[float], column: tuple[float, float, float]
) -> Iterator[Item]:
    """The words in a column, evenly enough apart to read, each joined to its height."""
    x, top, height = column
    step = height / len(_HEIGHT_WORDS)
    for n, word in enumerate(_HEIGHT_WORDS):
        level = frame.at(0, _drawn_at(word, layout))[1]
        at = top + (n + 0.5) * step
        line = ((ends[0] - 2, level), (ends[1] + 3, level), (x - 1.5, at))
        yield Line(line, Style(stroke=SOFT_INK, width_mm=0.18, dash_mm=(1.2, 0.8)))
        yield Text(x, at + cap_height_mm(9.0) / 2, word, 9.0, "bold", INK)


def _drawn_at(word: Height, layout: Layout) -> float:
    """In mm above ground, under the roof as drawn: a low van has its ceiling lower than usual."""
    roof = max(z for _, z, _ in layout.profile)
    if word == "roof":
        return roof
    height = height_above_ground(word, layout)
    return min(height, roof - _CEILING_MM) if word == "ceiling" else height
