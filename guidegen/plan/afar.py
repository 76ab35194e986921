"""A plan of few callouts with larger badges, about where they stood: to be read from afar, on a screen."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import permutations

from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.plan.arrange import MARKER_MM, WORDS_MM, Arrangement, middle_of
from guidegen.plan.callouts import Box, Callout
from guidegen.plan.callouts.paths import point_to_segment, segments_apart
from guidegen.plan.floor import from_edge
from guidegen.plan.insets import TITLE_LINE_MM, TITLE_MM, Detail
from guidegen.plan.reaches import Reach
from guidegen.plan.spreading import APART_MM, nudge

_TIMES = (1.6, 1.5, 1.4, 1.3, 1.2, 1.1)
ASIDE_MM = 6.0  # the most that a badge is pushed, to pass its neighbour
_ROUNDS, _BIT_MM = 24, 0.05  # of pushing badges and leaders apart, and by how much more than need be
_GAP_MM, _CLEAR_MM = 1.0, 0.45  # between badges, and between a leader and what it passes
_APART_MM = 0.45  # of badges, corners of letters with them, at least
_TAG = 0.75  # side of a letter's square, of the diameter of a ring: its corners hardly stand out of that
_BEHIND_MM = 2.5  # further than they stood may badges reach behind the rear
_STROKE_MM = 0.225  # of a ring, outside its radius
_OFF_BODY_MM = 0.6  # a badge off the side of the vehicle, its stroke included
_EDGE_MM = 1.0  # between a badge and its frame, or the words round the plan


def for_afar(found: Arrangement, aside_mm: float = ASIDE_MM) -> Arrangement:
    """The arrangement with badges as much larger as they pass each other, markers and leaders.

    Those of the plan are of one size, and those of the insets; none is pushed further than aside_mm.
    """
    sources = {f"inset:{d.letter}": d.source for d in found.details}
    plan = dict(found.places) | {key: middle_of(source) for key, source in sources.items()}
    x, y, w, h = found.box  # of a vehicle that lies: there is no word behind its rear
    within = (x + WORDS_MM, y + WORDS_MM, w - WORDS_MM + _BEHIND_MM, h - 2 * WORDS_MM)
    sides = (found.frame.y, found.frame.y + found.frame.length(found.frame.width_mm))
    for times in _TIMES:
        callouts = _grown(found.placement.callouts, plan, within, times, aside_mm, sources, sides)
        if callouts is not None:
            found = replace(found, placement=replace(found.placement, callouts=callouts))
            break
    for times in _TIMES:
        details = [d for d in (_grown_in(d, times, aside_mm) for d in found.details) if d]
        if len(details) == len(found.details):
            return replace(found, details=tuple(details))
    return found


def _grown_in(d: Detail, times: float, aside_mm: float) -> Detail | None:
    head = TITLE_MM + d.title.count("\n") * TITLE_LINE_MM
    within = (0.0, head, d.width, d.height - head)
    callouts = _grown(d.callouts, dict(d.places), within, times, aside_mm)
    if callouts is None or any(_covers(c, d.window) for c in callouts):
        return None
    return replace(d, callouts=callouts)


def _covers(c: Callout, box: Box) -> bool:
    """Whether a badge covers any of a box."""
    nearest = (min(max(c.x, box[0]), box[0] + box[2]), min(max(c.y, box[1]), box[1] + box[3]))
    return math.dist((c.x, c.y), nearest) < c.width_mm / 2 + _STROKE_MM


def _grown(
    callouts: Sequence[Callout],
    places: Mapping[str, Point],
    within: Box,
    times: float,
    aside_mm: float,
    sources: Mapping[str, Box] | None = None,
    sides: Point = (-math.inf, math.inf),
) -> tuple[Callout, ...] | None:
    """The callouts with badges so many times as large within a box; None where one meets anything.

    sources: frames on the plan at whose edge a leader begins. sides: of the vehicle, the upper and the lower,
    over which none is pushed that stood beyond it.
    """
    if not callouts:
        return ()
    wide = times * max(c.width_mm for c in callouts)
    apart = wide + _GAP_MM
    by = APART_MM / apart  # what parts markers parts these, on another scale
    off, (x, y, w, h) = wide / 2 + _EDGE_MM, within
    wanted = {c.key: (c.x, c.y) for c in callouts}
    reaches: dict[str, Reach] = {}
    for c in callouts:
        top, foot = _beyond(sides, c, wide / 2 + _OFF_BODY_MM, (y + off, y + h - off))
        reaches[c.key] = ((x + off) * by, (x + w - off) * by, top * by, foot * by)
    found: list[Callout] = []
    seen: set[tuple[Point, ...]] = set()
    for _ in range(_ROUNDS):
        homes = {key: (px * by, py * by) for key, (px, py) in wanted.items()}
        moved = nudge(homes, furthest_mm=aside_mm * by, reaches=reaches)
        stands = tuple(moved.values())
        if stands in seen:  # two push a third to and fro for ever
            return None
        seen.add(stands)
        at = {key: (px / by, py / by) for key, (px, py) in moved.items()}
        found = [_ended(c, at[c.key], places[c.key], wide, (sources or {}).get(c.key)) for c in callouts]
        pushed = _off_leaders(found)
        if not pushed:
            break
        wanted |= {key: (at[key][0] + dx, at[key][1] + dy) for key, (dx, dy) in pushed.items()}
    if any(
        math.dist((old.x, old.y), (new.x, new.y)) > aside_mm for old, new in zip(callouts, found, strict=True)
    ):
        return None
    clash = any(_meet(one, other, places) for one in found for other in found)
    return None if clash else tuple(found)


def _beyond(sides: Point, c: Callout, off: float, span: tuple[float, float]) -> tuple[float, float]:
    """What of a span, top to foot, is so far off the side of the vehicle that a badge stood beyond."""
    (upper, lower), (top, foot) = sides, span
    if c.y < upper:
        return top, max(top, min(foot, max(c.y, upper - off)))
    if c.y > lower:
        return min(foot, max(top, min(c.y, lower + off))), foot
    return span


def _ended(c: Callout, at: Point, place: Point, wide: float, source: Box | None) -> Callout:
    """The callout with its badge about a point, the leader from marker or source to the edge of a disc."""
    size = max(c.width_mm, _TAG * wide) if _is_tag(c) else wide
    long = max(math.dist(place, at), 1e-6)
    shares = (MARKER_MM / long, 1 - size / 2 / long)
    x, y = place
    leader = tuple((x + (at[0] - x) * share, y + (at[1] - y) * share) for share in shares)
    if source:
        leader = from_edge(leader, source)
    return replace(c, x=at[0], y=at[1], width_mm=size, height_mm=size, leader=leader)


def _is_tag(c: Callout) -> bool:
    """Whether its badge is the letter of an inset, which is square."""
    return c.key.startswith("inset:")


def _reach(c: Callout) -> float:
    """From the middle of a badge to its edge, of a letter's nearly to its corners."""
    return c.width_mm / 2 * (1.3 if _is_tag(c) else 1.0)


