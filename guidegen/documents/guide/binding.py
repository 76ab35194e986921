"""How chapters are bound: running heads, page numbers, inner margins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from guidegen.documents.guide.look import turned_page
from guidegen.documents.guide.pages import Bound, Kit
from guidegen.documents.guide.references import pages_of, resolved
from guidegen.documents.parts import SOFT_INK
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Anchor, Destination, Item, Line, Sheet, Style, Text, moved
from guidegen.paper.text import BODY_PT, SMALLEST_PT, DoesNotFit, TextLine, TextStyle, balance

Lines: TypeAlias = tuple[TextLine, ...]

_BELOW_HEAD_MM = 2.2  # to the rule
_BETWEEN_HEADS_MM, _CLEAR_MM = 6.0, 5.5  # and from the sheet's edge
BETWEEN = " · "  # the titles of chapters that share a page


def bind(kit: Kit, bound: Sequence[Bound], cover: Sequence[tuple[Item, ...]]) -> tuple[Sheet, ...]:
    """The sheets of the book: the cover's pages without heads, then those of the chapters with them.

    What several chapters have on one page stands on one sheet, under the titles of all.
    """
    known = pages_of(bound)
    turned = {one.first + n for one in bound if one.chapter.turned for n in range(len(one.chapter.pages))}
    pages: dict[int, tuple[list[str], list[Item]]] = {}
    for number, items in enumerate(cover, 1):
        pages[number] = (["Contents"] if number > 1 else [], list(items))
    for one in bound:
        for number, items in enumerate(one.chapter.pages, one.first):
            titles, drawn = pages.setdefault(number, ([], []))
            titles.append(one.chapter.title)
            drawn += resolved(items, known)
    return tuple(
        _sheet(_kit_of(kit, number in turned), number, tuple(drawn), BETWEEN.join(titles))
        for number, (titles, drawn) in pages.items()
    )


def _kit_of(kit: Kit, turned: bool) -> Kit:
    """That of the page."""
    look = turned_page(kit.look) if turned else None
    return Kit(kit.context, look) if look else kit


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
    name, chapter = _heads(kit, title)
    for lines, left in ((name, odd), (chapter, not odd)):
        for line, text in enumerate(reversed(lines)):
            y = look.head - line * text.style.line_mm
            yield from text.draw(0.0 if left else width, y, "start" if left else "end")
    y = look.head + _BELOW_HEAD_MM
    yield Line(((0.0, y), (width, y)), Style(stroke=SOFT_INK, width_mm=0.18))
    figure = look.body.size_pt
    yield Text(
        width if odd else 0.0, look.foot, str(number), figure, "bold", SOFT_INK, "end" if odd else "start"
    )
    said, style = _firm(kit, width - 14.0)
    side: Anchor = "start" if odd else "end"
    yield Text(0.0 if odd else width, look.foot, said, style.size_pt, "regular", SOFT_INK, side)


def _heads(kit: Kit, title: str) -> tuple[Lines, Lines]:
    """Vehicle and chapter, whole: side by side, else on lines above, else smaller as well.

    Neither is smaller in large print. Where they do not fit even so the chapter stands alone.
    """
    look, room = kit.look, kit.look.width - _BETWEEN_HEADS_MM
    texts = (kit.context.vehicle.name, title)
    for size in sorted({look.running.size_pt, *_smaller(look.running)}, reverse=True):
        style = look.running.at(size)
        styles = (style, style.bold)
        wide = [s.width_mm(text) for s, text in zip(styles, texts, strict=True)]
        short = min(*wide, room / 2)
        rooms = [short if w == min(wide) else room - short for w in wide]
        try:
            found = [
                balance(text, round(w + 0.01, 4), s) for text, w, s in zip(texts, rooms, styles, strict=True)
            ]
        except DoesNotFit:
            continue
        highest = (look.head - _CLEAR_MM - cap_height_mm(size)) / style.line_mm
        if max(map(len, found)) - 1 <= highest:
            return found[0], found[1]
    return (), balance(title, look.width, look.running.bold)


def _smaller(style: TextStyle) -> tuple[float, ...]:
    """Sizes in which running heads and feet may be set where their own is too large."""
    return (SMALLEST_PT,) if style.size_pt < BODY_PT else ()


def _firm(kit: Kit, room_mm: float) -> tuple[str, TextStyle]:
    """The dealer's name and telephone, else smaller, else the one of them that fits."""
    dealer, style = kit.context.vehicle.dealer, kit.look.running
    if not dealer:
        return "", style
    both = "   ".join(word for word in (dealer.name, dealer.phone) if word)
    styles = [style, *(style.at(size) for size in _smaller(style))]
    for said in filter(None, (both, dealer.phone, dealer.name)):
        for one in styles:
            if one.width_mm(said) <= room_mm:
                return said, one
    return _shortened(both, room_mm, style), style


def _shortened(text: str, room_mm: float, style: TextStyle) -> str:
    """A running head as long as there is room: it repeats what stands in full elsewhere."""
    while text and style.width_mm(text.rstrip() + "…") > room_mm:
        text = text[:-1]
    return text.rstrip() + "…"
