"""The vehicle from outside: sides, ends, roof and under the floor, with the outside points where they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from msgspec import Struct

from guidegen.documents.guide.columns import ENOUGH, Laid, flowed
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

_SHARES = (0.95, 0.9, 0.85, 0.8, 0.75)  # of the largest scale, with which pages may be fuller, or saved
_FILLED = 0.55  # share of a page that is full enough
_TITLE = "Seen from outside"

_Row: TypeAlias = tuple[View, ...]  # side by side, as wide as the page


class _OnPages(Struct, frozen=True):
    """The chapter's blocks on pages, from `at` down on the first of them."""

    kit: Kit
    at: float
    laid: Laid

    @property
    def full(self) -> bool:
        """Whether the emptiest page is full enough; where all stand on one, it is."""
        look, pages = self.kit.look, self.laid.pages
        if len(pages) == 1:
            return True
        return min(max(o.y + o.height for o in page) for page in pages) >= look.top + _FILLED * look.height

    def chapter(self) -> Chapter:
        pages = self.laid.drawn(*parting_rule(self.kit, self.at, PARTED_MM if self.at else 0.0))
        return Chapter("outside", _TITLE, tuple(pages), runs_on=bool(self.at))


def views_chapter(kit: Kit, before: Chapter) -> Chapter | None:
    """The views that have points to show; None when there are none.

    They run on below the chapter before where that leaves room for the first. Smaller ones are drawn where
    pages are likely to be fuller with them.
    """
    views = _views(kit, 1.0)
    if not views:
        return None
    largest = _on_pages(kit, before, views)
    if largest.full:
        return largest.chapter()
    for share in _SHARES:
        scale = share * _largest_scale(kit)
        if not _on_pages(kit, before, [tuple(view.smaller(scale) for view in row) for row in views]).full:
            continue
        try:
            found = _on_pages(kit, before, _views(kit, share))
        except CannotPlace:
            break  # the smaller, the more crowded
        if found.full:
            return found.chapter()
    return largest.chapter()


def _on_pages(kit: Kit, before: Chapter, views: Sequence[_Row]) -> _OnPages:
    head = (
        title_block(kit, "outside", _TITLE),
        Paragraph(
            text="To scale, the sides as you stand before them. "
            f"Facing forward, the nearside is on your {kit.context.vehicle.nearside}.",
            style=kit.look.body,
            keep_with_next=True,
        ),
    )
    blocks = [_row(kit, row) for row in views]
    at = start_below(kit, before, stack_height_mm((*head, blocks[0]), kit.look.width))
    return _OnPages(kit, at, flowed(kit, (*head, *blocks), at, ENOUGH))


def _width(kit: Kit) -> float:
    return kit.look.width / kit.look.drawing_scale


def _largest_scale(kit: Kit) -> float:
    return fitting_scale(kit.context.vehicle.layout, _width(kit))


def _views(kit: Kit, share: float) -> list[_Row]:
    """All views, at a share of the largest scale."""
    width, scale = _width(kit), share * _largest_scale(kit)
    above = views_from_above(kit.context, width, scale, over=_linked)
    return [*_sides(kit, width, scale), *((view,) for view in above)]


def _sides(kit: Kit, width: float, scale: float) -> Iterator[_Row]:
    """The long sides one below the other, the ends side by side; one end alone stands in the middle."""
    points = kit.context.vehicle.points
    for side, title in LONG_SIDES:
        if view := side_view(kit.context, side, title, width, scale, over=_linked):
            yield (view,)
    ends = [(side, title) for side, title in ENDS if any(p.where == side for p in points)]
    room = width if len(ends) == 1 else (width - kit.look.gutter / kit.look.drawing_scale) / 2
    smallest = min(END_SCALE, scale)
    found = (side_view(kit.context, side, title, room, smallest, over=_linked) for side, title in ends)
    if row := tuple(view for view in found if view):
        yield row


def _linked(shape: Circle | Rect, point: ServicePoint) -> Sequence[Item]:
    return (badge_link(shape, point),)


def _row(kit: Kit, row: _Row) -> Block:
    if len(row) == 1:
        return _block(kit, row[0])
    cells = tuple(Cell(_block(kit, view)) for view in row)
    return Row(cells=cells, gap=kit.look.gutter, space_before_mm=4.0, space_after_mm=3.0)


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
