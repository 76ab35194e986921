"""A crowd of points enlarged in a frame, and the names of its points in a column beside them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations, product

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.primitives import Point
from guidegen.paper.text import DoesNotFit, TextStyle, balance
from guidegen.plan.arrange import MARKER_MM
from guidegen.plan.callouts.assignment import Matching
from guidegen.plan.insets import Detail
from guidegen.plan.labels import Label, led, meeting, mended
from guidegen.plan.markers import INK

NAME = TextStyle(8.5, "regular", INK, 1.2, "en")
NAMES_MM = 30.0  # least width of the column of names
FRAME_MM, BETWEEN_MM = 2.0, 9.0  # about window and names; between the two
PAD_MM = 1.3  # within a label, at both sides of its text
_GAPS_MM = (1.0, 3.0, 5.5, 8.0)  # between names
_ENLARGED = (1.0, 1.3, 1.6, 2.0, 2.5, 3.0)
_TALLEST_MM = 70.0
_WINDOW_MM = 27.0
_SHARES = (0.5, 0.2, 0.8, 0.0, 1.0)  # of the spare height above the names


class NamedCrowd(Struct, frozen=True):
    """The detail with its window in a frame, and its labels there, all in the frame's mm."""

    detail: Detail
    labels: tuple[Label, ...]


class _Stack(Struct, frozen=True):
    """Labels one below the other: their common left edge and width, where leaders meet them, their tops."""

    x: float
    width: float
    edge: float
    places: Mapping[str, Point]
    texts: Mapping[str, tuple[str, ...]]
    gap: float

    def height(self, key: str) -> float:
        return len(self.texts[key]) * NAME.line_mm + 0.8

    def labels(self, order: Sequence[str], top: float) -> list[Label]:
        found, y = [], top
        for key in order:
            high = self.height(key)
            label = Label(
                key, self.places[key], MARKER_MM, (self.x, y, self.width, high), (), self.texts[key]
            )
            found.append(led(label, None, (self.edge, y + high / 2)))
            y += high + self.gap
        return found


def frame_width(details: Sequence[Detail]) -> float:
    """Of frames in which the windows may be enlarged as much as they mostly need; 0 without any."""
    if not details:
        return 0.0
    return max(_WINDOW_MM, *(d.window[2] for d in details)) + 2 * FRAME_MM + BETWEEN_MM + NAMES_MM


def named_crowd(d: Detail, names: Mapping[str, str], width: float, left: bool) -> NamedCrowd | None:
    """The crowd in a frame of a width, its window at the right in a left column, else at the left.

    It is enlarged until its leaders pass each other and the markers; None when none of that helps.
    """
    for by, gap in sorted(product(_ENLARGED, _GAPS_MM), key=lambda one: one[0] + one[1] / 5):
        found = _named(_zoomed(d, by), names, width, gap, left)
        if found:
            return found
    return None


def _named(d: Detail, names: Mapping[str, str], width: float, gap: float, left: bool) -> NamedCrowd | None:
    _, _, wide, high = d.window
    room = width - wide - 2 * FRAME_MM - BETWEEN_MM
    if room < NAMES_MM - 1e-6 or high > _TALLEST_MM:
        return None
    keys = [k for k, _ in d.places if k in names]
    try:
        texts = {k: tuple(t.text for t in balance(names[k], room - 2 * PAD_MM, NAME)) for k in keys}
    except DoesNotFit:
        return None
    stack_mm = sum(len(texts[k]) * NAME.line_mm + 0.8 + gap for k in keys) - gap
    tall = max(high, stack_mm) + 2 * FRAME_MM
    at = (width - FRAME_MM - wide if left else FRAME_MM, (tall - high) / 2)
    framed = _framed(d, at, width, tall)
    x, edge = (FRAME_MM, FRAME_MM + room) if left else (width - FRAME_MM - room, width - FRAME_MM - room)
    stack = _Stack(x, room, edge, dict(framed.places), texts, gap)
    first = _shortest(stack, keys, tall)
    for share in _SHARES:
        labels = _untangled(stack, first, FRAME_MM + (tall - 2 * FRAME_MM - stack_mm) * share)
        if labels:
            return NamedCrowd(framed, tuple(labels))
    return None


def _shortest(stack: _Stack, keys: Sequence[str], tall: float) -> list[str]:
    """The order from above that has the shortest leaders, were all labels equally high."""
    slot = sum(stack.height(k) for k in keys) / len(keys) + stack.gap
    top = (tall - slot * (len(keys) - 1)) / 2
    costs = [
        [math.dist(stack.places[k], (stack.edge, top + n * slot)) for n in range(len(keys))] for k in keys
    ]
    return sorted(keys, key=dict(zip(keys, Matching(costs).column_of, strict=True)).__getitem__)


def _untangled(stack: _Stack, order: Sequence[str], top: float) -> list[Label] | None:
    """Labels in an order with no clash, found by exchanging two at a time; None when that does not help."""
    best, now = list(order), stack.labels(order, top)
    left = len(meeting(now))
    while left:
        trials = []
        for i, j in combinations(range(len(best)), 2):
            swapped = [*best]
            swapped[i], swapped[j] = swapped[j], swapped[i]
            labels = stack.labels(swapped, top)
            trials.append((len(meeting(labels)), i, j, swapped, labels))
        fewest = min(trials, key=lambda trial: trial[:3], default=None)
        if fewest is None or fewest[0] >= left:
            now = mended(now)
            return None if meeting(now) else now
        left, _, _, best, now = fewest
    return now


def _zoomed(d: Detail, by: float) -> Detail:
    x, y, w, h = d.window
    view = replace(d.view, scale=d.view.scale * by, x=d.view.x * by, y=d.view.y * by)
    places = tuple((k, (px * by, py * by)) for k, (px, py) in d.places)
    return replace(d, zoom=d.zoom * by, window=(x * by, y * by, w * by, h * by), view=view, places=places)


def _framed(d: Detail, at: Point, width: float, height: float) -> Detail:
    """The crowd's window with its corner at a point of a frame of another size."""
    dx, dy = at[0] - d.window[0], at[1] - d.window[1]
    return replace(
        d,
        window=(*at, d.window[2], d.window[3]),
        view=replace(d.view, x=d.view.x + dx, y=d.view.y + dy),
        places=tuple((k, (x + dx, y + dy)) for k, (x, y) in d.places),
        callouts=(),
        width=width,
        height=height,
    )
