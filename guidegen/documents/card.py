"""The card for the glovebox: one folded A4 sheet with cover, ARRIVE, LEAVE, and more where there is room.

The roomiest setting that fits is taken; the closest is still easy to read. A card that fits its fold in
none is laid out on the next roomier fold, unless a fold was asked for by name.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise, takewhile
from typing import TypeAlias

from guidegen.documents.card_extras import emergency_blocks, help_blocks, notes, number_blocks, place_extras
from guidegen.documents.card_panels import HEADING, HEADS_MM, Panels
from guidegen.documents.card_rows import CloseLook, CloseStepRow, close_step_blocks
from guidegen.documents.context import Context
from guidegen.documents.cover import DANGERS, cover_blocks, told_on_cover
from guidegen.documents.parts import INK, StepRow
from guidegen.documents.steps import TITLES, StepLook, step_blocks
from guidegen.drawing.primitives import Document, Item
from guidegen.errors import GuidegenError
from guidegen.paper.blocks import Block, Heading
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.folds import Fold, assemble, fold
from guidegen.paper.text import DoesNotFit, TextStyle
from guidegen.plan.sheet import plan_items
from guidegen.trade.records import SequenceName

_STEP_PT = 8.5
_HEADING = TextStyle(16, "bold", INK)
_LOOKS = tuple(
    StepLook(TextStyle(_STEP_PT, colour=INK, leading=leading), gap, inline, rules, 6.0, _STEP_PT)
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
        (1.08, 0.28, 0.2),
    )
)
Look: TypeAlias = StepLook | CloseLook
_LOOKS_FROM_ROOMY: tuple[Look, ...] = (*_LOOKS, *_CLOSE_LOOKS)
AUTOMATIC = ("quarter", "thirds")
_FROM_CLOSE = (*AUTOMATIC, "half")
_POSTER_FOOT_MM = 196.0
_FEW_STEPS_MM = 32.0
_FEW_STEPS = 2
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
    tried = _FROM_CLOSE.index(names[-1]) if names[-1] in _FROM_CLOSE else 0
    roomier = " or ".join(f"--fold {name}" for name in _FROM_CLOSE[tried + 1 :])
    hint = f": choose a roomier fold with {roomier}" if roomier else ""
    raise CardTooFullError(f"The card does not fit the fold “{names[-1]}”{hint}. {last}") from last


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
    rest = tuple(panel.frame for panel in reading[1:])
    (first,) = flow(blocks, [cover])[:1]
    pages = _behind_cover(context, rest, extras)
    pages += (notes(frame) for frame in rest[len(pages) :])
    return [draw_all(first), *Panels(rest).draw(pages)]


def _behind_cover(
    context: Context, frames: tuple[Frame, ...], extras: Sequence[tuple[Block, ...]]
) -> list[tuple[Placed, ...]]:
    """The panels with as large a line as fits above what goes on; without one where every line is needed."""
    for head_mm in HEADS_MM:
        try:
            return _roomiest(context, Panels(frames, head_mm), extras)
        except DoesNotFit:
            continue
    return _roomiest(context, Panels(frames), extras)


def _roomiest(
    context: Context, panels: Panels, extras: Sequence[tuple[Block, ...]]
) -> list[tuple[Placed, ...]]:
    """The panels behind the cover in the roomiest look that fits: a closer look never takes more room.

    A little closer where that looks better or makes room for more than the steps.
    """
    looks = _LOOKS_FROM_ROOMY
    steps = {len(looks) - 1: _steps(context, panels, looks[-1])}
    fits, too_roomy = len(looks) - 1, -1
    while fits - too_roomy > 1:
        middle = (fits + too_roomy) // 2
        try:
            steps[middle] = _steps(context, panels, looks[middle])
            fits = middle
        except DoesNotFit:
            too_roomy = middle
    found = []
    for at in range(fits, min(fits + _CLOSER + 1, len(looks))):
        placed = steps.get(at) or _steps(context, panels, looks[at])
        found.append(_with_extras(context, placed, looks[at], panels, extras))
    return min(found, key=_demerits)


def _with_extras(
    context: Context,
    steps: Sequence[tuple[Placed, ...]],
    look: Look,
    panels: Panels,
    extras: Sequence[tuple[Block, ...]],
) -> list[tuple[Placed, ...]]:
    lay_up = _saving(context, "lay-up", look, panels, len(steps))
    pages = place_extras(steps, panels, (lay_up, *extras, emergency_blocks(context)))
    if len(pages) == len(panels.frames):
        return pages
    again = _saving(context, "recommission", look, panels, len(pages))
    return place_extras(pages, panels, (again,))


def _steps(context: Context, panels: Panels, look: Look) -> list[tuple[Placed, ...]]:
    told = _told(context)
    arrive = _sequence(context, "arrive", look, told)
    leave = _sequence(context, "leave", look, told)
    return _breaks(arrive, leave, panels)


def _told(context: Context) -> tuple[str, ...]:
    """The cautions that the cover prints or answers."""
    return (*DANGERS, *told_on_cover(context))


def _demerits(pages: Sequence[tuple[Placed, ...]]) -> tuple[int, int]:
    """Panels with just the first step or the last one or two, or that part a sequence; what is left out."""
    runs_on = [above for above, page in pairwise(pages) if above and _amid(page)]
    ends = [tuple(takewhile(lambda one: not _is_head(one), page)) for page in pages]
    few = sum(end[-1].y + end[-1].height - end[0].y < _FEW_STEPS_MM for end in ends if end)
    parted = sum(any(map(_is_head, page[1:])) for page in runs_on)
    heads = sum(_is_head(one) for page in pages for one in page)
    return few + parted + sum(map(_begins_late, runs_on)), -heads


def _is_head(one: Placed) -> bool:
    return isinstance(one.block, Heading)


def _amid(page: tuple[Placed, ...]) -> bool:
    """Whether the panel begins amid a sequence."""
    return bool(page) and not _is_head(page[0])


def _begins_late(page: tuple[Placed, ...]) -> bool:
    """Whether a sequence begins at the foot of the panel with hardly any steps."""
    rows = [one.block for one in page if isinstance(one.block, StepRow | CloseStepRow | Heading)]
    return any(isinstance(row, Heading) for row in rows[-_FEW_STEPS:])


def _saving(
    context: Context, name: SequenceName, look: Look, panels: Panels, after: int
) -> tuple[Block, ...]:
    """In the look of the other sequences, or the roomiest closer one that saves a panel of those left."""
    told = _told(context)
    blocks = _sequence(context, name, look, told)
    fewest = panels.taken(_sequence(context, name, _LOOKS_FROM_ROOMY[-1], told), after)
    if panels.taken(blocks, after) <= fewest:
        return blocks
    at = _LOOKS_FROM_ROOMY.index(look)
    closer = (_sequence(context, name, one, told) for one in _LOOKS_FROM_ROOMY[at + 1 :])
    return next(found for found in closer if panels.taken(found, after) <= fewest)


def _sequence(context: Context, name: SequenceName, look: Look, told: Collection[str]) -> tuple[Block, ...]:
    sequence = context.sequences.sequences.get(name)
    if sequence is None:
        return ()
    if isinstance(look, CloseLook):
        head = Heading(text=TITLES[name], style=HEADING, space_before_mm=2.0, space_after_mm=0.8)
        return (head, *close_step_blocks(context, sequence, look, set(told)))
    head = Heading(text=TITLES[name], style=_HEADING, space_after_mm=1.5)
    return (head, *step_blocks(context, sequence, look, told=told))


def _breaks(first: tuple[Block, ...], second: tuple[Block, ...], panels: Panels) -> list[tuple[Placed, ...]]:
    """The second sequence begins on a panel of its own where there are enough panels, else it runs on."""
    one = list(panels.flow(first))
    try:
        return one + list(panels.flow(second, len(one)))
    except DoesNotFit:
        return list(panels.flow((*first, *second)))
