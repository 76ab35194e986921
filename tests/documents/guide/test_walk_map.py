"""The map of a walk: where there is no room for all numbers beyond the way, it makes some."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from guidegen.documents.guide.look import LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.walk_map import WalkMap
from guidegen.documents.guide.walks import walk_chapter


@pytest.fixture(scope="module")
def kit(vehicles_by_chance, larch):
    """Of a vehicle whose first use after lay-up stops four times in one place of its nearside."""
    from guidegen.documents.context import Context, Options
    from guidegen.trade.load import load_trade

    vehicle = vehicles_by_chance.random_vehicle(142, points=75)
    points = tuple(replace(point, number=n) for n, point in enumerate(vehicle.points, 1))
    whole = replace(vehicle, points=points, figures=larch.figures)
    return Kit(Context(whole, load_trade(), (), Options()), LARGE_LOOK)


@pytest.mark.parametrize("share", [0.2, 0.24, 0.28])
def test_a_second_row_holds_the_numbers_that_the_first_cannot(kit, share):
    walk = kit.context.sequences.sequences["recommission"]
    one, two = (WalkMap(kit, walk, kit.look.width, share * kit.look.height, rows) for rows in (1, 2))
    assert one.crowded
    assert not two.crowded
    assert two.height <= share * kit.look.height + 0.01


@pytest.mark.parametrize("name", ["arrive", "leave", "lay-up", "recommission"])
def test_a_chapter_shows_no_map_with_a_number_over_another(kit, name, monkeypatch):
    drawn, draw = [], WalkMap.drawn
    monkeypatch.setattr(WalkMap, "drawn", lambda self, x, y: drawn.append(self) or draw(self, x, y))
    assert walk_chapter(kit, kit.context.sequences.sequences[name])
    assert drawn and not any(walk.crowded for walk in drawn)
