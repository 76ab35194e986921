"""Badges in photos: beside the place that the file gives, else at the foot; never over one another."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from msgspec.structs import replace
from PIL import Image

from guidegen.documents.guide.look import A4_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.photos import caption_of, photo_block
from guidegen.drawing.primitives import Circle, Sheet


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "a.png"
    Image.new("RGB", (800, 600), "grey").save(path)
    return path


@pytest.fixture
def marked(larch, context_of, seen, file):
    """marked([place or None, …]): rings round places and middles of badges of a photo 68 × 48 mm."""

    def of(places):
        points = [replace(p, photo=file, photo_at=at) for p, at in zip(larch.points, places, strict=False)]
        kit = Kit(context_of(larch), A4_LOOK)
        block, _ = photo_block(kit, file, points).blocks
        circles = [
            s for s in seen(Sheet(block.width, block.height, block.items)) if isinstance(s.item, Circle)
        ]
        middles = [(s.dx + s.item.x, s.dy + s.item.y, s.item) for s in circles]
        rings = {(round(x, 2), round(y, 2)) for x, y, c in middles if c.css != "badge"}
        badges = [(x, y) for x, y, c in middles if c.css == "badge"]
        return block, rings, badges

    return of


def test_a_badge_stands_beside_its_place(marked):
    block, rings, badges = marked([(0.5, 0.5)])
    assert rings == {(block.width / 2, block.height / 2)}
    (badge,) = badges
    assert 5 < math.dist(badge, (block.width / 2, block.height / 2)) < 10


def test_without_a_place_it_stands_at_the_foot(marked):
    block, rings, badges = marked([None, None])
    assert not rings and len(badges) == 2
    assert all(y > block.height - 6 for _, y in badges)


def test_badges_hide_neither_one_another_nor_a_place(marked):
    places = [(0.19, 0.47), (0.39, 0.47), (0.59, 0.47), (0.79, 0.47), (0.02, 0.1), (0.98, 0.95), (0.5, 0.05)]
    block, rings, badges = marked(places)
    assert len(rings) == len(badges) == len(places)
    for n, badge in enumerate(badges):
        assert 2.6 <= badge[0] <= block.width - 2.6 and 2.6 <= badge[1] <= block.height - 2.6
        assert all(math.dist(badge, other) >= 5.2 for other in badges[n + 1 :])
        assert all(math.dist(badge, ring) >= 2.6 + 1.7 for ring in rings)


def test_the_sample_shows_its_valves_where_they_are(larch):
    by_name = {p.name: p.photo_at for p in larch.points if p.photo_at}
    assert len(by_name) == 5
    assert by_name["Gas isolation valve, hob"] == (0.19, 0.47)


def test_photos_grow_with_large_print(larch, context_of, file):
    sizes = [
        photo_block(Kit(context_of(larch), look), file, larch.points[:1]).blocks[0]
        for look in (A4_LOOK, LARGE_LOOK)
    ]
    assert sizes[1].width == pytest.approx(1.4 * sizes[0].width)
    assert sizes[1].height / sizes[1].width == pytest.approx(sizes[0].height / sizes[0].width)


def test_words_below_a_photo_name_every_point_that_it_shows(larch, context_of, file):
    valves = sorted((p for p in larch.points if p.kind == "isolation-valve"), key=lambda p: p.number)
    said = caption_of([larch.points[0], *valves])
    assert said.startswith(f"{larch.points[0].number}\xa0{larch.points[0].name}; ")
    assert said.count(valves[0].name.partition(", ")[0]) == 1, "what all are called stands once"
    for valve in valves:
        assert f"{valve.number}\xa0{valve.name.partition(', ')[2]}" in said
    *_, words = photo_block(Kit(context_of(larch), A4_LOOK), file, valves).blocks
    assert words.text == caption_of(valves)
