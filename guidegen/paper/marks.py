"""Marks for whoever prints and folds: the 100 mm check bar, fold ticks, cut lines, small print."""

from __future__ import annotations

from collections.abc import Sequence

from guidegen.drawing.primitives import Group, Item, Line, Point, Style, translate
from guidegen.paper.sheets import EDGE_MM, Duplex
from guidegen.paper.text import SMALLEST_PT, TextStyle, Words, wrap

NOTE_STYLE = TextStyle(SMALLEST_PT, colour="#404040", leading=1.15)
BAR_MM = 100.0
BAR_CAPTION = "100 mm — if this bar is not 100 mm long, the printer scaled the sheet"
TICK_MM = 3.0
GAP_AT_FOLD_MM = 1.5
_INK = "#404040"
_BAR = Style(stroke=_INK, width_mm=0.35, round_ends=False)
_TICK = Style(stroke=_INK, width_mm=0.18, round_ends=False)
_CUT = Style(stroke=_INK, width_mm=0.25, dash_mm=(3.0, 1.5), round_ends=False)


def small_print(words: Words, x: float, baseline: float, width_mm: float) -> tuple[Item, ...]:
    """7 pt text in lines of width_mm; baseline is that of the last line."""
    lines = wrap(words, width_mm, NOTE_STYLE)
    items: list[Item] = []
    for above, line in enumerate(reversed(lines)):
        items += line.draw(x, baseline - above * NOTE_STYLE.line_mm)
    return tuple(items)


def check_bar(
    x: float, y: float, breaks_mm: Sequence[float] = (), length_mm: float = BAR_MM
) -> tuple[Item, ...]:
    """A bar from x to the right, its ends marked; interrupted around breaks_mm, counted from its start."""
    end = x + length_mm
    items: list[Item] = [Line(((at, y - 1.0), (at, y + 1.0)), _BAR) for at in (x + 0.175, end - 0.175)]
    start = x
    for at in [*sorted(breaks_mm), length_mm + GAP_AT_FOLD_MM]:
        items.append(Line(((start, y), (x + at - GAP_AT_FOLD_MM, y)), _BAR))
        start = x + at + GAP_AT_FOLD_MM
    return tuple(items)


def turned(items: Sequence[Item], x: float, y: float, turn_deg: int) -> Group:
    """The items turned clockwise about their origin, which comes to stand at x, y."""
    if turn_deg == 0:
        return Group(tuple(items), transform=translate(x, y))
    cos, sin = {90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}[turn_deg]
    return Group(tuple(items), transform=(cos, sin, -sin, cos, x, y))


def fold_tick(at: Point, inwards: Point) -> Item:
    """A short line on a fold, from 5 mm inside the sheet's edge at `at` in the direction of `inwards`."""
    (x, y), (dx, dy) = at, inwards
    near, far = EDGE_MM, EDGE_MM + TICK_MM
    return Line(((x + dx * near, y + dy * near), (x + dx * far, y + dy * far)), _TICK)


def cut_line(start: Point, end: Point) -> tuple[Item, ...]:
    """A dashed line to cut along, its ends marked across it."""
    across = (0.0, 1.5) if start[1] == end[1] else (1.5, 0.0)
    ends = [
        Line(((x - across[0], y - across[1]), (x + across[0], y + across[1])), _TICK) for x, y in (start, end)
    ]
    return (Line((start, end), _CUT), *ends)


def turning_note(duplex: Duplex, two_sided: bool = True, paper: str = "A4") -> str:
    """How to print, for the small print on every sheet; the paper is named where it is not the usual one."""
    on = "Print" if paper == "A4" else f"Print on {paper} paper,"
    if not two_sided:
        return f"{on} on one side, at 100 %."
    return f"{on} on both sides at 100 %, turning on the {duplex} edge."
