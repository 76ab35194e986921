"""Parts of a place that contradict each other are refused, each at its key."""

from __future__ import annotations

from typing import Any

import pytest

from guidegen.trade.load import load_trade
from guidegen.vehicle.description import PointEntry
from guidegen.vehicle.layout_reading import read_layout
from guidegen.vehicle.places import resolve
from guidegen.vehicle.spots import PlaceError

LAYOUT = read_layout("coachbuilt-island-bed")


def placed(kind: str, **place: Any) -> Any:
    entry = PointEntry.read({"kind": kind, **place})
    return resolve(entry, load_trade().kinds[kind], LAYOUT, "left")


@pytest.mark.parametrize(
    ("kind", "place", "key", "said"),
    [
        ("steady", {"on": "rear", "from_front": "0.2 m", "from_nearside": "1.1 m"}, "from_front", "0.2 m from the front is not on the rear"),
        ("steady", {"on": "front", "from_front": "3 m", "from_nearside": "1.1 m"}, "from_front", "is not on the front"),
        ("solar-panel", {"on": "roof", "from_front": "3 m", "height": "1.2 m"}, "height", "says nothing of what is on the roof"),
        ("fresh-drain", {"on": "under-floor", "from_front": "3 m", "height": "2.2 m"}, "height", "under the floor"),
        ("leisure-battery", {"in": "battery-locker", "height": "1.9 m"}, "height", "above or below the locker"),
    ],
)  # fmt: skip
def test_contradictions_are_refused(kind: str, place: dict[str, str], key: str, said: str) -> None:
    with pytest.raises(PlaceError, match=said) as refused:
        placed(kind, **place)
    assert refused.value.key == key


def test_what_stands_out_at_an_end_may_say_how_far() -> None:
    assert placed(
        "steady", on="rear", from_front=f"{LAYOUT.length / 1000 + 0.1:.2f} m", from_nearside="1.1 m"
    )
    assert placed("solar-panel", on="roof", from_front="3 m", height="roof").height == "roof"
