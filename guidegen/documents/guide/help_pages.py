"""Quick help: what to look at when something does not work, nearest and likeliest first."""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.documents.guide.columns import in_columns
from guidegen.documents.guide.pages import Chapter, Kit, headed, label_block, start_below, title_block
from guidegen.documents.guide.using import numbered_row
from guidegen.paper.blocks import Block, Paragraph
from guidegen.paper.containers import KeepTogether
from guidegen.sequence import HelpEntry, quick_help

_TITLE = "When something does not work"


_LEAST_MM = 80.0  # of the chapter on a page that it shares


def help_chapter(kit: Kit, before: Chapter) -> Chapter | None:
    """None when there is nothing to say. It runs on where the chapter before leaves room."""
    entries = quick_help(kit.context.vehicle, kit.context.trade)
    if not entries:
        return None
    said = "Look in this order. If it still does not work, leave it off and call the workshop."
    words = (title_block(kit, "help", _TITLE), Paragraph(text=said, style=kit.look.body))
    at = start_below(kit, before, _LEAST_MM)
    head, top = headed(kit, *words, at=at)
    blocks = [block for entry in entries for block in _entry(kit, entry)]
    laid = in_columns(kit, blocks, kit.look.split(kit.look.columns, top))
    return Chapter("help", _TITLE, tuple(laid.drawn(*head)), laid.foot, runs_on=bool(at))


def _entry(kit: Kit, entry: HelpEntry) -> Iterator[Block]:
    points = {p.id: p for p in kit.context.vehicle.points}
    rows = [
        numbered_row(kit, number, hint.text, tuple(points[id] for id in hint.points if id in points))
        for number, hint in enumerate(entry.hints, 1)
    ]
    yield KeepTogether(blocks=(label_block(kit, entry.title), *rows[:2]), space_before_mm=5.0)
    yield from rows[2:]
