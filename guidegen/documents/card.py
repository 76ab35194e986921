"""The card for the glovebox: one folded A4 sheet with cover, ARRIVE, LEAVE, and more where there is room.

The roomiest setting that fits is taken; the closest is still easy to read. A card that fits its fold in
none is laid out on the next roomier fold, unless a fold was asked for by name.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import TypeAlias

from msgspec.structs import replace

from guidegen.documents.card_extras import help_blocks, number_blocks, place_extras
from guidegen.documents.card_rows import CloseLook, close_step_blocks
from guidegen.documents.context import Context
from guidegen.documents.cover import DANGERS, cover_blocks, danger_blocks, told_on_cover
from guidegen.documents.parts import INK
from guidegen.documents.steps import TITLES, StepLook, step_blocks
from guidegen.drawing.primitives import Document, Item, moved
from guidegen.errors import GuidegenError
from guidegen.paper.blocks import Block, Heading, Paragraph
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.folds import Fold, assemble, fold
from guidegen.paper.text import DoesNotFit, TextStyle
from guidegen.plan.sheet import plan_items
from guidegen.trade.records import SequenceName

_STEP_PT = 8.5
_HEADING = TextStyle(16, "bold", INK)
_CLOSE_HEADING = TextStyle(12, "bold", INK, leading=1.2)
_LOOKS = tuple(
    StepLook(
        TextStyle(_STEP_PT, colour=INK, leading=leading), gap, False, inline, rules, 6.0, _STEP_PT, False
    )
    for leading, gap, inline, rules in (
        (1.28, 1.4, False, True),
        (1.22, 1.0, False, False),
        (1.2, 0.9, True, False),
    )
)
_CLOSE_LOOKS = tuple(
    CloseLook(TextStyle(_STEP_PT, colour=INK, leading=leading), gap, rule)
    for leading, gap, rule in (
        (1.25, 1.0, 0.8),
        (1.22, 0.8, 0.6),
        (1.2, 0.6, 0.5),
        (1.18, 0.5, 0.4),
        (1.17, 0.4, 0.35),
        (1.15, 0.3, 0.3),
        (1.12, 0.25, 0.25),
    )
)
Look: TypeAlias = StepLook | CloseLook
_LOOKS_FROM_ROOMY: tuple[Look, ...] = (*_LOOKS, *_CLOSE_LOOKS)
AUTOMATIC = ("quarter", "thirds")
_POSTER_FOOT_MM = 196.0
_CONTINUED_MM = 5.8  # for the line that says which sequence goes on
_FEW_STEPS_MM = 32.0
_CLOSER = 2  # looks to try


def compose(context: Context) -> Document:
    """The card in the fold of the options; "auto" takes the first fold that holds it.

    Raises CardTooFullError when the fold asked for is too small.
    """
    names = AUTOMATIC if context.options.fold == "auto" else (context.options.fold,)
    last: DoesNotFit | None = None
    for name in names:
        try:
            return _folded(context, fold(name))
        except DoesNotFit as error:
            last = error
    assert last is not None
    hint = "choose a roomier fold with --fold thirds or --fold half"
    raise CardTooFullError(f"The card does not fit the fold “{names[-1]}”: {hint}. {last}") from last


class CardTooFullError(GuidegenError):
    """The steps need more room than the fold has."""


def _folded(context: Context, scheme: Fold) -> Document:
    vehicle = context.vehicle
    panels = _fill(context, scheme)
    items: dict[str, Sequence[Item]] = {
        panel.id: content for panel, content in zip(scheme.reading, panels, strict=False)
    }
    for poster in (p for p in scheme.panels if p.poster):
        items[poster.id] = plan_items(vehicle, context.trade, poster.width, _POSTER_FOOT_MM)
    sheets = assemble(scheme, items, context.options.duplex, f"Card: {vehicle.name}")
    return Document(
        sheets,
        title=f"Card: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject="Arrive and leave, step by step, with the floor diagram",
    )


def _fill(context: Context, scheme: Fold) -> list[tuple[Item, ...]]:
    """The items of each panel: cover first, then what must stand on the card, then what there is room for."""
    reading = scheme.reading
    cover = reading[0].frame
    figures = number_blocks(context)
    blocks = cover_blocks(context, cover, figures)
    extras = (help_blocks(context), () if set(figures) & set(blocks) else figures)
    rest = [panel.frame for panel in reading[1:]]
    (first,) = flow(blocks, [cover])[:1]
    lower = [replace(f, y=f.y + _CONTINUED_MM, height=f.height - _CONTINUED_MM) for f in rest]
    try:
        pages = _roomiest(context, lower, extras)
    except DoesNotFit:  # every line is needed
        return [draw_all(page) for page in (first, *_roomiest(context, rest, extras))]
    return [draw_all(first), *_continued(pages, rest)]


def _continued(pages: Sequence[tuple[Placed, ...]], frames: Sequence[Frame]) -> Iterator[tuple[Item, ...]]:
    """Panels that begin amid a sequence say which; the others keep the room of that line."""
    title = ""
    for page, frame in zip(pages, frames, strict=False):
        items = draw_all(page)
        if page and isinstance(page[0].block, Heading):
            yield (moved(items, 0.0, -_CONTINUED_MM),)
        else:
            head = Paragraph(text=f"{title}, continued", style=_CLOSE_HEADING)
            yield (*head.draw(frame.x, frame.y, frame.width), *items)
        title = next((o.block.name for o in reversed(page) if isinstance(o.block, Heading)), title)


def _roomiest(
    context: Context, frames: Sequence[Frame], extras: Sequence[tuple[Block, ...]]
) -> list[tuple[Placed, ...]]:
    """The panels behind the cover in the roomiest look that fits: a closer look never takes more room.

    A little closer where a step or two would stand alone on a panel, or where that makes room for more
    than the steps.
    """
    looks = _LOOKS_FROM_ROOMY
    best = _steps(context, frames, looks[-1])
    fits = len(looks) - 1
    too_roomy = -1
    while fits - too_roomy > 1:
        middle = (fits + too_roomy) // 2
        try:
            best, fits = _steps(context, frames, looks[middle]), middle
        except DoesNotFit:
            too_roomy = middle
    if _straggles(best):
        for at in range(fits + 1, min(fits + 1 + _CLOSER, len(looks))):
            closer = _steps(context, frames, looks[at])
            if type(looks[at]) is type(looks[fits]) and not _straggles(closer):
                best, fits = closer, at
                break
    pages = _with_extras(context, best, looks[fits], frames, extras)
    if fits + 1 < len(looks) and not _straggles(closer := _steps(context, frames, looks[fits + 1])):
        other = _with_extras(context, closer, looks[fits + 1], frames, extras)
        return other if _heads(other) > _heads(pages) else pages
    return pages


def _with_extras(
    context: Context,
    steps: Sequence[tuple[Placed, ...]],
    look: Look,
    frames: Sequence[Frame],
    extras: Sequence[tuple[Block, ...]],
) -> list[tuple[Placed, ...]]:
    lay_up = _lay_up(context, look, frames[len(steps) :])
    return place_extras(steps, frames, (lay_up, *extras, danger_blocks(context, full=True)))


def _heads(pages: Sequence[tuple[Placed, ...]]) -> int:
    return sum(isinstance(one.block, Heading) for page in pages for one in page)


def _steps(context: Context, frames: Sequence[Frame], look: Look) -> list[tuple[Placed, ...]]:
    told = _told(context)
    arrive = _sequence(context, "arrive", look, told)
    leave = _sequence(context, "leave", look, told)
    return _breaks(arrive, leave, frames)


def _told(context: Context) -> tuple[str, ...]:
    """The cautions that the cover prints or answers."""
    return (*DANGERS, *told_on_cover(context))


def _straggles(pages: Sequence[tuple[Placed, ...]]) -> bool:
    """Whether a panel has no more than the last step or two of a sequence."""
    return any(
        not isinstance(page[0].block, Heading) and page[-1].y + page[-1].height - page[0].y < _FEW_STEPS_MM
        for page in pages
    )


def _lay_up(context: Context, look: Look, frames: Sequence[Frame]) -> tuple[Block, ...]:
    """In the look of the other sequences, or the roomiest closer one that saves a panel of those left."""
    told = _told(context)
    blocks = _sequence(context, "lay-up", look, told)
    fewest = _panels(_sequence(context, "lay-up", _LOOKS_FROM_ROOMY[-1], told), frames)
    if _panels(blocks, frames) <= fewest:
        return blocks
    at = _LOOKS_FROM_ROOMY.index(look)
    closer = (_sequence(context, "lay-up", one, told) for one in _LOOKS_FROM_ROOMY[at + 1 :])
    return next(found for found in closer if _panels(found, frames) <= fewest)


def _panels(blocks: tuple[Block, ...], frames: Sequence[Frame]) -> int:
    """How many of the panels the blocks take; one more than there are when they do not fit."""
    try:
        return sum(1 for _ in flow(blocks, frames))
    except DoesNotFit:
        return len(frames) + 1


def _sequence(context: Context, name: SequenceName, look: Look, told: Collection[str]) -> tuple[Block, ...]:
    sequence = context.sequences.sequences.get(name)
    if sequence is None:
        return ()
    if isinstance(look, CloseLook):
        head = Heading(text=TITLES[name], style=_CLOSE_HEADING, space_before_mm=2.0, space_after_mm=0.8)
        return (head, *close_step_blocks(context, sequence, look, set(told)))
    head = Heading(text=TITLES[name], style=_HEADING, space_after_mm=1.5)
    return (head, *step_blocks(context, sequence, look, told=told))


def _breaks(
    first: tuple[Block, ...], second: tuple[Block, ...], frames: Sequence[Frame]
) -> list[tuple[Placed, ...]]:
    """The second sequence begins on a panel of its own where there are enough panels, else it runs on."""
    one = list(flow(first, frames))
    try:
        return one + list(flow(second, frames[len(one) :]))
    except DoesNotFit:
        return list(flow((*first, *second), frames))
