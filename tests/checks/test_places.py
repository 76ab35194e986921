"""Rules on where a point lies: each with a vehicle that passes and one that fails."""

from __future__ import annotations

import pytest


@pytest.fixture
def found(workshop):
    """Messages of one rule for a vehicle with only these points."""
    return lambda rule, *points: [f.message for f in workshop.findings(rule, workshop.vehicle(*points))]


def test_number_twice(workshop, found):
    one, two, again = (workshop.point("hob", x=x, number=n) for x, n in ((1000, 1), (2000, 2), (3000, 1)))
    assert found("number-twice", one, two) == []
    unnumbered = [workshop.point("hob", x=x) for x in (1000, 2000)]
    assert found("number-twice", *unnumbered) == []
    (message,) = found("number-twice", one, two, again)
    assert "number 1 is used twice" in message
    assert workshop.findings("number-twice", workshop.vehicle(one, again))[0].severity == "error"


@pytest.mark.parametrize(
    ("x", "y", "z"),
    [
        (7000, 1100, 1000),
        (-900, 1100, 1000),
        (3000, 3000, 1000),
        (3000, -700, 1000),
        (3000, 0, 3500),
        (3000, 0, -10),
    ],
)
def test_place_outside(workshop, found, x, y, z):
    assert found("place-outside", workshop.point("hookup-inlet", 3000, 0, 700)) == []
    (message,) = found("place-outside", workshop.point("hookup-inlet", x, y, z))
    assert "outside the vehicle" in message


def test_what_is_inside_must_be_within_the_walls(workshop, found):
    assert found("place-outside", workshop.point("hob", 3000, 2200)) == []
    assert found("place-outside", workshop.point("hob", 3000, 2300)) != []
    assert found("place-outside", workshop.point("entry-step", 2300, -300)) == []


def test_a_drawbar_is_part_of_a_caravan(workshop):
    point = workshop.point("gas-locker", -900, 1100, 600, where="front")
    plain, caravan = workshop.vehicle(point), workshop.vehicle(point, layout={"drawbar": 1200})
    assert workshop.findings("place-outside", plain) != ()
    assert workshop.findings("place-outside", caravan) == ()


def test_place_unknown(workshop, found):
    assert found("place-unknown", workshop.point("pump", furniture="bed", room="bedroom")) == []
    assert "“sofa”" in found("place-unknown", workshop.point("pump", furniture="sofa"))[0]
    assert "“attic”" in found("place-unknown", workshop.point("pump", room="attic"))[0]


def test_points_overlap(workshop, found):
    a, near, apart = (workshop.point("gas-cylinder", x=x) for x in (1000, 1030, 1300))
    assert found("points-overlap", a, apart) == []
    assert "lies where" in found("points-overlap", a, near)[0]
    served = [workshop.point("isolation-valve", serves=(s,)) for s in ("hob", "oven")]
    assert found("points-overlap", *served) == []  # a row of valves


def test_cylinders_stand_side_by_side_as_many_as_there_are(workshop):
    two = {"gas": {"cylinders": [{"size": "11 kg"}, {"size": "11 kg"}]}}
    points = [workshop.point("gas-cylinder", id=f"cylinder-{n}", x=1000) for n in range(3)]
    assert workshop.findings("points-overlap", workshop.vehicle(*points[:2], equipment=two)) == ()
    assert len(workshop.findings("points-overlap", workshop.vehicle(*points, equipment=two))) == 3


def test_height_unusual(workshop, found):
    assert found("height-unusual", workshop.point("smoke-alarm", height="ceiling")) == []
    (message,) = found("height-unusual", workshop.point("smoke-alarm", height="floor"))
    assert "at floor level: unusual for a smoke alarm" in message


def test_a_gas_alarm_is_low_because_gas_sinks(workshop, found):
    assert found("height-unusual", workshop.point("gas-alarm", height="floor")) == []
    assert found("height-unusual", workshop.point("gas-alarm", height="ceiling")) != []


def test_drain_high(workshop, found):
    assert found("drain-high", workshop.point("fresh-drain", height="under-floor")) == []
    bad = workshop.point("waste-drain", height="roof", where="roof")
    assert "on the roof" in found("drain-high", bad)[0]
    assert found("height-unusual", bad) == []  # said once


def test_drain_above_tank(workshop, found):
    tank = workshop.point("fresh-tank", z=700)
    assert found("drain-above-tank", tank, workshop.point("fresh-drain", z=600)) == []
    (message,) = found("drain-above-tank", tank, workshop.point("fresh-drain", z=1100, height="low"))
    assert "0.4 m higher than" in message


def test_filler_below_tank(workshop, found):
    tank = workshop.point("fresh-tank", z=800)
    assert found("filler-below-tank", tank, workshop.point("fresh-filler", z=1000)) == []
    assert found("filler-below-tank", workshop.point("fresh-filler", z=600)) == []
    (message,) = found("filler-below-tank", tank, workshop.point("fresh-filler", z=600))
    assert "lower than" in message


def test_side_unusual(workshop, found):
    assert found("side-unusual", workshop.point("hookup-inlet", where="nearside")) == []
    assert "belongs outside" in found("side-unusual", workshop.point("hookup-inlet", where="inside"))[0]
    assert found("side-unusual", workshop.point("hob", where="inside")) == []
    assert "belongs inside" in found("side-unusual", workshop.point("hob", where="nearside"))[0]
    assert found("side-unusual", workshop.point("pump", where="nearside")) == []


def test_point_on_window(workshop, found):
    on_glass = workshop.point("fridge-vent-upper", 1500, 2200, 1700, where="offside")
    assert (
        found("point-on-window", workshop.point("fridge-vent-upper", 1500, 2200, 1300, where="offside")) == []
    )
    assert "“living-window”" in found("point-on-window", on_glass)[0]
    escape = workshop.point("escape-window", 1500, 2200, 1700, where="offside")
    assert found("point-on-window", escape) == []


def test_point_at_wheel(workshop, found):
    assert found("point-at-wheel", workshop.point("hookup-inlet", 4500, 0, 900)) == []
    assert found("point-at-wheel", workshop.point("hookup-inlet", 5000, 0, 400)) == []
    assert "behind a wheel" in found("point-at-wheel", workshop.point("hookup-inlet", 4500, 0, 400))[0]
