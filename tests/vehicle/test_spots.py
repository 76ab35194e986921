"""Words for a spot: the point of a piece that they name, and words that name none."""

from __future__ import annotations

import pytest

from guidegen.vehicle.layout import Area
from guidegen.vehicle.spots import PlaceError, spot_in

PIECE = Area(1000, 0, 800, 600)


@pytest.mark.parametrize(
    ("words", "x", "y"),
    [
        (None, 1400, 300),
        ("middle", 1400, 300),
        ("front end", 1150, 300),
        ("Rear, offside corner", 1650, 450),
        ("front-nearside", 1150, 150),
    ],
)
def test_a_spot_is_150_mm_from_the_edge_that_it_names(words: str | None, x: float, y: float) -> None:
    assert spot_in(words, PIECE, None, "left") == (x, y)


@pytest.mark.parametrize(
    ("facing", "nearside", "x", "y"),
    [
        ("offside", "left", 1650, 300),  # who stands at the offside looks across, the rear to the left
        ("nearside", "left", 1150, 300),
        ("offside", "right", 1150, 300),
        ("rear", "left", 1400, 150),
    ],
)
def test_left_is_the_left_of_who_stands_before_the_piece(
    facing: str, nearside: str, x: float, y: float
) -> None:
    assert spot_in("left", PIECE, facing, nearside) == (x, y)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("front rear corner", "names two ends at once"),
        ("nearside, offside", "names two ends at once"),
        ("left right", "names two ends at once"),
        ("end", "does not say which one"),
        ("corner", "does not say which one"),
        ("upstairs", "is not a word for a spot"),
    ],
)
def test_words_that_name_no_spot_are_refused(words: str, said: str) -> None:
    with pytest.raises(PlaceError, match=said):
        spot_in(words, PIECE, "offside", "left")
