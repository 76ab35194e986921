"""The handover sheet: the walk past every point with what to show and say, then a page to sign, twice."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import count

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.cover import danger_blocks
from guidegen.documents.form_page import FormPage, page_of
from guidegen.documents.handed_over import thing_rows
from guidegen.documents.handover_map import draw_map
from guidegen.documents.handover_rows import AGAIN_MM, ShowRow, StopHead
from guidegen.documents.handover_stops import named_stops
from guidegen.documents.parts import INK
from guidegen.documents.writing import BOX_MM, LINE_MM, AtLeast, Blank, BlankRow, Lines, TickRow, side_by_side
from guidegen.drawing.primitives import WHITE, Document, Item, Sheet, Style, moved
from guidegen.paper.blocks import Block, Drawing, Heading, Paragraph, Spacer
from guidegen.paper.containers import Boxed, Cell, Row, Stack
from guidegen.paper.flow import Frame, Placed, draw_all, evened, flow
from guidegen.paper.sheets import A4
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.markers import colour_of
from guidegen.sequence.touring import Tour, tour
from guidegen.trade.records import SequenceName, counted, holds
from guidegen.vehicle.model import ServicePoint, Vehicle
from guidegen.vehicle.required import appliance_name

_HEADING = TextStyle(11.0, "bold", INK)
_TEXT = TextStyle(9.0, colour=INK, leading=1.25, language="en")
_SIGN_MM = 14.0
_NAME_MM = 66.0  # a longer name runs over two lines, without the word before it
_LEAST_NOTES = 5
_WHOLE_STOP_MM = 30.0  # by which the last columns may be higher, not to part a stop
_LITTLE_MM, _LOW_MAP_MM = 50.0, 58.0
_NOTE = (
    "Walk from stop to stop. Show each point, say what it does, and let the owner do it. "
    "Tick it when the owner has found and tried it."
)
_TOGETHER: dict[SequenceName, str] = {
    "arrive": "Arrive, step by step, with the card in the owner's hand.",
    "leave": "Leave, step by step, with the card.",
    "lay-up": "Lay up before frost: show {the|every} drain once more.",
    "recommission": "First use after lay-up.",
}
_DRY_LAY_UP = "Lay up before frost, step by step."


class _Copy(Struct, frozen=True):
    """One of the two to sign. dark: of its bar, so that they are told apart at arm's length and in grey."""

    name: str
    keeper: str
    dark: bool

    @property
    def bar(self) -> Block:
        """The bar at the head of both of its pages."""
        ink, ground = (WHITE, INK) if self.dark else (INK, WHITE)
        name = Paragraph(text=self.name, style=TextStyle(13.0, "bold", ink))
        words = f"Both sign both copies. The {self.keeper} keeps this one."
        keeps = Paragraph(text=words, style=TextStyle(9.0, colour=ink), anchor="end")
        style = Style(fill=ground, stroke=INK, width_mm=0.5)
        return Boxed(blocks=(side_by_side((name, keeps)),), style=style, space_after_mm=3.0)


_COPIES = (_Copy("Owner's copy", "owner", True), _Copy("Dealer's copy", "dealer", False))


