"""Sheets that follow another's arrangement: some points alone, or the whole turned upright.

A point is then found at the same place round the vehicle on every sheet, and the numbers run on alike.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from msgspec.structs import replace

from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.primitives import Point
from guidegen.paper.text import TextStyle, balance
from guidegen.plan.arrange import Arrangement
from guidegen.plan.callouts import Box, Callout
from guidegen.plan.frame import Frame
from guidegen.plan.insets import FOOT_MM, LETTER_MM, SIDE_MM, TITLE_LINE_MM, TITLE_MM, TITLE_PT, Detail

_HEAD_PAD_MM = 0.8  # between an inset's title and what it holds
_TITLE_STYLE = TextStyle(TITLE_PT, "bold")


def only(found: Arrangement, keys: Collection[str]) -> Arrangement:
    """The arrangement with the callouts of these points alone, all where they were.

    Insets without any of them are left out; the others keep the places of all that they enlarge.
    """
    details = tuple(
        replace(
            d,
            keys=tuple(k for k in d.keys if k in keys),
            callouts=tuple(c for c in d.callouts if c.key in keys),
        )
        for d in found.details
        if any(k in keys for k in d.keys)
    )
    shown = {f"inset:{d.letter}" for d in details}.union(keys)
    callouts = tuple(c for c in found.placement.callouts if c.key in shown)
    return replace(
        found,
        placement=replace(found.placement, callouts=callouts),
        details=details,
        corners={d.letter: found.corners[d.letter] for d in details},
        order=tuple(k for k in found.order if k in keys),
    )


def untitled(found: Arrangement) -> Arrangement:
    """The arrangement with insets by their letters alone: "Gas locker" over an inset is an answer."""
    return replace(found, details=tuple(replace(d, title="") for d in found.details))


class _Turn(NamedTuple):
    """A quarter turn clockwise and a shift: (x, y) becomes (across − y, down + x)."""

    across: float
    down: float

    def point(self, p: Point) -> Point:
        return (self.across - p[1], self.down + p[0])

    def box(self, box: Box) -> Box:
        x, y, w, h = box
        return (self.across - y - h, self.down + x, h, w)

    def frame(self, frame: Frame) -> Frame:
        """Of a vehicle that lies with its front at the left: it then stands, front up."""
        x = self.across - frame.y - frame.width_mm * frame.scale
        return replace(frame, x=x, y=self.down + frame.x, orientation="portrait")

    def callout(self, c: Callout) -> Callout:
        x, y = self.point((c.x, c.y))
        return replace(c, x=x, y=y, leader=tuple(self.point(p) for p in c.leader))


def upright(found: Arrangement, at: Point, narrowest_mm: float = 33.0) -> Arrangement:
    """A landscape arrangement turned so that the front is up, the corner of its box at a point of the sheet.

    Badges must be as wide as they are high. Insets keep what they show, turned with the plan; their frames
    are laid out anew under upright titles, none narrower than its title's words in lines of narrowest_mm,
    and all lie in one corner until a sheet places them.
    """
    x, y, _, height = found.box
    turn = _Turn(at[0] + y + height, at[1] - x)
    details = tuple(_upright_detail(d, turn, narrowest_mm) for d in found.details)
    return replace(
        found,
        frame=turn.frame(found.frame),
        box=turn.box(found.box),
        places={k: turn.point(p) for k, p in found.places.items()},
        placement=replace(found.placement, callouts=tuple(turn.callout(c) for c in found.placement.callouts)),
        details=details,
        corners={d.letter: at for d in details},
    )


def _upright_detail(d: Detail, on_plan: _Turn, narrowest: float) -> Detail:
    """The inset turned, its frame as large as what it holds now needs."""
    boxes = [d.window, *(_extent(c) for c in d.callouts)]
    high = max(y + h for _, y, _, h in boxes) - min(y for _, y, _, _ in boxes)
    wide = max(x + w for x, _, w, _ in boxes) - min(x for x, _, _, _ in boxes)
    width = max(high + 2 * SIDE_MM, narrowest)
    title = tuple(line.text for line in balance(d.title.replace("\n", " "), width - LETTER_MM, _TITLE_STYLE))
    width = max(width, *(text_width_mm(line, TITLE_PT, "bold") + LETTER_MM for line in title))
    head = TITLE_MM + (len(title) - 1) * TITLE_LINE_MM + _HEAD_PAD_MM
    turn = _Turn((width + high) / 2 + min(y for _, y, _, _ in boxes), head - min(x for x, _, _, _ in boxes))
    return replace(
        d,
        source=on_plan.box(d.source),
        window=turn.box(d.window),
        view=turn.frame(d.view),
        places=tuple((k, turn.point(p)) for k, p in d.places),
        callouts=tuple(turn.callout(c) for c in d.callouts),
        width=width,
        title="\n".join(title),
        height=wide + head + FOOT_MM,
    )


def _extent(c: Callout) -> Box:
    return (c.x - c.width_mm / 2, c.y - c.height_mm / 2, c.width_mm, c.height_mm)
