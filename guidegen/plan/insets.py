"""Enlarged details: a crowd of points drawn again at two to four times the scale, in a lettered frame."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Badge, Box, Callout, CannotPlace, Placement, Site, Task, place
from guidegen.plan.callouts.order import clockwise
from guidegen.plan.frame import Frame
from guidegen.plan.reaches import Reach
from guidegen.plan.spreading import EVERYWHERE, NUDGE_MM, nudge

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O could be read as figures
TITLE_MM = 5.5
TITLE_PT = 7.5
TITLE_LINE_MM = 3.2  # from one line of a title to the next
LETTER_MM = 9.5  # before and after a title
_PAD_MM = 2.6
_TOP_MM = 0.8  # between title and badges
SIDE_MM, FOOT_MM = 1.6, 2.0  # between badges and frame
_OFFSET_MM, _APART_MM = 2.2, 0.8  # from the window to badges, and between these
_NARROW_MM = 1.5  # of room beyond the sides at which there are to be no badges
_ZOOMS = (2.0, 2.5, 3.0, 3.5, 4.0)
_LEAST_MM = 2.6  # distance of two markers in the detail


class Detail(Struct, frozen=True):
    """One inset, laid out with its top left corner at 0, 0."""

    letter: str
    title: str
    keys: tuple[str, ...]  # clockwise
    source: Box  # on the plan
    zoom: float
    window: Box  # of the enlarged drawing inside the frame
    view: Frame  # the plan's frame, zoomed and moved to the window
    places: tuple[tuple[str, Point], ...]
    callouts: tuple[Callout, ...]
    width: float
    height: float


class _Edges(NamedTuple):
    """A placement and the frame about it: the left and upper edge from the middle of the window, its size."""

    placement: Placement
    lines: tuple[str, ...]  # of the title
    left: float
    top: float
    width: float
    height: float


Shape: TypeAlias = Literal["small", "narrow", "low"]
_SHAPED: dict[Shape, Callable[[_Edges], float]] = {
    "small": lambda d: (d.width + 4) * (d.height + 4),
    "narrow": lambda d: d.width + d.height / 100,
    "low": lambda d: d.height + d.width / 100,
}


def detail(
    letter: str,
    title: str,
    keys: Sequence[str],
    places: dict[str, Point],
    badges: dict[str, Badge],
    radius_mm: float,
    frame: Frame,
    most: Point = (math.inf, math.inf),
    shape: Shape = "small",
    reaches: Mapping[str, Reach] = EVERYWHERE,
) -> Detail:
    """Lays out the inset of a crowd, no larger than most (width and height in mm), of the wanted shape.

    The title of a narrow one may stand in two lines.

    Where many points are said to be at one place, markers are moved as far as on the plan, but enlarged;
    and out of their reaches (where on the sheet each may stand) only where there is no room within them.
    Raises CannotPlace when even the largest zoom leaves no clean placement, or none of that size.
    """
    xs, ys = [places[k][0] for k in keys], [places[k][1] for k in keys]
    centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    before, all_round = math.inf, True
    for zoom, furthest, held in _ways(bool(reaches)):
        # What was too large at a smaller zoom is so with badges all round at this one, too.
        before, all_round = zoom, all_round or zoom <= before
        if any(a > b for a, b in zip(least_size(places, zoom), most, strict=True)):
            continue
        true = {k: ((places[k][0] - centre[0]) * zoom, (places[k][1] - centre[1]) * zoom) for k in keys}
        within = {k: _seen(reaches[k], centre, zoom) for k in keys} if held else EVERYWHERE
        homes = true if furthest == NUDGE_MM else _off_line(true)
        near = nudge(homes, furthest_mm=furthest, reaches=within)
        if _least(list(near.values())) < (_LEAST_MM if zoom < _ZOOMS[-1] else 2 * radius_mm):
            continue
        half = (
            max(abs(p[0]) for p in near.values()) + _PAD_MM,
            max(abs(p[1]) for p in near.values()) + _PAD_MM,
        )
        sites = tuple(Site(k, *near[k], radius_mm, badges[k]) for k in keys)
        found = list(_placements(sites, half, most, all_round=all_round))
        laid = [edges for placed in found for edges in _edged(placed, half, title, shape == "narrow")]
        fitting = [one for one in laid if one.width <= most[0] and one.height <= most[1]]
        if fitting:
            return _framed(letter, min(fitting, key=_SHAPED[shape]), near, centre, half, zoom, frame)
        all_round = all_round and not found
    raise CannotPlace("No enlarged detail can be laid out for a crowd of points.")


def _ways(held: bool) -> Iterator[tuple[float, float, bool]]:
    """Zooms, how far markers may be moved in each, and whether they are held within their reaches."""
    if held:
        yield from ((z, NUDGE_MM, True) for z in _ZOOMS)
        yield from ((z, NUDGE_MM * z, True) for z in _ZOOMS)
    else:
        yield from ((z, NUDGE_MM, False) for z in _ZOOMS)
    yield from ((z, NUDGE_MM * z, False) for z in _ZOOMS)


def _seen(reach: Reach, centre: Point, zoom: float) -> Reach:
    """The reach as the inset shows it."""
    x1, x2, y1, y2 = reach
    (x, y) = centre
    return ((x1 - x) * zoom, (x2 - x) * zoom, (y1 - y) * zoom, (y2 - y) * zoom)


def _off_line(places: Mapping[str, Point]) -> dict[str, Point]:
    """The places a little beside themselves: points in one line would push each other along it alone."""
    turned = ((k, p, 2.4 * n) for n, (k, p) in enumerate(places.items()))
    return {k: (p[0] + 0.05 * math.cos(a), p[1] + 0.05 * math.sin(a)) for k, p, a in turned}


def least_size(places: Mapping[str, Point], zoom: float = _ZOOMS[0]) -> Point:
    """Width and height in mm that the inset of a crowd has at least."""
    xs, ys = [p[0] for p in places.values()], [p[1] for p in places.values()]
    window = ((max(xs) - min(xs)) * zoom + 2 * _PAD_MM, (max(ys) - min(ys)) * zoom + 2 * _PAD_MM)
    return (window[0] + 2 * SIDE_MM, window[1] + _TOP_MM + FOOT_MM + TITLE_MM)


def least_width(title: str) -> float:
    """Width in mm that an inset has at least whose title stands in one line, rounding left aside."""
    return text_width_mm(title, TITLE_PT, "bold") + LETTER_MM - 1e-6


def _placements(
    sites: tuple[Site, ...], half: Point, most: Point, *, all_round: bool = True
) -> Iterator[Placement]:
    """Badges at the sides only, above and below only, and all round: whatever is clean.

    Without those of which it is plain that the inset would be larger than most.
    """
    reach = 9.0 + 1.2 * len(sites)
    wide = 2 * (half[0] + SIDE_MM) + least_beyond(sites, 2 * half[1])
    high = 2 * half[1] + TITLE_MM + _TOP_MM + FOOT_MM + least_beyond(sites, 2 * half[0])
    for rx, ry, possible in (
        (reach, _NARROW_MM, wide <= most[0]),
        (_NARROW_MM, reach, high <= most[1]),
        (reach, reach, all_round),
    ):
        placed = _placed(sites, half, rx, ry) if possible else None
        if placed:
            yield placed


@lru_cache(maxsize=384)  # a crowd looks the same on every sheet of one scale
def _placed(sites: tuple[Site, ...], half: Point, rx: float, ry: float) -> Placement | None:
    """A clean placement in so much room beyond the window."""
    body = ((-half[0], -half[1]), (half[0], -half[1]), (half[0], half[1]), (-half[0], half[1]))
    room = (-half[0] - rx, -half[1] - ry, 2 * (half[0] + rx), 2 * (half[1] + ry))
    try:
        return place(Task(sites, (body,), room, gap_mm=_APART_MM, offset_mm=_OFFSET_MM, tries=1))
    except CannotPlace:
        return None


def least_beyond(sites: Sequence[Site], along: float) -> float:
    """How far at least, in mm, round badges stand out from two opposite sides of a window, both together.

    along: the length of these sides, beyond which badges reach by no more than the narrow room. They stand
    in rows, as many in each as keep apart there; 0 where badges differ.
    """
    badges = {site.badge for site in sites}
    size = max(badge.width_mm for badge in badges)
    if len(badges) > 1 or not all(badge.round for badge in badges) or size <= 2 * _NARROW_MM:
        return 0.0
    in_row = 1 + max(0, math.floor((along + 2 * _NARROW_MM - size) / (size + _APART_MM) + 1e-6))

    def deep(count: int) -> float:
        rows = math.ceil(count / in_row)
        return _OFFSET_MM + rows * size + (rows - 1) * _APART_MM if count else 0.0

    count = len(sites)
    return min(deep(one) + deep(count - one) for one in range(count // 2 + 1)) - 1e-6


def _least(points: list[Point]) -> float:
    return min((math.dist(a, b) for i, a in enumerate(points) for b in points[i + 1 :]), default=9.0)


def _edged(placement: Placement, half: Point, title: str, broken: bool) -> Iterator[_Edges]:
    """The least frames about a placement and its title; one that is too long for a frame may be broken."""
    callouts = placement.callouts
    left = min(-half[0], *(c.x - c.width_mm / 2 for c in callouts)) - SIDE_MM
    right = max(half[0], *(c.x + c.width_mm / 2 for c in callouts)) + SIDE_MM
    top = min(-half[1], *(c.y - c.height_mm / 2 for c in callouts)) - _TOP_MM
    bottom = max(half[1], *(c.y + c.height_mm / 2 for c in callouts)) + FOOT_MM
    titles = {(title,), _lines(title, right - left - LETTER_MM)} if broken else {(title,)}
    for lines in sorted(titles, key=len):
        wanted = max(text_width_mm(line, TITLE_PT, "bold") for line in lines) + LETTER_MM
        short = max(0.0, wanted - (right - left)) / 2
        head = TITLE_MM + (len(lines) - 1) * TITLE_LINE_MM
        yield _Edges(
            placement, lines, left - short, top - head, right - left + 2 * short, bottom - top + head
        )


def _framed(
    letter: str,
    edges: _Edges,
    near: dict[str, Point],
    centre: Point,
    half: Point,
    zoom: float,
    frame: Frame,
) -> Detail:
    dx, dy = -edges.left, -edges.top
    view = replace(
        frame,
        scale=frame.scale * zoom,
        x=(frame.x - centre[0]) * zoom + dx,
        y=(frame.y - centre[1]) * zoom + dy,
    )
    return Detail(
        letter,
        "\n".join(edges.lines),
        clockwise(edges.placement, (0.0, 0.0)),
        (centre[0] - half[0] / zoom, centre[1] - half[1] / zoom, 2 * half[0] / zoom, 2 * half[1] / zoom),
        zoom,
        (dx - half[0], dy - half[1], 2 * half[0], 2 * half[1]),
        view,
        tuple((k, (p[0] + dx, p[1] + dy)) for k, p in near.items()),
        tuple(shifted(c, dx, dy) for c in edges.placement.callouts),
        edges.width,
        edges.height,
    )


def _lines(title: str, width: float) -> tuple[str, ...]:
    """A title in two lines of about one length, where it is wider than the frame."""
    if text_width_mm(title, TITLE_PT, "bold") <= width or " " not in title:
        return (title,)
    words = title.split(" ")
    halves = ((" ".join(words[:n]), " ".join(words[n:])) for n in range(1, len(words)))
    return min(halves, key=lambda pair: max(text_width_mm(line, TITLE_PT, "bold") for line in pair))


def shifted(callout: Callout, dx: float, dy: float) -> Callout:
    """The callout moved on the sheet."""
    leader = tuple((x + dx, y + dy) for x, y in callout.leader)
    return replace(callout, x=callout.x + dx, y=callout.y + dy, leader=leader)


def levelled(details: Sequence[Detail], flat: bool) -> tuple[Detail, ...]:
    """The details with frames of one height (of one width in upright strips), drawn in their middle."""
    height = max((d.height for d in details), default=0.0)
    width = max((d.width for d in details), default=0.0)
    if flat:
        return tuple(_grown(d, 0.0, (height - d.height) / 2) for d in details)
    return tuple(_grown(d, (width - d.width) / 2, 0.0) for d in details)


def _grown(d: Detail, dx: float, dy: float) -> Detail:
    x, y, w, h = d.window
    return replace(
        d,
        window=(x + dx, y + dy, w, h),
        view=replace(d.view, x=d.view.x + dx, y=d.view.y + dy),
        places=tuple((k, (p[0] + dx, p[1] + dy)) for k, p in d.places),
        callouts=tuple(shifted(c, dx, dy) for c in d.callouts),
        width=d.width + 2 * dx,
        height=d.height + 2 * dy,
    )
