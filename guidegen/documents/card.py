"""The card for the glovebox: one folded A4 sheet with cover, ARRIVE, LEAVE, and more where there is room.

The closest setting that is still easy to read is tried last; a card that does not fit its fold is laid
out on the next roomier one, unless a fold was asked for by name.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from guidegen.documents.context import Context
from guidegen.documents.cover import DANGERS, cover_blocks, danger_blocks
from guidegen.documents.parts import INK
from guidegen.documents.steps import TITLES, StepLook, step_blocks
from guidegen.drawing.primitives import Document, Item
from guidegen.errors import GuidegenError
from guidegen.paper.blocks import Block, Heading
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.folds import Fold, Panel, assemble, fold
from guidegen.paper.text import DoesNotFit, TextStyle
from guidegen.plan.sheet import plan_items
from guidegen.trade.records import SequenceName

_STEP_PT = 8.5
_HEADING = TextStyle(16, "bold", INK)
_LOOKS = tuple(
    StepLook(
        TextStyle(_STEP_PT, colour=INK, leading=leading), gap, False, inline, rules, 6.0, _STEP_PT, False
    )
    for leading, gap, inline, rules in (
        (1.28, 1.4, False, True),
        (1.22, 1.0, False, False),
        (1.2, 0.9, True, False),
        (1.16, 0.6, True, False),
    )
)
AUTOMATIC = ("quarter", "thirds")
_POSTER_FOOT_MM = 196.0


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
    last: DoesNotFit | None = None
    for look in _LOOKS:
        try:
            return _attempt(context, reading, look)
        except DoesNotFit as error:
            last = error
    assert last is not None
    raise last


def _attempt(context: Context, reading: Sequence[Panel], look: StepLook) -> list[tuple[Item, ...]]:
    cover = reading[0].frame
    filled = [draw_all(flow(cover_blocks(context, cover), [cover])[0])]
    told = DANGERS
    rest = [panel.frame for panel in reading[1:]]
    arrive, leave = (_sequence(context, name, look, told) for name in ("arrive", "leave"))
    pages = _breaks(arrive, leave, rest)
    filled += [draw_all(page) for page in pages]
    return _with_extras(context, filled, pages, rest, look, told)


def _sequence(context: Context, name: SequenceName, look: StepLook, told: Sequence[str]) -> tuple[Block, ...]:
    sequence = context.sequences.sequences.get(name)
    if sequence is None:
        return ()
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


def _with_extras(
    context: Context,
    filled: list[tuple[Item, ...]],
    pages: Sequence[Sequence[object]],
    frames: Sequence[Frame],
    look: StepLook,
    told: Sequence[str],
) -> list[tuple[Item, ...]]:
    """What there is room for on panels that are left: dangers in full, lay-up, quick help."""
    free = list(frames[len(pages) :])
    for blocks in _extras(context, look, told):
        if not free:
            break
        try:
            laid = flow(blocks, free)
        except DoesNotFit:
            continue
        filled += [draw_all(page) for page in laid]
        free = free[len(laid) :]
    return filled


def _extras(context: Context, look: StepLook, told: Sequence[str]) -> Iterator[tuple[Block, ...]]:
    yield _sequence(context, "lay-up", look, told)
    yield danger_blocks(context, full=True)
