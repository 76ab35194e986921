"""The cover: which vehicle, whose, from whom, its picture, and the contents with their pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.documents.guide.look import Look
from guidegen.documents.guide.pages import Bound, Kit
from guidegen.documents.guide.rows import address_lines, web_block
from guidegen.documents.parts import INK, SOFT_INK
from guidegen.drawing.logos import prepare_logo
from guidegen.drawing.pictures import photo_ratio, prepare_photo
from guidegen.drawing.primitives import Destination, Item, Line, Link, Picture, Style, Text, moved
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.flow import Frame, draw_all, fill
from guidegen.paper.text import Span
from guidegen.plan.body import draw_body
from guidegen.plan.frame import fit_frame
from guidegen.plan.furniture import draw_furniture
from guidegen.vehicle.model import day_in_words

Entry = tuple[str, int, str]  # title, page, destination


def cover_pages(look: Look) -> int:
    """How many pages stand before the first chapter: the contents have one of their own off A4."""
    return 1 if look.beside else 2


def cover(kit: Kit, chapters: Sequence[Bound]) -> list[tuple[Item, ...]]:
    """The cover, and the contents on it or on a page of their own."""
    entries = [(one.chapter.title, one.first, one.chapter.destination) for one in chapters]
    look = kit.look
    if cover_pages(look) == 1:
        columns = 2
        rows = -(-len(entries) // columns)
        top = look.bottom - rows * _pitch(look) - 8.0
        return [(*_face(kit, top - 6.0), *_contents(kit, entries, top, columns))]
    title = Text(0.0, look.top + 6.0, "Contents", look.title.size_pt, "bold", INK)
    return [
        tuple(_face(kit, look.bottom)),
        (title, *_contents(kit, entries, look.top + 14.0, 1, heading=False)),
    ]


def _pitch(look: Look) -> float:
    return look.body.size_pt * 0.58


def _contents(
    kit: Kit, entries: Sequence[Entry], top: float, columns: int, heading: bool = True
) -> Iterator[Item]:
    """Titles with their pages at the right, in columns read downwards; each row is a link."""
    look = kit.look
    gutter = look.gutter + 4.0
    width = (look.width - (columns - 1) * gutter) / columns
    rows = -(-len(entries) // columns)
    style, pitch = look.body, _pitch(look)
    yield Destination("contents", top, "Contents", 0)
    if heading:
        yield Text(0.0, top, "Contents", look.label.size_pt, "bold", INK)
        top += 2.0
    for n, (title, page, target) in enumerate(entries):
        x, y = (n // rows) * (width + gutter), top + (n % rows + 1) * pitch
        yield Text(x, y, title, style.size_pt, "regular", INK)
        yield Text(x + width, y, str(page), style.size_pt, "bold", INK, "end")
        start, end = x + style.width_mm(title) + 2.0, x + width - style.width_mm(str(page)) - 3.0
        if end > start:
            dots = Style(stroke=SOFT_INK, width_mm=0.25, dash_mm=(0.01, 1.4))
            yield Line(((start, y - 0.2), (end, y - 0.2)), dots)
        yield Link(x, y - pitch + 1.2, width, pitch, f"#{target}")


def _face(kit: Kit, bottom: float) -> Iterator[Item]:
    """Dealer, name, picture, and whose it is, from the top of the page to `bottom`."""
    look, vehicle = kit.look, kit.context.vehicle
    y = 14.0
    dealer_foot = y
    for item, foot in _dealer(kit, y):
        dealer_foot = max(dealer_foot, foot)
        yield item
    y = max(dealer_foot + 8.0, look.top + 8.0)
    words: tuple[Block, ...] = (
        Paragraph(text=vehicle.name, style=look.title),
        Paragraph(text="Owner's guide", style=look.heading, space_before_mm=1.0),
        Paragraph(text=vehicle.layout.name, style=look.body, space_before_mm=1.0),
    )
    placed, _ = fill(words, Frame(0.0, y, look.width, bottom - y))
    yield from draw_all(placed)
    y = placed[-1].y + placed[-1].height + 6.0
    facts = tuple(_facts(kit))
    below = fill(facts, Frame(0.0, 0.0, look.width, bottom))[0]
    height = below[-1].y + below[-1].height if below else 0.0
    room = bottom - height - 6.0 - y
    yield from _picture(kit, y, room)
    placed, _ = fill(facts, Frame(0.0, bottom - height, look.width, height + 0.1))
    yield from draw_all(placed)


def _dealer(kit: Kit, y: float) -> Iterator[tuple[Item, float]]:
    """The logo at the left, the firm's name, address and telephone at the right."""
    look, vehicle = kit.look, kit.context.vehicle
    dealer = vehicle.dealer
    if not dealer:
        return
    if dealer.logo:
        logo = prepare_logo(vehicle.folder / dealer.logo, 0.42 * look.width, 18.0)
        yield moved((logo.item,), 0.0, y), y + logo.height_mm
    lines = [(dealer.name, True), *((w, False) for w in (dealer.address, dealer.phone, dealer.web) if w)]
    width = look.width * (0.52 if dealer.logo else 1.0)
    if dealer.web:
        lines[-1:] = [(part, False) for part in address_lines(dealer.web, width, look.small)]
    blocks = [
        Paragraph(text=text, style=look.small.bold if bold else look.small, anchor="end")
        for text, bold in lines
    ]
    placed, _ = fill(blocks, Frame(look.width - width, y, width, 60.0))
    for item in draw_all(placed):
        yield item, placed[-1].y + placed[-1].height


def _facts(kit: Kit) -> Iterator[Block]:
    vehicle, look = kit.context.vehicle, kit.look
    dated = day_in_words(vehicle.printed_on)
    for label, text in (
        ("Owner", vehicle.owner),
        ("Stock no.", vehicle.stock_number),
        ("Printed", dated),
    ):
        if text:
            yield Paragraph(text=(Span(f"{label}  "), Span(text, "bold")), style=look.body)
    if vehicle.web:
        yield web_block(kit, vehicle.web, "This guide and more on the web:")
    yield Paragraph(
        text="The makers' handbooks, local rules and licensed engineers come before this guide.",
        style=look.small,
        space_before_mm=1.0,
    )


def _picture(kit: Kit, y: float, room: float) -> Iterator[Item]:
    """The photo, else the vehicle in plan."""
    look, vehicle = kit.look, kit.context.vehicle
    if vehicle.photo:
        height = min(room, look.width * 0.62)
        width = min(look.width, height * photo_ratio(vehicle.photo))  # whole, with its wheels
        data = prepare_photo(vehicle.photo, width, height)
        yield Picture((look.width - width) / 2, y, width, height, data, vehicle.name)
        return
    frame = fit_frame(vehicle.layout, (0.0, y, look.width, room), "landscape", vehicle.nearside, 1 / 30)
    yield from draw_body(vehicle.layout, frame)
    yield from draw_furniture(vehicle.layout, frame)
