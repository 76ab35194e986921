"""Decides where everything on a plan stands: scale, markers, insets, badges and their order."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import chain
from typing import NamedTuple, Protocol, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.beside import place_beside
from guidegen.plan.body import body_polygon, standing_out
from guidegen.plan.callouts import Badge, Box, Callout, CannotPlace, Placement, Site, Task, TooFar
from guidegen.plan.clockwise import clockwise
from guidegen.plan.crowd_titles import Member, crowd_titles
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.frame import Frame, Hand, Orientation
from guidegen.plan.insets import LETTERS, Detail, Shape, detail, levelled
from guidegen.plan.reaches import Reach, on_sheet, reach
from guidegen.plan.spreading import CROWDINGS, Crowding, Spread, spread
from guidegen.plan.strips import Strips, pack
from guidegen.vehicle.layout import Layout

MARKER_MM = 1.1  # radius of a marker with its halo
# Smaller than these, places within a hand's breadth run together.
_RATIOS = (10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100, 110, 125)
_SCALES = tuple(1 / n for n in _RATIOS)
MOST = _RATIOS[-1]  # 1 : so much is the smallest plan
_RING_MM = 12.5  # room about the body for one ring of badges
_TRIES = 2  # boundaries for the badges of one plan; then more points become insets, or the plan smaller
_GIVEN_UP = 450  # points in plans whose badges found no place: the next, smaller, would fare no better
_MOST_PAIRS = 700_000  # of points, in plans with no room for their insets: reached from 103 points on
_POOR, _POOR_ONES = 1.1, 3  # ratio of lengths from which another plan is tried; how many such are enough
_MORE_ROOM = 1.1  # times what the smallest insets leave for the plan: then others are worth their shape
WORDS_MM = 5.0  # room beyond the badges for Front, Nearside, Offside


class Spot(NamedTuple):
    """What the arrangement needs to know of a point, in vehicle mm."""

    id: str
    x: float
    y: float
    where: str
    room: str
    furniture: str
    opening: str = ""


class Placed(Member, Protocol):
    """A point as far as a plan is concerned."""

    @property
    def id(self) -> str: ...


class Subject(Struct, frozen=True):
    """What is to be arranged: the layout, which way up, and the points with their badges."""

    layout: Layout
    points: tuple[Placed, ...]
    nearside: Hand
    orientation: Orientation = "landscape"
    badges: Mapping[str, Badge] | None = None
    reaches: Mapping[str, Reach] | None = None  # where markers may stand, in vehicle mm

    def badge(self, key: str) -> Badge:
        return self.badges.get(key, Badge()) if self.badges else Badge()

    def within(self, keys: Iterable[str], frame: Frame) -> dict[str, Reach]:
        """Where on the sheet the markers of some points may stand."""
        known = self.reaches or {}
        return {k: on_sheet(known[k], frame) for k in keys}


_Asked: TypeAlias = tuple[Subject, tuple[tuple[str, Badge], ...], Box]


class _Crowd(NamedTuple):
    """Points that become an inset; true places, and where their markers may stand, on the sheet."""

    keys: tuple[str, ...]
    title: str
    places: dict[str, Point]
    badges: dict[str, Badge]
    within: dict[str, Reach]


class Arrangement(Struct, frozen=True):
    """Where everything stands, in sheet mm. `order` runs clockwise from the habitation door."""

    frame: Frame
    ratio: int  # 1 : ratio
    box: Box  # of the plan with its badges, without insets
    places: Mapping[str, Point]
    placement: Placement
    details: tuple[Detail, ...]
    corners: Mapping[str, Point]  # of each detail, by letter
    order: tuple[str, ...]

    @property
    def callouts(self) -> tuple[Callout, ...]:
        return tuple(c for c in self.placement.callouts if not c.key.startswith("inset:"))


def arrange(subject: Subject, box: Box, most: int = MOST) -> Arrangement:
    """The largest arrangement that fits the box; numbers and names of the points play no part in it.

    most: the ratio of the smallest scale that is of use. Raises SheetTooSmallError when no scale fits.
    """
    found = _arranged(*_asked(subject, box), most)
    if found is None:
        raise SheetTooSmallError(
            f"{len(subject.points)} callouts do not fit on a sheet area of {box[2]:.0f} × {box[3]:.0f} mm: "
            f"use a larger sheet (guidegen plan --paper), or fewer systems on one sheet"
        )
    return found


def take_over(subject: Subject, box: Box, found: Arrangement | None) -> None:
    """Keeps what another process arranged, None where no scale fits, for who asks this one next."""
    _taken_over.clear()
    _taken_over[_asked(subject, box)] = found


def _asked(subject: Subject, box: Box) -> _Asked:
    """All that an arrangement depends on."""
    spots = tuple(Spot(p.id, p.x, p.y, p.where, p.room, p.furniture, p.opening) for p in subject.points)
    badges = tuple(sorted((subject.badges or {}).items()))
    return Subject(subject.layout, spots, subject.nearside, subject.orientation), badges, box


_taken_over: dict[_Asked, Arrangement | None] = {}


@lru_cache(maxsize=128)
def _arranged(
    subject: Subject, badges: tuple[tuple[str, Badge], ...], box: Box, most: int
) -> Arrangement | None:
    if (subject, badges, box) in _taken_over:
        return _taken_over.pop((subject, badges, box))
    within = {p.id: reach(subject.layout, p) for p in subject.points}
    subject = replace(subject, badges=dict(badges), reaches=within)
    failed, pairs, poor = 0, 0, list[Arrangement]()
    for scale in _SCALES:
        size = _plan_size(subject, scale)
        if size[0] > box[2] or size[1] > box[3]:
            continue
        if round(1 / scale) > most:
            break
        if poor and min(map(_price, poor)) <= 1 / scale:  # no smaller plan, be it flawless, is worth more
            break
        later = list[_Tried]()
        first = (_Tried(crowding, _POOR) for crowding in CROWDINGS[_plainest(len(subject.points)) :])
        for tried in chain(first, later):
            if failed >= _GIVEN_UP or pairs >= _MOST_PAIRS or len(poor) == _POOR_ONES:
                break
            try:
                found = _attempt(subject, box, scale, tried, min(map(_price, poor), default=math.inf) * scale)
            except TooFar:
                later.append(tried._replace(wanted=math.inf))
                continue
            except CannotPlace:
                failed += len(subject.points)
                continue
            if found and _poorness(found) <= _POOR:
                return found
            pairs += 0 if found else len(subject.points) ** 2
            poor += [found] if found else []
    return min(poor, key=_price) if poor else None


def _price(found: Arrangement) -> float:
    """A larger plan is worth leaders that are longer in the same measure."""
    return _poorness(found) * found.ratio


def _poorness(found: Arrangement) -> float:
    """How many times longer the leaders are than they had to be, or the longest than the vehicle is wide."""
    across = found.frame.scale * found.frame.width_mm
    return max(found.placement.detour, found.placement.longest_mm / across)


def _plainest(count: int) -> int:
    """Which crowding to begin with: the more points, the sooner a crowd becomes an inset."""
    return 0 if count <= 30 else 1 if count <= 50 else 2


class _Tried(NamedTuple):
    """What becomes an inset, and how poor the plan may be for now: one that must be poorer is tried last."""

    crowding: Crowding
    wanted: float


def _attempt(
    subject: Subject, box: Box, scale: float, tried: _Tried, poorest: float = math.inf
) -> Arrangement | None:
    """Insets in strips along the longer side of the plan or, where these are too shallow, across its ends.

    poorest: what its poorness may be for it to be worth more than a larger plan that was found.
    Raises CannotPlace when there is room for the insets but not for the badges, TooFar when the plan would be
    poorer than wanted.
    """
    size = _plan_size(subject, scale)
    flat = subject.orientation == "landscape"
    at_origin = _frame(subject, scale, (0.0, 0.0, *size))
    places = tuple((p.id, at_origin.at(p.x, p.y)) for p in subject.points)
    within = tuple(subject.within((p.id for p in subject.points), at_origin).items())
    spread_out = _spread_out(places, within, tried.crowding)
    if len(spread_out.crowds) > len(LETTERS):
        return None
    for lying in (flat, not flat) if spread_out.crowds else (flat,):
        strips = Strips(box, size, lying)
        crowded = (_true_places(subject, crowd, at_origin) for crowd in spread_out.crowds)
        if strips.may_hold(crowded, _titles(subject, spread_out.crowds).values()):
            found = _arrangement(subject, box, at_origin, spread_out, strips, poorest, tried.wanted)
            if found:
                return found
    return None


@lru_cache(maxsize=64)  # larger sheets are tried at the same scales
def _spread_out(
    places: tuple[tuple[str, Point], ...], within: tuple[tuple[str, Reach], ...], crowding: Crowding
) -> Spread:
    return spread(dict(places), crowding, len(LETTERS), dict(within))


def _arrangement(
    subject: Subject,
    box: Box,
    at_origin: Frame,
    spread_out: Spread,
    strips: Strips,
    poorest: float,
    wanted: float,
) -> Arrangement | None:
    size, scale = strips.size, at_origin.scale
    packings = list(_packings(subject, box, at_origin, spread_out, strips))
    if not packings:
        return None
    roomiest = max(packings, key=lambda one: one[2][2] * one[2][3])
    plainest = packings[0]
    more = roomiest[2][2] * roomiest[2][3] > _MORE_ROOM * plainest[2][2] * plainest[2][3]
    details, corners, left = roomiest if more else plainest
    frame = _frame(subject, scale, left)
    dx, dy = frame.x - at_origin.x, frame.y - at_origin.y
    places = {k: (p[0] + dx, p[1] + dy) for k, p in spread_out.places.items()}
    details = tuple(_moved(d, dx, dy) for d in details)
    sites = [Site(k, *p, MARKER_MM, subject.badge(k)) for k, p in sorted(places.items())]
    sites += [Site(f"inset:{d.letter}", *middle_of(d.source), 1.2, Badge(5.2, 5.2, False)) for d in details]
    body = body_polygon(subject.layout, frame)
    room = _for_badges(left, subject.orientation)
    clear = standing_out(subject.layout, frame)
    shown = [(d, tuple(_true_places(subject, d.keys, frame).values())) for d in details]
    ends, across = max((s.ends_mm for s in sites), default=0.0), scale * subject.layout.width
    task = Task(
        tuple(sites),
        (body,),
        room,
        tries=_TRIES,
        off_badges=clear,
        longest_mm=poorest * across + ends,
        wanted_mm=wanted * across + ends,
    )
    placement = place_beside(task, shown)
    around = _around(left, size, placement, subject.orientation)
    order = clockwise(subject.layout, frame, placement, details)
    return Arrangement(frame, round(1 / scale), around, places, placement, details, corners, order)


def _packings(
    subject: Subject, box: Box, at_origin: Frame, spread_out: Spread, strips: Strips
) -> Iterator[tuple[tuple[Detail, ...], dict[str, Point], Box]]:
    """The details, where they stand, and the box that is left, as far as the plan finds room in it."""
    width, height = strips.size
    # The strips sit near their sources, so pack knows where the plan would stand without them.
    middle = (box[0] + (box[2] - width) / 2, box[1] + (box[3] - height) / 2)
    for details in _shaped(subject, at_origin, spread_out, strips):
        even = levelled(details, strips.lying)
        packed = pack([_moved(d, *middle) for d in even], box, strips.lying)
        if packed and packed[1][2] >= width - 0.01 and packed[1][3] >= height - 0.01:
            yield even, *packed


def _shaped(
    subject: Subject, at_origin: Frame, spread_out: Spread, strips: Strips
) -> Iterator[Sequence[Detail]]:
    """The details as small as can be, some of them narrower so that all stand in one strip, all as low."""
    shapes: tuple[Shape, Shape, Shape] = (
        ("small", "narrow", "low") if strips.lying else ("small", "low", "narrow")
    )
    crowds = _crowds(subject, spread_out, at_origin)
    try:
        small = _details(crowds, at_origin, strips.most, shapes[0])
        yield small
        if small:
            yield strips.in_one(small, _details(crowds, at_origin, strips.most, shapes[1]))
            yield _details(crowds, at_origin, strips.most, shapes[2])
    except CannotPlace:
        return


def _plan_size(subject: Subject, scale: float) -> Point:
    """Least width and height of the plan: a ring of badges, Front at one end, the sides' names beyond."""
    layout = subject.layout
    lengthwise = (layout.length + layout.drawbar) * scale + 2 * _RING_MM + WORDS_MM
    across = layout.width * scale + 2 * (_RING_MM + WORDS_MM)
    return (lengthwise, across) if subject.orientation == "landscape" else (across, lengthwise)


