"""What a document draws more than once, to be kept in a PDF as form XObjects."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from guidegen.drawing.primitives import Circle, Document, Group, Item, Line, Path, Rect

_SHAPES = (Line, Path, Circle, Rect)
LEAST_SHAPES = 40
"""Of a form XObject (ISO 32000-1, clause 8.10), which holds a drawing once; small ones stay on the page."""


def repeated(document: Document) -> Mapping[int, int]:
    """The ids of those tuples of items that several groups of the document share, with the number of items.

    Shapes all through, since text, pictures and links stay on their pages; small ones without groups inside.
    """
    groups: list[tuple[Item, ...]] = []
    for sheet in document.sheets:
        _find_groups(sheet.items, groups)
    counts = Counter(map(id, groups))
    return {
        id(items): len(items)
        for items in {id(items): items for items in groups}.values()
        if counts[id(items)] > 1 and _only_shapes(items, groups=len(items) >= LEAST_SHAPES)
    }


def _find_groups(items: tuple[Item, ...], found: list[tuple[Item, ...]]) -> None:
    for item in items:
        if type(item) is Group:
            found.append(item.items)
            _find_groups(item.items, found)


def _only_shapes(items: tuple[Item, ...], groups: bool) -> bool:
    return all(
        groups and _only_shapes(item.items, groups)
        if isinstance(item, Group)
        else isinstance(item, _SHAPES) and item.style.fill_opacity >= 1
        for item in items
    )
