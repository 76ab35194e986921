"""Quick help: what to look at when something does not work, nearest and likeliest first."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.documents.guide.columns import in_columns
from guidegen.documents.guide.front import cover_pages
from guidegen.documents.guide.pages import Chapter, Kit, headed, labelled, start_below, title_block
from guidegen.documents.guide.using import numbered_rows
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.text import Span
from guidegen.sequence import HelpEntry

_TITLE = "When something does not work"


_MOST_TOGETHER = 9  # hints of one fault that never part
_LEAST_MM = 80.0  # of the chapter on a page that it shares


def help_chapter(kit: Kit, before: Chapter | None) -> Chapter | None:
    """None when there is nothing to say. It runs on where the chapter before, if any, leaves room."""
    entries = kit.context.help
    if not entries:
        return None
    words = (title_block(kit, "help", _TITLE), Paragraph(text=_lead(kit), style=kit.look.body))
    at = start_below(kit, before, _LEAST_MM)
    head, top = headed(kit, *words, at=at)
    blocks = [block for entry in entries for block in _entry(kit, entry)]
    laid = in_columns(kit, blocks, kit.look.split(kit.look.columns, top))
    return Chapter("help", _TITLE, tuple(laid.drawn(*head)), laid.foot, runs_on=bool(at))


def _lead(kit: Kit) -> tuple[Span, ...]:
    """What to do when nothing here helps, and where the dealer's numbers for that stand."""
    dealer = kit.context.vehicle.dealer
    said = "Look in this order. If it still does not work, leave it off and call the workshop."
    if not dealer or not (dealer.emergency or dealer.phone):
        return (Span(said),)
    page = f"page\N{NO-BREAK SPACE}{cover_pages(kit.look) + 1}."  # the safety chapter is the first
    return Span(f"{said} Numbers to call: "), Span(page, "bold", target="#chapter-safety")


def _entry(kit: Kit, entry: HelpEntry) -> Iterator[Block]:
    points = {p.id: p for p in kit.context.vehicle.points}
    hints = [
        (number, hint.text, tuple(points[id] for id in hint.points if id in points))
        for number, hint in enumerate(entry.hints, 1)
    ]
    yield from labelled(kit, entry.title, list(numbered_rows(kit, hints)), _MOST_TOGETHER)
