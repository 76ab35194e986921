"""The walk does not depend on the numbers of the points, which are given while it is planned."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.pipeline import prepare, sound
from guidegen.sequence import plan_sequences
from guidegen.trade.load import load_trade

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_numbers_change_nothing_but_the_order_at_one_spot(path: Path) -> None:
    numbered, bare = prepare(path).vehicle, sound(path)
    backwards = replace(bare, points=tuple(replace(p, number=900 - p.number) for p in numbered.points))
    for vehicle in (numbered, backwards):
        numbers = {p.id: p.number for p in vehicle.points}
        found = plan_sequences(vehicle, load_trade()).sequences
        for name, before in plan_sequences(bare, load_trade()).sequences.items():
            after = found[name]
            assert (after.cost_m, after.path) == (before.cost_m, before.path)
            assert [s.step for s in after.steps] == [s.step for s in before.steps]
            for one, other in zip(before.steps, after.steps, strict=True):
                start = 0
                for spot in one.visits:
                    there = other.points[start : start + len(spot)]
                    assert set(there) == set(spot)
                    assert list(there) == sorted(there, key=numbers.__getitem__)
                    start += len(spot)
                assert start == len(other.points) or not one.visits


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_known_sequences_come_out_as_planned_ones(path: Path) -> None:
    numbered, bare = prepare(path).vehicle, sound(path)
    known = plan_sequences(bare, load_trade()).sequences
    again = plan_sequences(numbered, load_trade(), known=known).sequences
    assert again == plan_sequences(numbered, load_trade()).sequences