def _frame(subject: Subject, scale: float, box: Box) -> Frame:
    """The frame of a plan whose box, of the size above, is given; more room is shared out evenly."""
    layout = subject.layout
    flat = subject.orientation == "landscape"
    lengthwise, across = (layout.length + layout.drawbar) * scale, layout.width * scale
    size = (lengthwise + WORDS_MM, across) if flat else (across, lengthwise + WORDS_MM)
    x, y = box[0] + (box[2] - size[0]) / 2, box[1] + (box[3] - size[1]) / 2
    front = layout.drawbar * scale + WORDS_MM
    return Frame(
        scale, x + front * flat, y + front * (not flat), layout.width, subject.orientation, subject.nearside
    )


def _around(left: Box, size: Point, placement: Placement, orientation: Orientation) -> Box:
    """The box of the least size in the middle of what is left, grown about all badges and the words."""
    x1, y1 = left[0] + (left[2] - size[0]) / 2, left[1] + (left[3] - size[1]) / 2
    x2, y2 = x1 + size[0], y1 + size[1]
    beside = 0.0 if orientation == "landscape" else WORDS_MM
    under = WORDS_MM if orientation == "landscape" else 0.0
    for c in placement.callouts:
        x1, x2 = min(x1, c.x - c.width_mm / 2 - WORDS_MM), max(x2, c.x + c.width_mm / 2 + beside)
        y1, y2 = min(y1, c.y - c.height_mm / 2 - WORDS_MM), max(y2, c.y + c.height_mm / 2 + under)
    return (x1, y1, x2 - x1, y2 - y1)


