"""What the card tells beside its steps, where the fold has room: lay-up, quick help, numbers, dangers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from guidegen.documents.card_panels import HEADING, Panels
from guidegen.documents.context import Context
from guidegen.documents.cover import danger_blocks
from guidegen.documents.number_short import short_numbers
from guidegen.documents.parts import INK
from guidegen.documents.writing import LINE_MM, Lines
from guidegen.paper.blocks import Block, Heading, Paragraph
from guidegen.paper.flow import Frame, Placed, flow, stack_height_mm
from guidegen.paper.text import DoesNotFit, Span, TextStyle
from guidegen.sequence import short_help

_ABOVE_MM = 4.0
_LINE = TextStyle(8.5, colour=INK, leading=1.25)
_GAP_MM = 0.8


def help_blocks(context: Context) -> tuple[Block, ...]:
    """The complaints that matter most, and what to look at first."""
    lines = short_help(context.vehicle, context.trade)
    return _list("When something does not work", (line.text.split(": ", 1) for line in lines))


def number_blocks(context: Context) -> tuple[Block, ...]:
    """The numbers of the vehicle in short."""
    return _list("In figures", ([line.head, line.text] for line in short_numbers(context)))


def emergency_blocks(context: Context) -> tuple[Block, ...]:
    """The dangers of the cover once more, where the card is open when they are needed."""
    boxes = danger_blocks(context, full=True)
    return (_head("In an emergency"), *boxes) if boxes else ()


def _head(title: str) -> Heading:
    return Heading(text=title, style=HEADING, space_before_mm=_ABOVE_MM, space_after_mm=1.0)


def _list(title: str, lines: Iterable[list[str]]) -> tuple[Block, ...]:
    rows = tuple(
        Paragraph(
            text=(Span(f"{head}: ", "bold"), Span(text)),
            style=_LINE,
            keep_together=True,
            space_before_mm=_GAP_MM,
            space_after_mm=_GAP_MM,
        )
        for head, text in lines
    )
    return (_head(title), *rows) if rows else ()


def place_extras(
    pages: Sequence[tuple[Placed, ...]], panels: Panels, extras: Iterable[tuple[Block, ...]]
) -> list[tuple[Placed, ...]]:
    """The pages with as many of the extras as fit: whole where something ends, or on panels that are left."""
    filled = list(pages)
    for blocks in extras:
        if blocks and not _below(filled, panels.frames, blocks):
            try:
                filled += panels.flow(blocks, len(filled))
            except DoesNotFit:
                continue
    return filled


def _below(filled: list[tuple[Placed, ...]], frames: Sequence[Frame], blocks: tuple[Block, ...]) -> bool:
    """Whether the blocks found room below a page's end; never where a sequence runs on to the next page."""
    for number, page in enumerate(filled):
        ends = number + 1 == len(filled) or isinstance(filled[number + 1][0].block, Heading)
        frame = frames[number]
        top = page[-1].y + page[-1].height + _ABOVE_MM
        left = Frame(frame.x, top, frame.width, frame.y + frame.height - top)
        if not ends or stack_height_mm(blocks, left.width) > left.height:
            continue
        filled[number] += flow(blocks, (left,))[0]
        return True
    return False


def notes(frame: Frame) -> tuple[Placed, ...]:
    """A panel that nothing else fills, with lines to write on."""
    head = Heading(text="Notes", style=HEADING)
    count = int((frame.height - head.height_mm(frame.width)) / LINE_MM)
    return flow((head, Lines(count=count)), (frame,))[0]
