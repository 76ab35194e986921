"""The cover of the card: which vehicle, its outline, whom to call, and the two dangers that kill."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from guidegen.documents.context import Context
from guidegen.documents.parts import INK, CautionBox
from guidegen.paper.blocks import Block, Drawing, Paragraph, Rule
from guidegen.paper.flow import Frame
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.body import draw_body
from guidegen.plan.frame import Frame as PlanFrame
from guidegen.plan.furniture import draw_furniture
from guidegen.trade.records import holds

_TITLE = TextStyle(24, "bold", INK, leading=1.1)
_SMALL = TextStyle(8.5, colour=INK)
_BOLD = TextStyle(10, "bold", INK)
_DANGERS = ("gas-leak", "co")


def cover_blocks(context: Context, frame: Frame) -> tuple[Block, ...]:
    """Title, outline, how to use, dangers, dealer: from the top of a panel to its foot."""
    return tuple(_cover(context, frame))


def _cover(context: Context, frame: Frame) -> Iterator[Block]:
    vehicle = context.vehicle
    yield Paragraph(text=vehicle.name, style=_TITLE)
    known = [vehicle.layout.name, vehicle.stock_number and f"Stock no. {vehicle.stock_number}", vehicle.owner]
    yield Paragraph(text="   ".join(k for k in known if k), style=_SMALL)
    yield outline_drawing(context, frame.width, min(0.3 * frame.height, 70))
    yield Paragraph(text="Arrive and leave, step by step", style=_BOLD)
    yield Paragraph(
        text="Tick each step. The numbers are those of the floor diagram and of the stickers.", style=_SMALL
    )
    yield from danger_blocks(context)
    yield from _contacts(context)


def danger_blocks(context: Context, *, full: bool = False) -> tuple[Block, ...]:
    """The boxes on escaping gas and carbon monoxide, where the vehicle has either."""
    size = 10.0 if full else 8.5
    box = partial(CautionBox, style=TextStyle(size, leading=1.2), sign_mm=9.0 if full else 7.0)
    wanted = (context.trade.cautions[id] for id in _DANGERS)
    return tuple(
        box(signal=c.signal, text=c.text, sign=c.sign) for c in wanted if holds(c.when, context.vehicle.facts)
    )


def _contacts(context: Context) -> Iterator[Block]:
    vehicle = context.vehicle
    yield Rule(space_before_mm=2.0, space_after_mm=1.5)
    dealer = vehicle.dealer
    if dealer:
        yield Paragraph(text=(Span(dealer.name, "bold"),), style=_SMALL)
        for line in (dealer.address, dealer.phone, dealer.web):
            if line:
                yield Paragraph(text=line, style=_SMALL)
        for label, number in dealer.emergency.items():
            yield Paragraph(text=(Span(f"{label}: "), Span(number, "bold")), style=_SMALL)
    yield Paragraph(
        text="The makers' handbooks and local rules come before this card.", style=TextStyle(7.5, colour=INK)
    )
    if vehicle.printed_on:
        dated = f"{vehicle.printed_on:%d %B %Y}".lstrip("0")
        yield Paragraph(text=f"Printed {dated}", style=TextStyle(7.5, colour=INK))


def outline_drawing(context: Context, width_mm: float, height_mm: float) -> Drawing:
    """The vehicle in plan without callouts, as large as the box allows, lying or standing."""
    layout = context.vehicle.layout
    length, across = layout.length + layout.drawbar, layout.width + 260
    lying = min(width_mm / length, height_mm / across)
    scale = min(lying, 1 / 40)
    frame = PlanFrame(
        scale,
        (width_mm - length * scale) / 2 + layout.drawbar * scale,
        130 * scale,
        layout.width,
        "landscape",
        context.vehicle.nearside,
    )
    items = (*draw_body(layout, frame), *draw_furniture(layout, frame))
    return Drawing(
        items=items,
        width=width_mm,
        height=across * scale,
        title="the vehicle",
        space_before_mm=3.0,
        space_after_mm=3.0,
    )
