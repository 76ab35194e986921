"""The panels behind the cover: what flows into them, and the line that says which sequence goes on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.parts import INK
from guidegen.drawing.primitives import Item, moved
from guidegen.paper.blocks import Block, Heading, Paragraph
from guidegen.paper.flow import Frame, Placed, draw_all, flow
from guidegen.paper.text import DoesNotFit, TextStyle

HEADING = TextStyle(12, "bold", INK, leading=1.2)
_HEADS = ((HEADING, 5.8), (TextStyle(9.5, "bold", INK, leading=1.2), 4.4))
HEADS_MM = tuple(height for _, height in _HEADS)
"""Heights of the line that says which sequence goes on, the usual one and that of a full card."""
_SLACK_MM = 1e-6


class Panels(Struct, frozen=True):
    """Frames in reading order; all but the first that blocks begin on keep head_mm free above."""

    frames: tuple[Frame, ...]
    head_mm: float = 0.0

    def flow(self, blocks: Sequence[Block], after: int = 0) -> tuple[tuple[Placed, ...], ...]:
        """The blocks on the panels behind so many. Raises DoesNotFit."""
        head = self.head_mm
        others = (replace(f, y=f.y + head, height=f.height - head) for f in self.frames[after + 1 :])
        return flow(blocks, (*self.frames[after : after + 1], *others))

    def taken(self, blocks: Sequence[Block], after: int = 0) -> int:
        """How many panels the blocks take; one more than there are when they do not fit."""
        try:
            return len(self.flow(blocks, after))
        except DoesNotFit:
            return len(self.frames) - after + 1

    def draw(self, pages: Sequence[tuple[Placed, ...]]) -> Iterator[tuple[Item, ...]]:
        """The items of each panel; one that begins amid a sequence says which, where there is room for it."""
        title = ""
        for page, frame in zip(pages, self.frames, strict=False):
            yield _drawn(page, frame, f"{title}, continued")
            title = next((o.block.name for o in reversed(page) if isinstance(o.block, Heading)), title)


def _drawn(page: tuple[Placed, ...], frame: Frame, continued: str) -> tuple[Item, ...]:
    items = draw_all(page)
    if not page or isinstance(page[0].block, Heading):
        return items
    for style, height in _HEADS:
        down = frame.y + height - page[0].y
        if page[-1].y + page[-1].height + down <= frame.y + frame.height + _SLACK_MM:
            head = Paragraph(text=continued, style=style).draw(frame.x, frame.y, frame.width)
            return (*head, moved(items, 0.0, down))
    return items