def _for_badges(box: Box, orientation: Orientation) -> Box:
    """The plan's box without the strips that hold its words."""
    x, y, w, h = box
    if orientation == "landscape":
        return (x + WORDS_MM, y + WORDS_MM, w - WORDS_MM, h - 2 * WORDS_MM)
    return (x + WORDS_MM, y + WORDS_MM, w - 2 * WORDS_MM, h - WORDS_MM)


def middle_of(box: Box) -> Point:
    return (box[0] + box[2] / 2, box[1] + box[3] / 2)


def _moved(d: Detail, dx: float, dy: float) -> Detail:
    x, y, w, h = d.source
    return replace(d, source=(x + dx, y + dy, w, h))


def _true_places(subject: Subject, keys: Sequence[str], frame: Frame) -> dict[str, Point]:
    return {p.id: frame.at(p.x, p.y) for p in subject.points if p.id in keys}


def _titles(subject: Subject, crowds: Sequence[tuple[str, ...]]) -> dict[tuple[str, ...], str]:
    """What each crowd is headed with."""
    points = [[p for p in subject.points if p.id in keys] for keys in crowds]
    return dict(zip(crowds, crowd_titles(subject.layout, points), strict=True))


def _crowds(subject: Subject, spread_out: Spread, frame: Frame) -> list[_Crowd]:
    """The crowds from the front backwards."""
    along = {p.id: p.x for p in subject.points}
    titles = _titles(subject, spread_out.crowds)
    return [
        _Crowd(
            keys,
            titles[keys],
            _true_places(subject, keys, frame),
            {k: subject.badge(k) for k in keys},
            subject.within(keys, frame),
        )
        for keys in sorted(spread_out.crowds, key=lambda keys: min(along[k] for k in keys))
    ]


def _details(crowds: Sequence[_Crowd], frame: Frame, most: Point, shape: Shape) -> tuple[Detail, ...]:
    """The insets, lettered in turn; most: the greatest width and height of one."""
    return tuple(
        detail(letter, c.title, c.keys, c.places, c.badges, MARKER_MM, frame, most, shape, c.within)
        for letter, c in zip(LETTERS, crowds, strict=False)
    )
