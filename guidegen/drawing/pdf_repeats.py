"""What a document draws more than once, to be kept in a PDF as form XObjects."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from guidegen.drawing.primitives import Circle, Document, Group, Item, Line, Path, Rect

_SHAPES = (Line, Path, Circle, Rect)
LEAST_SHAPES = 40
"""A drawing of fewer shapes is written out each time."""


def repeated(document: Document) -> frozenset[int]:
    """The ids of those tuples of items that several groups of the document share, shapes all through.

    A form XObject (ISO 32000-1, clause 8.10) holds them once. Text, pictures and links stay on their pages.
    """
    groups = [group.items for sheet in document.sheets for group in _groups(sheet.items)]
    counts = Counter(id(items) for items in groups)
    return frozenset(
        id(items)
        for items in {id(items): items for items in groups}.values()
        if counts[id(items)] > 1 and len(items) >= LEAST_SHAPES and _only_shapes(items)
    )


def _groups(items: tuple[Item, ...]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield item
            yield from _groups(item.items)


def _only_shapes(items: tuple[Item, ...]) -> bool:
    return all(
        _only_shapes(item.items)
        if isinstance(item, Group)
        else isinstance(item, _SHAPES) and item.style.fill_opacity >= 1
        for item in items
    )
