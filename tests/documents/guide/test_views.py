"""The chapter of views from outside: pages filled alike, all views to one scale, and which hand the nearside is."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.guide import views
from guidegen.documents.guide.look import A4_LOOK, A5_LOOK, LARGE_LOOK
from guidegen.documents.guide.pages import Chapter, Kit
from guidegen.documents.guide.views import views_chapter
from guidegen.drawing.primitives import Path as Drawn
from guidegen.drawing.primitives import Sheet
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"
BEFORE = Chapter("key", "Key to the numbers", ((),))


def kit_of(context_of, sample, look):
    return Kit(context_of(read_vehicle(SAMPLES / f"{sample}.yaml")), look)


def test_in_a_booklet_views_are_drawn_smaller_where_that_saves_a_page_half_empty(context_of, monkeypatch):
    kit = kit_of(context_of, "alder", A5_LOOK)
    chosen = views_chapter(kit, BEFORE)
    monkeypatch.setattr(views, "_SHARES", ())
    largest = views_chapter(kit, BEFORE)
    assert len(chosen.pages) < len(largest.pages)


def test_smaller_views_are_drawn_only_where_pages_are_likely_to_be_fuller(context_of, monkeypatch):
    """That four of five shares of the scale leave a page of rowan's booklet empty is told without callouts."""
    kit = kit_of(context_of, "rowan", A5_LOOK)
    drawn = []
    every = views._views
    monkeypatch.setattr(views, "_views", lambda kit, share: drawn.append(share) or every(kit, share))
    assert views_chapter(kit, BEFORE)
    assert drawn == [1.0, 0.75]


@pytest.mark.parametrize("sample", ["larch", "fern"])
def test_an_end_is_drawn_no_larger_than_the_sides(context_of, seen, sample):
    """Else a booklet's rear looks as wide as the vehicle is long."""
    kit = kit_of(context_of, sample, A5_LOOK)
    bodies = [
        width_of(one.item)
        for page in views_chapter(kit, BEFORE).pages
        for one in seen(Sheet(A5_LOOK.width, A5_LOOK.bottom, page))
        if isinstance(one.item, Drawn) and one.item.css == "elevation"
    ]
    layout = kit.context.vehicle.layout
    long_side, end = max(bodies), min(bodies)
    assert end / layout.width <= 1.01 * long_side / layout.length


def width_of(drawn):
    xs = [x for command in drawn.commands for x in command[1::2] if isinstance(x, float)]
    return max(xs) - min(xs)


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_reader_is_told_which_hand_the_nearside_is(context_of, texts_of, hand):
    kit = kit_of(context_of, "alder", A4_LOOK)
    kit = Kit(replace(kit.context, vehicle=replace(kit.context.vehicle, nearside=hand)), A4_LOOK)
    first = views_chapter(kit, BEFORE).pages[0]
    words = " ".join(one.item.text for one in texts_of(Sheet(A4_LOOK.width, A4_LOOK.bottom, first)))
    assert f"the nearside is on your {hand}." in words


def test_a_side_too_full_for_large_badges_is_drawn_with_fewer_leaders(context_of, vehicles_by_chance):
    """A crowd of service points on one side of a vehicle by chance, in large print."""
    vehicle = vehicles_by_chance.random_vehicle(122, points=75)
    points = tuple(replace(point, number=n) for n, point in enumerate(vehicle.points, 1))
    chapter = views_chapter(Kit(context_of(replace(vehicle, points=points)), LARGE_LOOK), None)
    assert chapter and chapter.pages