def _gap(one: Callout, other: Callout) -> float:
    """Between the edges of two badges, rings or squares; 0 or less where they meet."""
    squares = sum(c.width_mm / 2 for c in (one, other) if _is_tag(c))
    rings = sum(c.width_mm / 2 for c in (one, other) if not _is_tag(c))
    apart = (max(0.0, abs(one.x - other.x) - squares), max(0.0, abs(one.y - other.y) - squares))
    return math.hypot(*apart) - rings


def _off_leaders(callouts: Sequence[Callout]) -> dict[str, Point]:
    """How far the badges that others' leaders pass too near have to be pushed, and which way.

    The badge that such a leader ends at gives way as far, so that two do not push a third to and fro.
    """
    found: dict[str, Point] = {}
    for one, other in permutations(callouts, 2):
        there = (other.x, other.y)
        x, y = _nearest(there, *one.leader)
        gap, need = math.dist(there, (x, y)), _reach(other) + _CLEAR_MM
        if 0 < gap < need:
            share = (need - gap + _BIT_MM) / gap / 2
            for key, way in ((other.key, share), (one.key, -share)):
                dx, dy = found.get(key, (0.0, 0.0))
                found[key] = (dx + (there[0] - x) * way, dy + (there[1] - y) * way)
    return found


def _meet(one: Callout, other: Callout, places: Mapping[str, Point]) -> bool:
    """Whether a badge or leader passes the other's badge, marker or leader too near."""
    here, there = (one.x, one.y), (other.x, other.y)
    if math.dist(here, places[other.key]) < _reach(one) + MARKER_MM:
        return True
    if one.key == other.key:
        return False
    squares = _is_tag(one) or _is_tag(other)
    return (
        _gap(one, other) < (_APART_MM if squares else _GAP_MM - 0.1)
        or point_to_segment(there, *one.leader) < _reach(other) + _CLEAR_MM
        or point_to_segment(places[other.key], *one.leader) < MARKER_MM + _CLEAR_MM
        or segments_apart(*one.leader, *other.leader) < _CLEAR_MM
    )


def _nearest(p: Point, a: Point, b: Point) -> Point:
    """The point of a segment that is nearest to another."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy or 1.0)
    share = min(1.0, max(0.0, along))
    return (a[0] + dx * share, a[1] + dy * share)
