"""Strips along the edges of a sheet that hold the enlarged details of a plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.plan.callouts import Box
from guidegen.plan.insets import Detail, least_size, least_width

_FULL = 0.12  # share of a strip that may be spare for its details to be spread over all of it
GAP_MM = 4.0  # between details, and between them and the plan


class Strips(Struct, frozen=True):
    """The room that a plan of a size leaves in a box for strips of details.

    lying: the strips lie below and above the plan, else they stand right and left of it.
    """

    box: Box
    size: Point
    lying: bool

    @property
    def most(self) -> Point:
        """Width and height of the largest detail that there is room for."""
        across = self.box[3] - self.size[1] if self.lying else self.box[2] - self.size[0]
        return (self.box[2], across - GAP_MM) if self.lying else (across - GAP_MM, self.box[3])

    def may_hold(self, crowds: Iterable[Mapping[str, Point]], titles: Iterable[str] = ()) -> bool:
        """False when no layout of details of these crowds can fit, by the least sizes of their frames.

        titles: what the frames are headed with, in one line.
        """
        sizes = [least_size(places) for places in crowds]
        if not sizes:
            return True
        most = self.most
        if any(s[0] > most[0] or s[1] > most[1] for s in sizes):
            return False
        if any(least_width(title) > most[0] for title in titles):
            return False
        along, deep = (most[0], most[1]) if self.lying else (most[1], most[0])
        deepest = max(s[1] if self.lying else s[0] for s in sizes)
        rows = 2 if 2 * deepest + GAP_MM <= deep else 1
        return sum((s[0] if self.lying else s[1]) + GAP_MM for s in sizes) <= rows * (along + GAP_MM)

    def in_one(self, details: Sequence[Detail], shorter: Sequence[Detail]) -> list[Detail]:
        """The details, as few as need be in their shorter shape along the strip, for all to stand in one."""
        size = [(d.width, d.height) if self.lying else (d.height, d.width) for d in details]
        less = [(d.width, d.height) if self.lying else (d.height, d.width) for d in shorter]
        deepest = max(across for _, across in size)
        room = (self.box[2] if self.lying else self.box[3]) - GAP_MM * (len(details) - 1)
        found, length = list(details), sum(along for along, _ in size)
        for n in sorted(
            range(len(found)), key=lambda n: (max(0.0, less[n][1] - deepest), less[n][0] - size[n][0], n)
        ):
            if length <= room:
                break
            if less[n][0] < size[n][0]:
                found[n], length = shorter[n], length - size[n][0] + less[n][0]
        return found


def pack(
    details: Sequence[Detail], box: Box, flat: bool, gap_mm: float = GAP_MM
) -> tuple[dict[str, Point], Box] | None:
    """Puts the details into strips along the box, near what they enlarge; None when they do not fit.

    flat: strips lie below and above (landscape), else right and left. Returns the top left corner of
    each by letter, and the box that is left for the plan.
    """
    if not details:
        return {}, box
    x, y, width, height = box
    along = width if flat else height
    for split in _splits(details, flat, x + width / 2, y + height / 2):
        strips = [_strip(group, along, x if flat else y, flat, gap_mm) for group in split]
        if any(strip is None for strip in strips):
            continue
        depths = [
            max((d.height if flat else d.width for d in group), default=-gap_mm) + gap_mm for group in split
        ]
        corners: dict[str, Point] = {}
        for n, (group, strip) in enumerate(zip(split, strips, strict=True)):
            for d, start in zip(group, strip or (), strict=True):
                across = (
                    (y + height - d.height if n == 0 else y)
                    if flat
                    else (x + width - d.width if n == 0 else x)
                )
                corners[d.letter] = (start, across) if flat else (across, start)
        first, second = depths[0], depths[1] if len(depths) > 1 else 0.0
        left = (
            (x, y + second, width, height - first - second)
            if flat
            else (x + second, y, width - first - second, height)
        )
        return corners, left
    return None


def _splits(
    details: Sequence[Detail], flat: bool, middle_x: float, middle_y: float
) -> list[list[list[Detail]]]:
    """All in one strip, else by the half of the vehicle that they lie in, else evenly."""

    def along(d: Detail) -> float:
        return d.source[0] if flat else d.source[1]

    def low(d: Detail) -> bool:
        return d.source[1] + d.source[3] / 2 > middle_y if flat else d.source[0] + d.source[2] / 2 > middle_x

    ordered = sorted(details, key=along)
    halves = [[d for d in ordered if low(d)], [d for d in ordered if not low(d)]]
    return [[ordered], halves, [ordered[::2], ordered[1::2]]]


def _strip(
    group: Sequence[Detail], length: float, start: float, flat: bool, gap: float
) -> list[float] | None:
    """Where each detail begins along a strip, as near to its source as the others allow.

    A strip that is nearly full runs from end to end.
    """
    sizes = [d.width if flat else d.height for d in group]
    spare = length - sum(sizes) - gap * max(0, len(sizes) - 1)
    if spare < 0:
        return None
    if len(sizes) > 1 and spare < _FULL * length:
        gap += spare / (len(sizes) - 1)
    begins: list[float] = []
    at = start
    for d, size in zip(group, sizes, strict=True):
        middle = d.source[0] + d.source[2] / 2 if flat else d.source[1] + d.source[3] / 2
        begins.append(max(at, middle - size / 2))
        at = begins[-1] + size + gap
    end = start + length
    for n in range(len(begins) - 1, -1, -1):
        begins[n] = min(begins[n], end - sizes[n])
        end = begins[n] - gap
    return begins
