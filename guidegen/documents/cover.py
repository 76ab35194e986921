"""The cover of the card: which vehicle, its outline, whom to call, and the two dangers that kill."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from guidegen.documents.card_rows import CloseCaution
from guidegen.documents.context import Context
from guidegen.documents.parts import INK, CautionBox
from guidegen.paper.blocks import Block, Drawing, Paragraph, Rule, Spacer
from guidegen.paper.breaking import NBSP
from guidegen.paper.flow import Frame, stack_height_mm
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.body import draw_vehicle
from guidegen.plan.frame import OVERHANG_MM, Orientation, fit_frame
from guidegen.sequence.conditions import variants_of
from guidegen.trade.records import Caution, holds
from guidegen.vehicle.description import Dealer
from guidegen.vehicle.model import Vehicle, day_in_words

_SMALL = TextStyle(8.5, colour=INK)
_BOLD = TextStyle(10, "bold", INK)
_CLOSE = TextStyle(8.5, colour=INK, leading=1.15)
_SMALL_PRINT = TextStyle(7.5, colour=INK)
_PRECEDENCE = "The makers' handbooks and local rules come before this card."
DANGERS = ("gas-leak", "co")
_AROUND_MM = 3.0
_WHOLE = 20  # characters of a telephone number that is not broken
_LEAST_OUTLINE_MM = 13.0


def cover_blocks(context: Context, frame: Frame, extra: tuple[Block, ...] = ()) -> tuple[Block, ...]:
    """Title, outline, how to use, dangers, dealer: from the top of a panel to its foot.

    extra stands before the dealer where there is room for all of it.
    """
    above = tuple(_head(context, 24.0 if frame.height > 150 else 16.0))
    middle = (*_use(context.vehicle), *danger_blocks(context))
    foot = tuple(_contacts(context))
    room = frame.height - stack_height_mm((*above, *middle, *foot), frame.width) - 2 * _AROUND_MM
    if room < -2 * _AROUND_MM:
        close = tuple(_close_cover(context, brief=False))
        fits = stack_height_mm(close, frame.width) <= frame.height
        return close if fits else tuple(_close_cover(context, brief=True))
    if room < _LEAST_OUTLINE_MM:
        return (*above, *middle, *foot)
    outline = outline_drawing(context, frame.width, room)
    # What is left moves the contacts to the foot; the spacer brings a gap of its own.
    left = frame.height - stack_height_mm((*above, outline, *middle, *extra, *foot), frame.width) - 2.5
    if left > 0:
        middle = (*middle, *extra)
    else:
        left = frame.height - stack_height_mm((*above, outline, *middle, *foot), frame.width) - 2.5
    return (*above, outline, *middle, *((Spacer(height=left),) if left > 0 else ()), *foot)


def _head(context: Context, title_pt: float) -> Iterator[Block]:
    vehicle = context.vehicle
    yield Paragraph(text=vehicle.name, style=TextStyle(title_pt, "bold", INK, leading=1.1))
    stock = vehicle.stock_number and f"Stock no. {vehicle.stock_number}"
    yield from (
        Paragraph(text=line, style=_SMALL) for line in (vehicle.layout.name, stock, vehicle.owner) if line
    )
    if _to_know(vehicle):
        yield Paragraph(text=_to_know(vehicle), style=_BOLD, space_before_mm=1.0)


def told_on_cover(context: Context) -> tuple[str, ...]:
    """The cautions that the cover answers: height and mass to know before driving."""
    return ("drive-height",) if _to_know(context.vehicle) else ()


def _to_know(vehicle: Vehicle) -> str:
    """Height and mass as a driver needs them at a barrier; "" when either is not in the description."""
    height, mass = vehicle.figures.sizes.height, vehicle.figures.masses.mtplm
    if not height or not mass:
        return ""
    told = (f"Height {height / 1000:.2f} m ·", f"mass at most {mass:.0f} kg")
    return " ".join(part.replace(" ", NBSP) for part in told)


def _use(vehicle: Vehicle) -> Iterator[Block]:
    yield Paragraph(text=_steps_of(vehicle), style=_BOLD)
    without = " Without hook-up: see the guide." if _hooked_up(vehicle) else ""
    yield Paragraph(
        text=f"Tick each step. The numbers are those of the floor diagram and of the stickers.{without}",
        style=_SMALL,
    )


def _hooked_up(vehicle: Vehicle) -> bool:
    return variants_of("arrive", vehicle.facts)[0] == "hook-up"


def _steps_of(vehicle: Vehicle) -> str:
    """What the card prints: of several ways to arrive the first."""
    return f"Arrive and leave{' with hook-up' if _hooked_up(vehicle) else ''}, step by step"


def _close_cover(context: Context, *, brief: bool) -> Iterator[Block]:
    """What a cover says in the room of a small panel; brief: without address and use, which the guide has."""
    vehicle = context.vehicle
    yield Paragraph(text=vehicle.name, style=TextStyle(13.0, "bold", INK, leading=1.1))
    stock = vehicle.stock_number and f"Stock no. {vehicle.stock_number}"
    known = " · ".join(line for line in (stock, vehicle.owner) if line)
    if known:
        yield Paragraph(text=known, style=_CLOSE)
    if _to_know(vehicle):
        yield Paragraph(text=_to_know(vehicle), style=_CLOSE.bold)
    use = () if brief else (Span(" Tick each step. The numbers are those of the diagram and the stickers."),)
    yield Paragraph(
        text=(Span(f"{_steps_of(vehicle)}.", "bold"), *use),
        style=_CLOSE,
        space_before_mm=1.0,
        space_after_mm=1.0,
    )
    for caution in _dangers(context):
        yield CloseCaution(signal=caution.signal, text=caution.text, sign=caution.sign, style=_CLOSE)
    yield Rule(space_before_mm=1.0, space_after_mm=0.8)
    if vehicle.dealer:
        reach = (vehicle.dealer.phone,)
        yield from _dealer(vehicle.dealer, reach if brief else (vehicle.dealer.address, *reach), _CLOSE)
    dated = f" Printed {day_in_words(vehicle.printed_on)}." if vehicle.printed_on else ""
    yield Paragraph(text=_PRECEDENCE + dated, style=TextStyle(7.5, colour=INK, leading=1.15))


def _dangers(context: Context) -> Iterator[Caution]:
    wanted = (context.trade.cautions[id] for id in DANGERS)
    return (caution for caution in wanted if holds(caution.when, context.vehicle.facts))


def danger_blocks(context: Context, *, full: bool = False) -> tuple[Block, ...]:
    """The boxes on escaping gas and carbon monoxide, where the vehicle has either."""
    size = 10.0 if full else 8.5
    box = partial(CautionBox, style=TextStyle(size, leading=1.2), sign_mm=9.0 if full else 7.0)
    return tuple(box(signal=c.signal, text=c.text, sign=c.sign) for c in _dangers(context))


def _contacts(context: Context) -> Iterator[Block]:
    vehicle = context.vehicle
    yield Rule(space_before_mm=2.0, space_after_mm=1.5)
    dealer = vehicle.dealer
    if dealer:
        reach = " · ".join(line for line in (dealer.phone, dealer.web) if line)
        yield from _dealer(dealer, (dealer.address, reach), _SMALL)
    yield Paragraph(text=_PRECEDENCE, style=_SMALL_PRINT)
    if vehicle.printed_on:
        yield Paragraph(text=f"Printed {day_in_words(vehicle.printed_on)}", style=_SMALL_PRINT)


def _dealer(dealer: Dealer, lines: Iterable[str | None], style: TextStyle) -> Iterator[Block]:
    yield Paragraph(text=(Span(dealer.name, "bold"),), style=style)
    yield from (Paragraph(text=line, style=style) for line in lines if line)
    for label, number in dealer.emergency.items():
        whole = number.replace(" ", NBSP) if len(number) <= _WHOLE else number
        yield Paragraph(text=(Span(f"{label}: "), Span(whole, "bold")), style=style)


def outline_drawing(context: Context, width_mm: float, height_mm: float) -> Drawing:
    """The vehicle in plan without callouts, as large as the box allows, lying or standing."""
    layout = context.vehicle.layout
    length, across = layout.length + layout.drawbar, layout.width + 2 * OVERHANG_MM
    lying = min(width_mm / length, height_mm / across)
    standing = min(width_mm / across, height_mm / length)
    orientation: Orientation = "landscape" if lying >= standing else "portrait"
    scale = min(max(lying, standing), 1 / 38)
    size = (length, across) if orientation == "landscape" else (across, length)
    width, height = size[0] * scale, size[1] * scale
    frame = fit_frame(
        layout, ((width_mm - width) / 2, 0.0, width, height), orientation, context.vehicle.nearside, scale
    )
    return Drawing(
        items=draw_vehicle(layout, frame),
        width=width_mm,
        height=height,
        title="the vehicle",
        space_before_mm=_AROUND_MM,
        space_after_mm=_AROUND_MM,
    )
