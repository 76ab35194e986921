"""Signal words by rank, as ISO 3864-2 and ANSI Z535.6 have them (from memory)."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen import prepare
from guidegen.documents.guide.look import A4_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.safety import safety_chapter
from guidegen.documents.signal_panel import Message, SignalPanel
from guidegen.drawing.primitives import Group, Rect, Text
from guidegen.paper.text import TextStyle
from guidegen.trade.records import holds

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
RANKS = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
MESSAGES = tuple(
    Message(text, "w001") for text in ("Never do that. It kills.", "Mind the step.", "Drain it in time.")
)


def flat(items):
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from flat(item.items)


def words(items) -> str:
    return " ".join(item.text for item in flat(items) if isinstance(item, Text))


def panel(signal="warning", **fields) -> SignalPanel:
    return SignalPanel(signal=signal, messages=MESSAGES, style=TextStyle(10), **fields)


@pytest.mark.parametrize("columns", [1, 2])
def test_the_word_stands_before_all_messages_within_its_border(columns):
    block = panel(columns=columns)
    height = block.height_mm(160)
    items = list(flat(block.draw(10, 20, 160)))
    assert words(items).startswith("WARNING ")
    assert all(message.text in words(items) for message in MESSAGES)
    assert all(20 < item.y < 20 + height for item in items if isinstance(item, Text))


def test_a_panel_splits_between_messages_and_repeats_its_word():
    block = panel()
    assert block.split(80, 10.0) is None
    head, tail = block.split(80, block.height_mm(80) - 1.0)
    assert head.height_mm(80) < block.height_mm(80)
    assert [*head.messages, *tail.messages] == [*MESSAGES]
    assert all(words(part.draw(0, 0, 80)).startswith("WARNING ") for part in (head, tail))


def test_a_danger_differs_from_a_warning_by_more_than_its_colour():
    def edges(block):
        rects = (item for item in flat(block.draw(0, 0, 80)) if isinstance(item, Rect))
        return max(item.style.width_mm for item in rects if item.style.stroke)

    assert edges(panel("danger")) >= 2 * edges(panel("warning"))
    drawn = [item for item in flat(panel("danger").draw(0, 0, 80)) if isinstance(item, Text)]
    assert {item.weight for item in drawn if item.text in "Never do that. It kills."} == {"bold", "regular"}


@pytest.mark.parametrize("sample", ["larch", "hazel", "rowan"])
def test_the_safety_page_tells_all_dangers_first_and_in_the_order_of_their_rank(sample):
    context = prepare(SAMPLES / f"{sample}.yaml")
    first = safety_chapter(Kit(context, A4_LOOK)).pages[0]
    text = words(first)
    found = [word for word in text.split() if word in RANKS]
    assert found == sorted(set(found), key=RANKS.index)
    told = [c for c in context.trade.cautions.values() if holds(c.when, context.vehicle.facts)]
    for caution in told:
        if caution.signal in ("danger", "warning"):
            assert caution.text.split(". ")[0].split()[0] in text
            assert all(word in text.split() for word in caution.text.split())
