"""References to other chapters by page: set before their pages are known, filled in when they are."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from guidegen.documents.guide.pages import Bound, Kit
from guidegen.documents.numbers_pages import BATTERY_TITLE, panel_place
from guidegen.documents.steps import TITLES
from guidegen.drawing.primitives import Destination, Group, Item, Link, Text, Weight
from guidegen.paper.text import Span

NUMBERS_TITLE = "The numbers of this vehicle"
_UNKNOWN = "00"  # as wide as the number that takes its place; no page has it
_QUOTED = re.compile(r"“([^”]+)”(\.)?")


def pages_of(bound: Sequence[Bound]) -> Mapping[str, int]:
    """The page of every named place."""
    return {
        item.name: one.first + offset
        for one in bound
        for offset, page in enumerate(one.chapter.pages)
        for item in page
        if isinstance(item, Destination)
    }


def page_number(destination: str, weight: Weight | None = None, before: str = "", after: str = "") -> Span:
    """The page of that place between two words, known only when the guide is bound."""
    return Span(f"{before}{_UNKNOWN}{after}", weight, target=f"#{destination}")


def referred(kit: Kit, text: str) -> tuple[Span, ...]:
    """The text with the page of each chapter, or panel of the numbers, that it names in quotation marks."""
    chapters = {TITLES[name]: f"chapter-{name}" for name in kit.context.sequences.sequences}
    chapters[NUMBERS_TITLE] = "chapter-numbers"
    if kit.context.numbers.number("battery.usable"):
        chapters[BATTERY_TITLE] = panel_place(BATTERY_TITLE)
    spans: list[Span] = []
    at = 0
    for found in _QUOTED.finditer(text):
        target = chapters.get(found[1])
        if not target:
            continue
        spans.append(Span(text[at : found.end(1) + 1]))
        page = ("(page\N{NO-BREAK SPACE}", ")") if not found[2] else ("page\N{NO-BREAK SPACE}", ".")
        spans += [Span(", " if found[2] else " "), page_number(target, None, *page)]
        at = found.end()
    return (*spans, Span(text[at:])) if at < len(text) else tuple(spans)


def resolved(items: tuple[Item, ...], pages: Mapping[str, int]) -> tuple[Item, ...]:
    """The items with the numbers of the pages that were not known when they were set.

    Where none is, they are handed back as they are: by that is known what is drawn more than once.
    """
    found: dict[int, Item] = {}
    for n, item in enumerate(items):
        if isinstance(item, Group):
            inner = resolved(item.items, pages)
            if inner is not item.items:
                found[n] = replace(item, items=inner)
        elif isinstance(item, Text) and _UNKNOWN in item.text and n + 1 < len(items):
            after = items[n + 1]
            page = pages.get(after.target.removeprefix("#")) if isinstance(after, Link) else None
            if page:
                found[n] = replace(item, text=item.text.replace(_UNKNOWN, str(page)))
    return tuple(found.get(n, item) for n, item in enumerate(items)) if found else items
