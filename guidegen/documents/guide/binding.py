"""How chapters are bound: running heads, page numbers, inner margins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.documents.guide.pages import Bound, Kit
from guidegen.documents.parts import SOFT_INK
from guidegen.drawing.primitives import Destination, Item, Line, Sheet, Style, Text, moved
from guidegen.paper.text import TextStyle

BETWEEN = " · "  # the titles of chapters that share a page


def bind(kit: Kit, bound: Sequence[Bound], cover: Sequence[tuple[Item, ...]]) -> tuple[Sheet, ...]:
    """The sheets of the book: the cover's pages without heads, then those of the chapters with them.

    What several chapters have on one page stands on one sheet, under the titles of all.
    """
    pages: dict[int, tuple[list[str], list[Item]]] = {}
    for number, items in enumerate(cover, 1):
        pages[number] = (["Contents"] if number > 1 else [], list(items))
    for one in bound:
        for number, items in enumerate(one.chapter.pages, one.first):
            titles, drawn = pages.setdefault(number, ([], []))
            titles.append(one.chapter.title)
            drawn += items
    return tuple(
        _sheet(kit, number, tuple(drawn), BETWEEN.join(titles)) for number, (titles, drawn) in pages.items()
    )


def _sheet(kit: Kit, number: int, items: tuple[Item, ...], title: str) -> Sheet:
    look = kit.look
    x = look.inner if number % 2 else look.outer
    furniture = tuple(_furniture(kit, number, title)) if number > 1 else ()
    name = f"{number} {title or kit.context.vehicle.name}"
    page = Destination(f"page-{number}", look.top)
    content: tuple[Item, ...] = (page, moved((*furniture, *items), x, 0.0))
    return Sheet(look.paper.width_mm, look.paper.height_mm, content, name)


def _furniture(kit: Kit, number: int, title: str) -> Iterator[Item]:
    """The running head, vehicle inside and chapter outside, and the page number at the outer foot."""
    look, width = kit.look, kit.look.width
    odd = number % 2 == 1
    room = (width - 6.0) / 2
    names = (kit.context.vehicle.name, title)
    for text, side, weight in zip(names, (odd, not odd), ("regular", "bold"), strict=True):
        style = TextStyle(look.running.size_pt, "bold" if weight == "bold" else "regular", SOFT_INK)
        shown = _shortened(text, room, style)
        x, anchor = (0.0, "start") if side else (width, "end")
        yield Text(
            x,
            look.head,
            shown,
            style.size_pt,
            style.weight,
            SOFT_INK,
            "start" if anchor == "start" else "end",
        )
    y = look.head + 2.2
    yield Line(((0.0, y), (width, y)), Style(stroke=SOFT_INK, width_mm=0.18))
    figure = look.body.size_pt
    yield Text(
        width if odd else 0.0, look.foot, str(number), figure, "bold", SOFT_INK, "end" if odd else "start"
    )
    dealer = kit.context.vehicle.dealer
    if dealer:
        said = "   ".join(word for word in (dealer.name, dealer.phone) if word)
        shown = _shortened(said, width - 14.0, look.running)
        yield Text(
            0.0 if odd else width,
            look.foot,
            shown,
            look.running.size_pt,
            "regular",
            SOFT_INK,
            "start" if odd else "end",
        )


def _shortened(text: str, room_mm: float, style: TextStyle) -> str:
    """A running head as long as there is room: it repeats what stands in full elsewhere."""
    if style.width_mm(text) <= room_mm:
        return text
    while text and style.width_mm(text.rstrip() + "…") > room_mm:
        text = text[:-1]
    return text.rstrip() + "…"