class _Walk(Struct, frozen=True):
    """The map, and the columns of the walk with their frames, two a page."""

    above: Drawing
    columns: tuple[tuple[Placed, ...], ...]
    frames: tuple[Frame, ...]

    @property
    def pages(self) -> int:
        return -(-len(self.columns) // 2)

    @property
    def foot(self) -> float:
        """Where the last page ends."""
        return max(one.y + one.height for column in self.columns[2 * self.pages - 2 :] for one in column)

    def column(self, at: int) -> Iterator[Item]:
        """A column from the top of its frame; where it begins within a stop, under the head of that stop."""
        column, frame = self.columns[at], self.frames[at]
        if column and isinstance(column[0].block, ShowRow):
            before = [one.block for earlier in self.columns[:at] for one in earlier]
            head = next(block for block in reversed(before) if isinstance(block, StopHead))
            yield from head.again(frame.width).draw(frame.x, frame.y - AGAIN_MM, frame.width)
            yield from draw_all(column)
        else:
            yield moved(draw_all(column), 0.0, -AGAIN_MM)

    def referring_elsewhere(self) -> Iterator[int]:
        """The numbers of the points that refer to one on another page, the first of each page."""
        rows = [
            (one.block, at // 2)
            for at, column in enumerate(self.columns)
            for one in column
            if isinstance(one.block, ShowRow)
        ]
        pages = {row.number: page for row, page in rows}
        first: dict[tuple[int, int], int] = {}
        for row, page in rows:
            if row.like and pages[row.like] != page:
                first.setdefault((row.like, page), row.number)
        yield from first.values()


def compose(context: Context) -> Document:
    """The walk, then the page to sign in two copies."""
    vehicle = context.vehicle
    page = page_of(context, "Handover", A4, _NOTE)
    sign = page_of(context, "Handover", A4)
    walk = _said_on_each_page(context, page)
    notes = walk.pages % 2  # each copy to sign has a leaf of its own, with lines on its back
    total = walk.pages + notes + 2 * len(_COPIES)
    below = _notes(walk, page.width)
    sheets = list(_walk_sheets(walk, page, below, total))
    if notes:
        sheets.append(_lined(sign, "Notes, continued" if below else "Notes", walk.pages + 1, total))
    for copy in _COPIES:
        own = replace(sign, part=copy.name)
        sheets.append(_signature(context, own, copy, walk.pages, len(sheets) + 1, total))
        sheets.append(_lined(own, "Remarks, continued", len(sheets) + 1, total, (copy.bar,)))
    return Document(
        tuple(sheets),
        title=f"Handover: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="What to show at each stop, and the page to sign",
    )


# The walk


def _said_on_each_page(context: Context, page: FormPage) -> _Walk:
    """The walk, on each page of which the first of a kind says what it is for, where that takes no page more.

    Else it is said once, and the points on other pages refer to it.
    """
    route, titles = named_stops(tour(context.vehicle), context.vehicle.layout)
    above = draw_map(context.vehicle, route, page.width)
    once = walk = _shortest(context, page, route, _walk_blocks(context, route, titles), above)
    told: frozenset[int] = frozenset()
    while elsewhere := frozenset(walk.referring_elsewhere()):
        told |= elsewhere
        walk = _shortest(context, page, route, _walk_blocks(context, route, titles, told), above)
        if walk.pages > once.pages:
            return once
    return walk


def _shortest(context: Context, page: FormPage, route: Tour, rows: Iterable[Block], above: Drawing) -> _Walk:
    """The walk under its map; under a lower one where that saves a page that would be all but empty."""
    blocks = tuple(rows)
    walk = _laid_out(blocks, page, above)
    if walk.pages > 1 and walk.foot - page.top(walk.pages) < _LITTLE_MM:
        closer = _laid_out(blocks, page, draw_map(context.vehicle, route, page.width, _LOW_MAP_MM))
        return closer if closer.pages < walk.pages else walk
    return walk


def _laid_out(blocks: Sequence[Block], page: FormPage, above: Drawing) -> _Walk:
    frames: list[Frame] = []

    def supply() -> Iterator[Frame]:
        for number in count(1):
            below = above.height + 4.0 if number == 1 else 0.0
            frames.extend(page.frames(number, 2, below + AGAIN_MM))
            yield from frames[-2:]

    columns = list(flow(blocks, supply()))
    first = len(columns) - (2 - len(columns) % 2)
    columns[first:] = evened(columns[first:], frames[first : first + 2], _amid_stop, _WHOLE_STOP_MM)
    return _Walk(above, tuple(columns), tuple(frames))


def _amid_stop(block: Block) -> bool:
    """Whether a column that begins with the block has to name its stop again."""
    return isinstance(block, ShowRow)


def _walk_sheets(walk: _Walk, page: FormPage, below: Sequence[Item], total: int) -> Iterator[Sheet]:
    """The pages of the walk; below: what stands under the columns of the last."""
    for number in range(1, walk.pages + 1):
        items: list[Item] = []
        if number == 1:
            items += walk.above.draw(walk.frames[0].x, page.top(), page.width)
        for at in range(2 * number - 2, min(2 * number, len(walk.columns))):
            items += walk.column(at)
        if number == walk.pages:
            items += below
        yield page.sheet(items, number, total)


def _walk_blocks(
    context: Context, route: Tour, titles: Sequence[str], told: Collection[int] = ()
) -> Iterator[Block]:
    """told: the numbers of points that say what they are for though another of their kind did."""
    vehicle, trade = context.vehicle, context.trade
    yield from _to_find(vehicle)
    yield Heading(text="Say first", style=_HEADING, space_after_mm=1.0)
    yield from danger_blocks(context)
    said: dict[str, int] = {}
    for number, (stop, title) in enumerate(zip(route.stops, titles, strict=True), 1):
        yield StopHead(number=number, text=title)
        for point in stop.points:
            if point.number in told:
                said.pop(point.kind, None)
            first = said.setdefault(point.kind, point.number)
            yield ShowRow(
                number=point.number,
                title=point.name,
                place=point.place,
                say=_what_to_say(point, context, first),
                like=first if first != point.number else 0,
                colour=colour_of(point, trade),
            )
    yield Heading(text="Do together", style=_HEADING, space_before_mm=5.0, space_after_mm=1.5)
    *rows, last = (TickRow(text=text, style=_TEXT) for text in _together(context))
    yield from (replace(row, keep_with_next=True) for row in rows)
    yield last


def _to_find(vehicle: Vehicle) -> Iterator[Block]:
    """What nobody has located, with room for its place: found before the owner comes."""
    if vehicle.to_locate:
        yield Heading(text="Not located yet: find before handover", style=_HEADING, space_after_mm=1.5)
    for item in vehicle.to_locate:
        words = (Span(f"{item.name}: ", "bold"), Span(f"{item.reason}."))
        yield TickRow(text=words, style=_TEXT, keep_with_next=True)
        place = BlankRow(blanks=(Blank("Place"),), line_mm=LINE_MM - 1.0)
        yield Row(cells=(Cell(Spacer(height=0.0), BOX_MM + 2.0), Cell(place)), gap=0.0, space_after_mm=2.0)


def _what_to_say(point: ServicePoint, context: Context, first: int) -> str:
    """What the kind is for, or at which point that was said first, what this serves, and its note."""
    vehicle, trade = context.vehicle, context.trade
    kind = trade.kinds[point.kind]
    about = counted(kind.about, len(vehicle.of_kind(kind.id)))
    parts = []
    if about:
        parts.append(about if first == point.number else f"As {first}.")
    if point.serves and kind.says:
        served = dict.fromkeys(appliance_name(s, trade, vehicle.equipment) for s in point.serves)
        parts.append(f"{kind.says[:1].upper()}{kind.says[1:]} the {' and the '.join(served)}.")
    if point.note:
        parts.append(point.note)
    return " ".join(parts)


def _together(context: Context) -> Iterator[str]:
    facts = context.vehicle.facts
    outlets = {"waste-drain"} if "waste-water.container" in facts else set[str]()  # nothing to open there
    drains = [p for p in context.vehicle.points if p.kind.endswith("-drain") and p.kind not in outlets]
    for name, words in _TOGETHER.items():
        yield counted(words, len(drains)) if drains or name != "lay-up" else _DRY_LAY_UP
    if holds(("hook-up",), context.vehicle.facts):
        yield "What can run together on the hook-up (guide, numbers)."
    if context.vehicle.figures and context.vehicle.figures.masses.mtplm:
        yield "What may be loaded, and where the plate with the masses is."
    yield "Handbooks: the makers' instructions come before all of this."


# The page to sign


def _notes(walk: _Walk, width: float) -> tuple[Item, ...]:
    """Lines over the width of the walk's last page below its columns, where there is room for some."""
    head = Paragraph(text="Notes", style=_HEADING)
    frame = walk.frames[2 * walk.pages - 2]
    top = walk.foot + 6.0
    below = top + head.height_mm(width)
    lines = int((frame.y + frame.height - below) / LINE_MM)
    if lines < _LEAST_NOTES:
        return ()
    return (*head.draw(frame.x, top, width), *Lines(count=lines).draw(frame.x, below, width))


def _lined(page: FormPage, title: str, number: int, total: int, above: Sequence[Block] = ()) -> Sheet:
    """A page of lines to write on."""
    (frame,) = page.frames(number)
    head = Stack(blocks=(*above, Paragraph(text=title, style=_HEADING)))
    count = int((frame.height - head.height_mm(frame.width)) / LINE_MM)
    (placed,) = flow((head, Lines(count=count)), (frame,))
    return page.sheet(draw_all(placed), number, total)


def _signature(context: Context, page: FormPage, copy: _Copy, pages: int, number: int, total: int) -> Sheet:
    (frame,) = page.frames(number)
    (placed,) = flow(tuple(_signature_blocks(context, copy, pages)), (frame,))
    spare = int((frame.y + frame.height - placed[-1].y - placed[-1].height) / LINE_MM)
    (placed,) = flow(tuple(_signature_blocks(context, copy, pages, spare)), (frame,))
    return page.sheet(draw_all(placed), number, total)


def _signature_blocks(context: Context, copy: _Copy, pages: int, spare: int = 0) -> Iterator[Block]:
    """The page from top to foot; spare: so many lines more for remarks."""
    vehicle = context.vehicle
    yield copy.bar
    yield Paragraph(text=_statement(vehicle, pages), style=_TEXT)
    yield Heading(text="Handed over", style=_HEADING, space_before_mm=5.0, space_after_mm=1.0)
    yield from thing_rows(context, 3)
    if vehicle.to_locate:
        yield Heading(text="To be located later", style=_HEADING, space_before_mm=4.0, space_after_mm=1.0)
        yield Paragraph(text="; ".join(item.name for item in vehicle.to_locate) + ".", style=_TEXT)
    yield Heading(text="Remarks", style=_HEADING, space_before_mm=4.0, space_after_mm=0.0)
    yield Lines(count=3 + spare)
    dealer = vehicle.dealer.name if vehicle.dealer else "Handed over by"
    yield Spacer(height=5.0)
    yield side_by_side((_signing(dealer, ""), _signing("Owner", vehicle.owner)), 10.0)


def _statement(vehicle: Vehicle, pages: int) -> str:
    ticked = f"pages 1 to {pages}" if pages > 1 else "page 1"
    many, missing = len(vehicle.points), len(vehicle.to_locate)
    so_far = f"located so far ({many or 'none'}; {missing} still to be located)"
    return (
        "On the day below the owner was shown the service points of this vehicle "
        f"{so_far if missing else f'({many} in all)'}, "
        f"as ticked on {ticked}, and was given the things ticked here, with the guide, the card and "
        "the makers' handbooks. Those handbooks and local rules come before the guide."
    )


def _signing(who: str, name: str) -> Block:
    """Who signs, with room for two lines of name, signature, place and date."""
    head = Paragraph(text=who, style=TextStyle(10.0, "bold", INK, language="en"))
    fits = _TEXT.width_mm(name) < _NAME_MM
    named = BlankRow(blanks=(Blank("Name", value=name if fits else ""),), line_mm=8.0)
    shown = named if fits else Paragraph(text=name, style=_TEXT)
    sign = BlankRow(blanks=(Blank("Signature"),), line_mm=_SIGN_MM)
    day = BlankRow(blanks=(Blank("Place"), Blank("Date")), line_mm=8.0)
    return Stack(blocks=(head, AtLeast(block=shown, least_mm=8.0), sign, day), keep_together=True)
