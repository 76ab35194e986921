"""The vehicle from outside: sides, ends, roof and under the floor, with the outside points where they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.documents.guide.columns import ENOUGH, flowed
from guidegen.documents.guide.pages import (
    PARTED_MM,
    Chapter,
    Kit,
    enlarged,
    label_block,
    parting_rule,
    start_below,
    title_block,
)
from guidegen.documents.guide.rows import badge_link, held, place_of
from guidegen.documents.outside_views import (
    END_SCALE,
    ENDS,
    LONG_SIDES,
    View,
    fitting_scale,
    side_view,
    views_from_above,
)
from guidegen.drawing.primitives import Circle, Item, Rect
from guidegen.paper.blocks import Block, Drawing, Paragraph
from guidegen.paper.containers import Cell, KeepTogether, Row
from guidegen.paper.flow import stack_height_mm
from guidegen.paper.text import Span
from guidegen.plan.callouts import CannotPlace
from guidegen.vehicle.model import ServicePoint

_SHARES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75)  # of the largest scale, with which pages may be fuller, or saved
_FILLED = 0.55  # share of a page that is full enough


def views_chapter(kit: Kit, before: Chapter) -> Chapter | None:
    """The views that have points to show; None when there are none.

    They run on below the chapter before where that leaves room for the first.
    """
    largest: Chapter | None = None
    for share in _SHARES:
        try:
            found, foot = _chapter(kit, before, share)
        except CannotPlace:
            if not largest:
                raise
            break  # the smaller, the more crowded
        largest = largest or found
        if found is None or foot >= kit.look.top + _FILLED * kit.look.height:
            return found
    return largest


def _chapter(kit: Kit, before: Chapter, share: float) -> tuple[Chapter | None, float]:
    """The chapter with its views at a share of their scale, and where its emptiest page ends."""
    width = kit.look.width / kit.look.drawing_scale
    scale = fitting_scale(kit.context.vehicle.layout, width) * share
    above = views_from_above(kit.context, width, scale, over=_linked)
    blocks = [*_sides(kit, width, scale), *(_block(kit, view) for view in above)]
    if not blocks:
        return None, 0.0
    head = (
        title_block(kit, "outside", "Seen from outside"),
        Paragraph(
            text="To scale, the sides as you stand before them. "
            f"Facing forward, the nearside is on your {kit.context.vehicle.nearside}.",
            style=kit.look.body,
            keep_with_next=True,
        ),
    )
    at = start_below(kit, before, stack_height_mm((*head, blocks[0]), kit.look.width))
    laid = flowed(kit, (*head, *blocks), at, ENOUGH)
    pages = tuple(laid.drawn(*parting_rule(kit, at, PARTED_MM if at else 0.0)))
    feet = [max(one.y + one.height for one in page) for page in laid.pages]
    foot = min(feet) if len(pages) > 1 else kit.look.bottom
    return Chapter("outside", "Seen from outside", pages, runs_on=bool(at)), foot


def _sides(kit: Kit, width: float, scale: float) -> Iterator[Block]:
    """The long sides one below the other, the ends side by side; one end alone stands in the middle."""
    points = kit.context.vehicle.points
    for side, title in LONG_SIDES:
        if view := side_view(kit.context, side, title, width, scale, over=_linked):
            yield _block(kit, view)
    ends = [(side, title) for side, title in ENDS if any(p.where == side for p in points)]
    half = (width - kit.look.gutter / kit.look.drawing_scale) / 2
    found = [
        view
        for side, title in ends
        if (
            view := side_view(
                kit.context,
                side,
                title,
                width if len(ends) == 1 else half,
                min(END_SCALE, scale),
                over=_linked,
            )
        )
    ]
    if len(found) == 2:
        cells = tuple(Cell(_block(kit, view)) for view in found)
        yield Row(cells=cells, gap=kit.look.gutter, space_before_mm=4.0, space_after_mm=3.0)
    else:
        yield from (_block(kit, view) for view in found)


def _linked(shape: Circle | Rect, point: ServicePoint) -> Sequence[Item]:
    return (badge_link(shape, point),)


def _block(kit: Kit, view: View) -> Block:
    """Title, drawing with callouts, and the names of its numbers in one paragraph."""
    scale = kit.look.drawing_scale
    drawing = Drawing(
        items=(enlarged(kit, view.items, 0.0, 0.0),),
        width=view.width * scale,
        height=view.height * scale,
        title=view.title,
    )
    return KeepTogether(
        blocks=(label_block(kit, view.title), drawing, _names(kit, view.points)),
        space_before_mm=6.0,
        space_after_mm=4.0,
    )


def _names(kit: Kit, points: Sequence[ServicePoint]) -> Paragraph:
    spans: list[Span] = []
    for point in sorted(points, key=lambda p: p.number):
        spans.append(Span(f"{point.number}\N{NO-BREAK SPACE}", "bold", target=f"#{place_of(point.id)}"))
        spans.append(Span(f"{held(point.name)}.  "))
    spans[-1] = Span(spans[-1].text.rstrip())
    return Paragraph(text=tuple(spans), style=kit.look.small, space_before_mm=1.0)
