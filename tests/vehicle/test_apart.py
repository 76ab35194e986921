"""Points of one kind that would read the same are told apart as in a row of taps; common practice, no source."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from guidegen import read_vehicle
from guidegen.vehicle.apart import told_apart
from guidegen.vehicle.model import ServicePoint

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
UNDER_WORKTOP = "Inside, kitchen, under the worktop"


def valve(id: str, x: float, place: str, *, y: float = 1700, kind: str = "isolation-valve") -> ServicePoint:
    return ServicePoint(
        id=id,
        kind=kind,
        system="G",
        name="Gas isolation valve",
        note="",
        x=x,
        y=y,
        z=900,
        height="low",
        where="inside",
        room="kitchen",
        furniture="worktop",
        place=place,
        serves=(),
        number=0,
        pinned=False,
    )


def places(*points: ServicePoint) -> list[str]:
    return [p.place for p in told_apart(points)]


def test_a_row_is_counted_from_the_front_whatever_the_order_in_the_file() -> None:
    said = places(*(valve(str(x), x, UNDER_WORKTOP) for x in (3300, 3100, 3200)))
    assert said == [f"{UNDER_WORKTOP}, {nth} from the front" for nth in ("third", "first", "second")]


def test_a_row_across_the_vehicle_is_counted_from_the_nearside() -> None:
    said = places(valve("a", 3000, UNDER_WORKTOP, y=1900), valve("b", 3000, UNDER_WORKTOP, y=1700))
    assert said == [f"{UNDER_WORKTOP}, {nth} from the nearside" for nth in ("second", "first")]


def test_the_whole_row_is_counted_where_only_two_of_it_read_the_same() -> None:
    said = places(
        valve("a", 3000, f"{UNDER_WORKTOP}, front end"),
        valve("b", 3100, UNDER_WORKTOP),
        valve("c", 3200, UNDER_WORKTOP),
    )
    assert said == [f"{UNDER_WORKTOP}, {nth} from the front" for nth in ("first", "second", "third")]


def test_other_kinds_places_and_what_cannot_be_told_stay() -> None:
    points = (
        valve("a", 3000, UNDER_WORKTOP),
        valve("b", 3100, UNDER_WORKTOP, kind="pump"),
        valve("c", 3200, "Inside, kitchen, under the hob"),
    )
    assert told_apart(points) == points
    twins = (valve("a", 3000, UNDER_WORKTOP), valve("b", 3000, UNDER_WORKTOP))
    assert told_apart(twins) == twins


@pytest.mark.parametrize("file", sorted(SAMPLES.glob("*.yaml")), ids=lambda f: f.stem)
def test_no_two_of_a_kind_read_the_same_in_a_sample(file: Path) -> None:
    said = Counter((p.kind, p.place) for p in read_vehicle(file).points)
    assert [one for one, n in said.items() if n > 1] == []
