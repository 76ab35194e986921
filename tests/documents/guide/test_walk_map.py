"""The map of a walk: where there is no room for all numbers beyond the way, it makes some."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from guidegen.documents.guide.look import LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.walk_map import WalkMap
from guidegen.documents.guide.walks import walk_chapter

# Vehicles by chance whose first use after lay-up has more stops on one side than a row of numbers holds.
CROWDED = {"nearside": (142, 75), "offside": (329, 60)}


@pytest.fixture(scope="module", params=CROWDED)
def kit(request, vehicles_by_chance, larch):
    from guidegen.documents.context import Context, Options
    from guidegen.trade.load import load_trade

    seed, count = CROWDED[request.param]
    vehicle = vehicles_by_chance.random_vehicle(seed, points=count)
    points = tuple(replace(point, number=n) for n, point in enumerate(vehicle.points, 1))
    whole = replace(vehicle, points=points, figures=larch.figures)
    return Kit(Context(whole, load_trade(), (), Options()), LARGE_LOOK)


@pytest.mark.parametrize("kit", ["offside"], indirect=True)
def test_more_rows_make_room_within_the_same_height(kit):
    walk, most = kit.context.sequences.sequences["recommission"], 0.28 * kit.look.height
    one, two = (WalkMap(kit, walk, kit.look.width, most, rows) for rows in (1, 2))
    assert one.crowded
    assert not two.crowded
    assert two.height <= most + 0.01


@pytest.mark.parametrize("name", ["arrive", "leave", "lay-up", "recommission"])
def test_a_chapter_shows_no_map_with_a_number_over_another(kit, name, monkeypatch):
    drawn, draw = [], WalkMap.drawn
    monkeypatch.setattr(WalkMap, "drawn", lambda self, x, y: drawn.append(self) or draw(self, x, y))
    assert walk_chapter(kit, kit.context.sequences.sequences[name])
    assert drawn and not any(walk.crowded for walk in drawn)
