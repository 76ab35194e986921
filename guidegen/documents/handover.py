"""The handover sheet: the walk past every point with what to show and say, then a page to sign, twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import count

from guidegen.documents.context import Context
from guidegen.documents.cover import danger_blocks
from guidegen.documents.form_page import FormPage, page_of
from guidegen.documents.handed_over import thing_rows
from guidegen.documents.handover_map import draw_map
from guidegen.documents.handover_rows import ShowRow, StopHead
from guidegen.documents.parts import INK
from guidegen.documents.writing import LINE_MM, AtLeast, Blank, BlankRow, Lines, TickRow, side_by_side
from guidegen.drawing.primitives import Document, Sheet
from guidegen.paper.blocks import Block, Heading, Paragraph, Spacer
from guidegen.paper.containers import Stack
from guidegen.paper.flow import Frame, draw_all, evened, flow
from guidegen.paper.sheets import A4
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.markers import colour_of
from guidegen.sequence.touring import Stop, Tour, tour
from guidegen.trade.records import SequenceName, Trade, holds
from guidegen.vehicle.model import ServicePoint, Vehicle

_HEADING = TextStyle(11.0, "bold", INK)
_TEXT = TextStyle(9.0, colour=INK, leading=1.25, language="en")
_COPIES = ("Owner's copy", "Dealer's copy")
_SIGN_MM = 14.0
_NOTE = (
    "Walk from stop to stop. Show each point, say what it does, and let the owner do it. "
    "Tick it when the owner has found and tried it."
)
_TOGETHER: dict[SequenceName, str] = {
    "arrive": "Arrive, step by step, with the card in the owner's hand.",
    "leave": "Leave, step by step, with the card.",
    "lay-up": "Lay up before frost: show every drain once more.",
    "recommission": "First use after lay-up.",
}


def compose(context: Context) -> Document:
    """The walk, then the page to sign in two copies."""
    vehicle = context.vehicle
    walk = page_of(context, "Handover", A4, _NOTE)
    sign = page_of(context, "Handover", A4)
    route = tour(vehicle)
    frames: list[Frame] = []

    def supply() -> Iterator[Frame]:
        for number in count(1):
            below = above.height + 4.0 if number == 1 else 0.0
            frames.extend(walk.frames(number, 2, below))
            yield from frames[-2:]

    above = draw_map(vehicle, route, walk.width)
    columns = list(flow(tuple(_walk_blocks(context, route)), supply()))
    pages = -(-len(columns) // 2)
    columns[2 * pages - 2 :] = evened(columns[2 * pages - 2 :], frames[2 * pages - 2 : 2 * pages])
    notes = pages % 2  # each copy to sign has a leaf of its own, with lines on its back
    total = pages + notes + 2 * len(_COPIES)
    sheets = []
    for number in range(1, pages + 1):
        items = tuple(item for column in columns[2 * number - 2 : 2 * number] for item in draw_all(column))
        if number == 1:
            items = (*above.draw(frames[0].x, walk.top(), walk.width), *items)
        sheets.append(walk.sheet(items, number, total))
    if notes:
        sheets.append(_lined(sign, "Notes", pages + 1, total))
    for copy in _COPIES:
        sheets.append(_signature(context, sign, copy, pages, len(sheets) + 1, total))
        sheets.append(_lined(sign, f"Remarks, continued: {copy.lower()}", len(sheets) + 1, total))
    return Document(
        tuple(sheets),
        title=f"Handover: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="What to show at each stop, and the page to sign",
    )


# The walk


def _walk_blocks(context: Context, route: Tour) -> Iterator[Block]:
    vehicle, trade = context.vehicle, context.trade
    yield Heading(text="Say first", style=_HEADING, space_after_mm=1.0)
    yield from danger_blocks(context)
    said: set[str] = set()
    for number, stop in enumerate(route.stops, 1):
        yield StopHead(number=number, text=_stop_title(stop))
        for point in stop.points:
            yield ShowRow(
                number=point.number,
                title=point.name,
                place=point.place,
                say=_what_to_say(point, trade, said),
                colour=colour_of(point, trade),
            )
    yield Heading(text="Do together", style=_HEADING, space_before_mm=5.0, space_after_mm=1.5)
    for text in _together(context):
        yield TickRow(text=text, style=_TEXT)
    if vehicle.to_locate:
        yield Heading(
            text="Not located yet: find before handover",
            style=_HEADING,
            space_before_mm=5.0,
            space_after_mm=1.5,
        )
        for item in vehicle.to_locate:
            yield TickRow(text=(Span(item.name, "bold"), Span(f" {item.reason}")), style=_TEXT)


def _stop_title(stop: Stop) -> str:
    """Where most of the stop's points are, in the first two words of their places."""
    said = Counter(", ".join(point.place.split(", ")[:2]) for point in stop.points)
    outside = {place: n for place, n in said.items() if not stop.outside or place.startswith("Outside")}
    found = outside or said
    return max(found, key=lambda place: (found[place], place))


