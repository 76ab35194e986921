"""The picture on the workbook's Plan sheet: the layout with its grid and the ids of its parts."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from guidegen.documents.survey_plan import draw_survey_plan, survey_frame
from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.png import write_png
from guidegen.drawing.primitives import Item, Rect, Sheet, Style, Text
from guidegen.plan.frame import Frame
from guidegen.trade.records import Trade
from guidegen.vehicle.layout import Area, Door, Hatch, Layout
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.places import opening_area

_WIDTH, _HEIGHT, _EDGE = 330.0, 150.0, 3.0
_SIZES_PT = (8.0, 7.0, 6.0)
_DPI = 150
_STEPS = (0.5, 0.3, 0.7, 0.15, 0.85)  # where in its box a label is tried, along and across
_PAD_MM = 0.5
_GROUND = Style(fill="#ffffff", fill_opacity=0.85)
_INK, _ROOM_INK, _DOOR_INK = "#1a1a1a", "#1f4e8c", "#7a3d00"


class Label(Struct, frozen=True):
    """The id of a part and the boxes of the sheet it may stand in, the best first."""

    text: str
    boxes: tuple[tuple[float, float, float, float], ...]
    colour: str


Box = tuple[float, float, float, float]


def plan_png(vehicle: Vehicle, trade: Trade) -> bytes:
    """The picture. Raises GuidegenError when the computer cannot make PNG pictures."""
    return write_png(plan_sheet(vehicle, trade), _DPI)


def plan_sheet(vehicle: Vehicle, trade: Trade) -> Sheet:
    """The picture as a sheet."""
    box = (_EDGE, _EDGE, _WIDTH - 2 * _EDGE, _HEIGHT - 2 * _EDGE)
    frame = survey_frame(vehicle.layout, vehicle.nearside, box)
    plan = draw_survey_plan(vehicle.layout, vehicle.nearside, box, (), trade)
    items = (*plan, *_labels(vehicle.layout, frame))
    return Sheet(_WIDTH, _HEIGHT, items, vehicle.layout.name)


def _labels(layout: Layout, frame: Frame) -> Iterator[Item]:
    """Small parts first, since they have the fewest places to be named in."""
    taken: list[Box] = []
    wanted = sorted(_wanted(layout, frame), key=lambda label: label.boxes[0][2] * label.boxes[0][3])
    for label in wanted:
        yield from _placed(label, taken)


def _wanted(layout: Layout, frame: Frame) -> Iterator[Label]:
    yield from (Label(f.id, _about(frame.box(f.area)), _INK) for f in layout.furniture)
    yield from (Label(r.id, _about(frame.box(r.area)), _ROOM_INK) for r in layout.rooms)
    openings: tuple[Hatch | Door, ...] = (*layout.hatches, *layout.doors)
    for opening in openings:
        area = opening_area(layout, opening, 150)
        yield Label(opening.id, _beyond(frame.box(area), frame.box(_body(layout))), _DOOR_INK)


def _body(layout: Layout) -> Area:
    return Area(0, 0, layout.length, layout.width)


def _about(box: Box) -> tuple[Box, ...]:
    x, y, width, height = box
    return (box, (x - 6, y, width + 12, height), (x - 12, y - 4, width + 24, height + 8))


def _beyond(box: Box, body: Box) -> tuple[Box, ...]:
    """Just outside the body beside the opening, else at it."""
    x, y, width, height = box
    wide = (x - 8, width + 16)
    if abs(y - body[1]) < 2:
        return ((wide[0], y - 6, wide[1], 6), (wide[0], y - 10, wide[1], 10), *_about(box))
    if abs(y + height - body[1] - body[3]) < 2:
        return ((wide[0], y + height, wide[1], 6), (wide[0], y + height, wide[1], 10), *_about(box))
    return _about(box)


def _placed(label: Label, taken: list[Box]) -> Iterator[Item]:
    for box in label.boxes:
        for size in _SIZES_PT:
            for upright in (True, False):
                found = _free(label.text, size, upright, box, taken)
                if found:
                    taken.append(found)
                    yield from _drawn(label, size, upright, found)
                    return


def _free(text: str, size: float, upright: bool, box: Box, taken: list[Box]) -> Box | None:
    long, short = text_width_mm(text, size) + 2 * _PAD_MM, cap_height_mm(size) + 2 * _PAD_MM + 0.6
    width, height = (long, short) if upright else (short, long)
    if width > box[2] or height > box[3]:
        return None
    for across in _STEPS:
        for along in _STEPS:
            x, y = box[0] + (box[2] - width) * along, box[1] + (box[3] - height) * across
            if not any(
                x < t[0] + t[2] and t[0] < x + width and y < t[1] + t[3] and t[1] < y + height for t in taken
            ):
                return (x, y, width, height)
    return None


def _drawn(label: Label, size: float, upright: bool, box: Box) -> Iterator[Item]:
    x, y, width, height = box
    yield Rect(x, y, width, height, _GROUND)
    drop = cap_height_mm(size) / 2
    middle = (x + width / 2, y + height / 2)
    if upright:
        yield Text(middle[0], middle[1] + drop, label.text, size, "regular", label.colour, "middle")
    else:
        yield Text(
            middle[0] + drop, middle[1], label.text, size, "regular", label.colour, "middle", turn_deg=-90
        )
