"""The owner's guide: its chapters in order, composed for a look and bound."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.guide.binding import bind
from guidegen.documents.guide.columns import ENOUGH, flowed, freer
from guidegen.documents.guide.front import cover, cover_pages
from guidegen.documents.guide.help_pages import help_chapter
from guidegen.documents.guide.index_pages import index_chapter
from guidegen.documents.guide.look import A4_LOOK, LARGE_LOOK, Look
from guidegen.documents.guide.pages import Bound, Chapter, Kit, title_block
from guidegen.documents.guide.records import notes_chapter, records_chapter
from guidegen.documents.guide.references import NUMBERS_TITLE
from guidegen.documents.guide.safety import safety_chapter
from guidegen.documents.guide.systems import system_chapters
from guidegen.documents.guide.views import views_chapter
from guidegen.documents.guide.walks import walk_chapter
from guidegen.documents.guide.whole import key_chapter, plan_chapter
from guidegen.documents.numbers_pages import compose_numbers_blocks
from guidegen.drawing.primitives import Document
from guidegen.paper.containers import KeepTogether
from guidegen.paper.flow import Frame
from guidegen.trade.records import SEQUENCES

_FEWEST_NUMBERS = 2  # pages that the chapter of numbers takes at least


def compose(context: Context) -> Document:
    """The guide on A4, in large print where the options ask for it."""
    return compose_in(context, LARGE_LOOK if context.options.large_print else A4_LOOK)


def compose_in(context: Context, look: Look) -> Document:
    """The guide in a look, not imposed."""
    kit = Kit(context, look)
    bound: list[Bound] = []
    _bind(kit, bound, _chapters(kit, bound))
    bound = _ended(kit, bound)
    page = _next_page(kit, bound)
    if spare := -(page - 1) % look.pages_a_sheet:
        bound.append(Bound(notes_chapter(kit, spare), page))
    vehicle = context.vehicle
    return Document(
        bind(kit, bound, cover(kit, bound)),
        title=f"Owner's guide: {vehicle.name}",
        author=vehicle.dealer.name if vehicle.dealer else "",
        subject=f"Where everything is on this vehicle, and how to use it: {vehicle.layout.name}",
        keywords=tuple(word for word in (vehicle.kind, vehicle.stock_number, vehicle.owner) if word),
    )


def _chapters(kit: Kit, bound: list[Bound]) -> Iterator[Chapter]:
    """In order, down to the numbers; those that may run on read from `bound` what stands before them."""

    def before() -> Chapter:
        return bound[-1].chapter

    vehicle = kit.context.vehicle
    yield safety_chapter(kit)
    if vehicle.points:
        yield plan_chapter(kit)
    yield key_chapter(kit)
    if views := views_chapter(kit, before()):
        yield views
    for name in SEQUENCES:
        if sequence := kit.context.sequences.sequences.get(name):
            yield walk_chapter(kit, sequence)
    yield from system_chapters(kit, _next_page(kit, bound))
    yield numbers_chapter(kit)


def _ended(kit: Kit, bound: Sequence[Bound]) -> list[Bound]:
    """The chapters with quick help and what follows it.

    Who looks for help is in a hurry: it begins a page, unless the guide were longer by one.
    """
    before = bound[-1].chapter
    ended = _with_help(kit, bound, help_chapter(kit, before))
    if not ended[len(bound)].chapter.runs_on:
        return ended
    own = _with_help(kit, bound, help_chapter(kit, None))
    if own[-1].last > ended[-1].last:
        return ended
    alone = replace(bound[-1], chapter=numbers_chapter(kit, ENOUGH * kit.look.height))
    return [*bound[:-1], alone, *own[len(bound) :]]


def _with_help(kit: Kit, bound: Sequence[Bound], helped: Chapter | None) -> list[Bound]:
    ended = [*bound]
    _bind(kit, ended, [helped] if helped else [])
    if kit.context.vehicle.points:
        _bind(kit, ended, [index_chapter(kit, ended)])
    _bind(kit, ended, [records_chapter(kit, ended[-1].chapter)])
    return ended


def _bind(kit: Kit, bound: list[Bound], chapters: Iterable[Chapter]) -> None:
    """Puts the chapters behind the others, each on the next page or the one that it runs on."""
    for chapter in chapters:
        bound.append(Bound(chapter, _next_page(kit, bound) - chapter.runs_on))


def _next_page(kit: Kit, bound: Sequence[Bound]) -> int:
    """The number of the first page that is still empty."""
    return bound[-1].last + 1 if bound else 1 + cover_pages(kit.look)


def numbers_chapter(kit: Kit, wanted_mm: float = 0.0) -> Chapter:
    """What runs together, how long everything lasts, what may be loaded.

    The payload parts from its workings where that saves a page.

    wanted_mm: of the last page, as far as more white can fill it.
    """
    title = NUMBERS_TITLE
    look = kit.look
    frame = Frame(0.0, look.top, look.paper.width_mm - look.inner - look.outer, look.height)
    blocks = (title_block(kit, "numbers", title), *compose_numbers_blocks(kit.context, frame))
    laid = flowed(kit, blocks)
    if len(laid.pages) > _FEWEST_NUMBERS:
        parted = [replace(b, keep_with_next=False) if isinstance(b, KeepTogether) else b for b in blocks]
        laid = min(laid, flowed(kit, parted), key=lambda one: len(one.pages))
    if laid.last_mm < wanted_mm:
        more = freer(kit, blocks, (), wanted_mm, 1)
        laid = more if len(more.pages) == len(laid.pages) else laid
    return Chapter("numbers", title, tuple(laid.drawn()), laid.foot)
