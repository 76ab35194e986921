"""The page of a vehicle that stands, front up: the plan from head to foot, all else in columns beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.plan.arrange import Arrangement
from guidegen.plan.callouts import Box
from guidegen.plan.columns import spaced
from guidegen.plan.derived import upright
from guidegen.plan.insets import Detail

GAP_MM = 3.0  # between column and plan, and between insets
# Title and legend may stand beside the plan's words, in the strip that holds no badge.
OVERLAP_MM = 5.0
NARROWEST_MM = 33.0  # of a column: title and legend stand there


class UprightPage(Struct, frozen=True):
    """The arrangement on its page, the left and the right column, and where their furniture stands.

    heads: boxes at the head of the columns. foot: the box for legend and scale bar, None where no column
    has the room.
    """

    arrangement: Arrangement
    heads: tuple[Box, Box]
    foot: Box | None


class Furniture(Struct, frozen=True):
    """Heights in mm that the page's furniture wants in columns of a width: heads left and right, and foot."""

    left_mm: float
    right_mm: float
    foot_mm: float


def column_widths(found: Arrangement, page: Box) -> tuple[float, float] | None:
    """Widths of heads and feet beside a landscape arrangement turned upright; None when it is too large."""
    turned = upright(found, (0.0, 0.0))
    best = next(_sides(turned, page), None)
    return best and (max(best[1][0], NARROWEST_MM), max(best[1][1], NARROWEST_MM))


def upright_page(found: Arrangement, page: Box, furniture: Furniture) -> UprightPage | None:
    """A landscape arrangement turned upright in a box of the page (x, y, width, height).

    None when plan, insets and heads have no room together.
    """
    x, y, width, height = page
    turned = upright(found, (0.0, 0.0))
    for sides, (left, right) in _sides(turned, page):
        at = (x + left + GAP_MM, y + (height - turned.box[3]) / 2)
        standing = upright(found, at)
        sources = {d.letter: d.source for d in standing.details}
        tops = (y + furniture.left_mm, y + furniture.right_mm)
        starts = (x, x + width - right)
        for feet in _feet(sides, furniture.foot_mm):
            columns = [
                _column(side, sources, (start, wide), (top, y + height - foot))
                for side, start, wide, top, foot in zip(sides, starts, (left, right), tops, feet, strict=True)
            ]
            if any(column is None for column in columns):
                continue
            placed = [one for column in columns for one in column or ()]
            spans = (
                (x, max(left, NARROWEST_MM)),
                (x + width - max(right, NARROWEST_MM), max(right, NARROWEST_MM)),
            )
            heads = (
                (spans[0][0], y, spans[0][1], furniture.left_mm),
                (spans[1][0], y, spans[1][1], furniture.right_mm),
            )
            foot_box = next(
                (
                    (start, y + height - foot, wide, foot)
                    for (start, wide), foot in zip(spans, feet, strict=True)
                    if foot
                ),
                None,
            )
            arrangement = replace(
                standing,
                details=tuple(sorted((d for d, _ in placed), key=lambda d: d.letter)),
                corners={d.letter: corner for d, corner in placed},
            )
            return UprightPage(arrangement, heads, foot_box)
    return None


def _sides(
    turned: Arrangement, page: Box
) -> Iterator[tuple[tuple[list[Detail], list[Detail]], tuple[float, float]]]:
    """The insets left and right of the plan, and widths of the columns, best first.

    Each stands on the side of its letter; then, one after the other, those nearest the middle change over.
    """
    _, _, width, height = page
    x, _, wide, high = turned.box
    if high > height + 1e-6:
        return
    letters = {c.key: c.x - (x + wide / 2) for c in turned.placement.callouts}
    off = {d.letter: letters.get(f"inset:{d.letter}", 0.0) for d in turned.details}
    for moved in range(len(turned.details) + 1):
        inner = {d.letter for d in sorted(turned.details, key=lambda d: abs(off[d.letter]))[:moved]}
        sides: tuple[list[Detail], list[Detail]] = ([], [])
        for d in sorted(turned.details, key=lambda d: d.source[1] + d.source[3] / 2):
            sides[(off[d.letter] > 0) is not (d.letter in inner)].append(d)
        widths = [max([d.width for d in side], default=NARROWEST_MM - OVERLAP_MM) for side in sides]
        spare = width - wide - 2 * GAP_MM - sum(widths)
        if spare >= -1e-6:
            yield sides, (widths[0] + spare / 2, widths[1] + spare / 2)


def _feet(sides: Sequence[Sequence[Detail]], foot: float) -> list[tuple[float, float]]:
    """Heights to keep free at the feet of both columns: the emptier one first, at last none."""
    left, right = (sum(d.height + GAP_MM for d in side) for side in sides)
    choices = [(foot, 0.0), (0.0, foot)]
    return [*(choices if left <= right else choices[::-1]), (0.0, 0.0)]


def _column(
    side: Sequence[Detail],
    sources: dict[str, Box],
    across: tuple[float, float],
    down: tuple[float, float],
) -> list[tuple[Detail, tuple[float, float]]] | None:
    """The insets of one column, all as wide as it, near what they enlarge; None when they do not fit."""
    (x, width), (top, bottom) = across, down
    wanted = [sources[d.letter][1] + sources[d.letter][3] / 2 for d in side]
    starts = spaced([d.height for d in side], wanted, top, bottom, GAP_MM)
    if starts is None:
        return None
    return [
        (_widened(replace(d, source=sources[d.letter]), width), (x, start))
        for d, start in zip(side, starts, strict=True)
    ]


def _widened(d: Detail, width: float) -> Detail:
    """The inset in a wider frame, what it shows in the middle."""
    by = (width - d.width) / 2
    x, y, w, h = d.window
    return replace(
        d,
        window=(x + by, y, w, h),
        view=replace(d.view, x=d.view.x + by),
        places=tuple((k, (p[0] + by, p[1])) for k, p in d.places),
        callouts=tuple(
            replace(c, x=c.x + by, leader=tuple((px + by, py) for px, py in c.leader)) for c in d.callouts
        ),
        width=width,
    )
