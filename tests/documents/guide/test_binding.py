"""Running heads: nothing that a page can hold is cut."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen import prepare
from guidegen.documents.guide.binding import bind
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Bound, Chapter, Kit
from guidegen.drawing.primitives import Group, Text

CONTEXT = prepare(Path(__file__).parents[3] / "sample_vehicles" / "hazel.yaml")
NAMES = ["Hazel 541", "Hazel 541 Automatic with the Winter Comfort and the Long Journey Equipment"]
TITLES = ["Safety first", "The numbers of this vehicle · When something does not work"]


def texts(items):
    for item in items:
        if isinstance(item, Text):
            yield item
        elif isinstance(item, Group):
            yield from texts(item.items)


@pytest.mark.parametrize("look", [A4_LOOK, A5_LOOK, LARGE_LOOK], ids=["A4", "A5", "large"])
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("title", TITLES)
def test_vehicle_and_chapter_stand_whole_in_the_head_of_a_page(look, name, title):
    kit = Kit(replace(CONTEXT, vehicle=replace(CONTEXT.vehicle, name=name)), look)
    (_, sheet) = bind(kit, [Bound(Chapter("one", title, ((),)), 2)], [()])
    heads = sorted((t for t in texts(sheet.items) if t.y <= look.head), key=lambda t: t.y)
    for weight, words in (("regular", name), ("bold", title)):
        lines = [t for t in heads if t.weight == weight]
        if look is LARGE_LOOK and (name, title) == (NAMES[1], TITLES[1]) and weight == "regular":
            assert not lines, "no room for both: the name stands on the cover"
            continue
        assert " ".join(t.text for t in lines) == words
        assert min(t.size_pt for t in lines) >= (14.0 if look is LARGE_LOOK else 7.0)
        assert min(t.y - 0.25 * t.size_pt for t in lines) >= 5.0, "clear of the sheet's edge"
        assert max(t.y for t in lines) == look.head