def _what_to_say(point: ServicePoint, trade: Trade, said: set[str]) -> str:
    """What the kind is for (once on the sheets), what this point serves, and its note."""
    kind = trade.kinds[point.kind]
    parts = []
    if kind.about and kind.id not in said:
        said.add(kind.id)
        parts.append(kind.about)
    if point.serves and kind.says:
        served = (trade.kinds[s].name if s in trade.kinds else s.replace("-", " ") for s in point.serves)
        parts.append(f"{kind.says[:1].upper()}{kind.says[1:]} the {' and the '.join(served)}.")
    if point.note:
        parts.append(point.note)
    return " ".join(parts)


def _together(context: Context) -> Iterator[str]:
    yield from _TOGETHER.values()
    if holds(("hook-up",), context.vehicle.facts):
        yield "What can run together on the hook-up (guide, numbers)."
    if context.vehicle.figures and context.vehicle.figures.masses.mtplm:
        yield "What may be loaded, and where the plate with the masses is."
    yield "Handbooks: the makers' instructions come before all of this."


# The page to sign


def _lined(page: FormPage, title: str, number: int, total: int) -> Sheet:
    """A page of lines to write on."""
    (frame,) = page.frames(number)
    head = Paragraph(text=title, style=TextStyle(13.0, "bold", INK))
    count = int((frame.height - head.height_mm(frame.width)) / LINE_MM)
    (placed,) = flow((head, Lines(count=count)), (frame,))
    return page.sheet(draw_all(placed), number, total)


def _signature(context: Context, page: FormPage, copy: str, pages: int, number: int, total: int) -> Sheet:
    (frame,) = page.frames(number)
    (placed,) = flow(tuple(_signature_blocks(context, copy, pages)), (frame,))
    spare = int((frame.y + frame.height - placed[-1].y - placed[-1].height) / LINE_MM)
    (placed,) = flow(tuple(_signature_blocks(context, copy, pages, spare)), (frame,))
    return page.sheet(draw_all(placed), number, total)


def _signature_blocks(context: Context, copy: str, pages: int, spare: int = 0) -> Iterator[Block]:
    """The page from top to foot; spare: so many lines more for remarks."""
    vehicle = context.vehicle
    yield Paragraph(text=copy, style=TextStyle(13.0, "bold", INK))
    yield Paragraph(text=_statement(vehicle, pages), style=_TEXT, space_before_mm=2.0)
    yield Heading(text="Handed over", style=_HEADING, space_before_mm=5.0, space_after_mm=1.0)
    yield from thing_rows(context, 3)
    if vehicle.to_locate:
        yield Heading(text="To be located later", style=_HEADING, space_before_mm=4.0, space_after_mm=1.0)
        yield Paragraph(text=", ".join(item.name for item in vehicle.to_locate) + ".", style=_TEXT)
    yield Heading(text="Remarks", style=_HEADING, space_before_mm=4.0, space_after_mm=0.0)
    yield Lines(count=3 + spare)
    dealer = vehicle.dealer.name if vehicle.dealer else "Handed over by"
    yield Spacer(height=5.0)
    yield side_by_side((_signing(dealer, ""), _signing("Owner", vehicle.owner)), 10.0)


def _statement(vehicle: Vehicle, pages: int) -> str:
    return (
        f"On the day below the owner was shown {len(vehicle.points)} service points of this vehicle, as "
        f"ticked on the {pages} pages before, and was given the things ticked here, with the guide, the "
        "card and the makers' handbooks. The makers' handbooks and local rules come before the guide."
    )


def _signing(who: str, name: str) -> Block:
    """Who signs, with room for two lines of name, signature, place and date."""
    head = Paragraph(text=who, style=TextStyle(10.0, "bold", INK, language="en"))
    shown = Paragraph(text=name, style=_TEXT) if name else BlankRow(blanks=(Blank("Name"),), line_mm=8.0)
    sign = BlankRow(blanks=(Blank("Signature"),), line_mm=_SIGN_MM)
    day = BlankRow(blanks=(Blank("Place"), Blank("Date")), line_mm=8.0)
    return Stack(blocks=(head, AtLeast(block=shown, least_mm=8.0), sign, day), keep_together=True)
