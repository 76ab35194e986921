"""Rules on the three checks: each with a vehicle that passes and one that fails."""

from __future__ import annotations

import pytest

from guidegen.trade.load import load_trade
from guidegen.vehicle.readings import reading_within, usual_words


def test_checks_are_dated_in_their_order(workshop):
    first, sale = {"by": "A", "on": "2026-01-10"}, {"by": "B", "on": "2026-02-10"}
    good = workshop.vehicle(checks={"first": first, "sale": sale})
    bad = workshop.vehicle(checks={"first": sale, "sale": first})
    assert workshop.findings("checks-order", good) == ()
    assert "before the first check" in workshop.findings("checks-order", bad)[0].message


@pytest.mark.parametrize(
    ("title", "good", "bad"),
    [
        ("gas pressure", "30 mbar", "50 mbar"),
        ("Gas pressure", 35, 36),
        ("gas pressure, at the hob", 25, 24),
        ("leisure battery at rest", "12.7 V", "11.9 V"),
        ("leisure battery charging", "14,3 V", "12.6 V"),
        ("fridge on gas", "5 °C after 6 h", "12 °C after 6 h"),
        ("tyre, front nearside", "4.5 bar", "1.8 bar"),
        ("damp, highest reading", "12 %", "28 %"),
        ("RCD trips", "22 ms", "180 ms"),
    ],
)
def test_readings_are_usual(workshop, title, good, bad):
    """30 mbar by EN 1949, 25 to 35 by EN 437; the sources of the others stand beside them in the trade data."""
    checks = [{"sale": {"by": "B", "on": "2026-02-10", "readings": {title: value}}} for value in (good, bad)]
    assert workshop.findings("reading-unusual", workshop.vehicle(checks=checks[0])) == ()
    (finding,) = workshop.findings("reading-unusual", workshop.vehicle(checks=checks[1]))
    reading = reading_within(title, load_trade().readings)
    assert title in finding.message and str(bad) in finding.message
    assert finding.hint == f"{usual_words(reading)} is usual: {reading.advice}"


def test_a_freezer_is_not_judged_as_the_fridge(workshop):
    checks = {"sale": {"by": "B", "on": "2026-02-10", "readings": {"fridge on gas, freezer": "-18 °C"}}}
    assert workshop.findings("reading-unusual", workshop.vehicle(checks=checks)) == ()


@pytest.mark.parametrize(
    ("title", "value", "usual"),
    [
        ("leisure battery at rest", "12.5 V", {"agm"}),  # three quarters full, or flat
        ("leisure battery at rest", "12.8 V", {"agm"}),  # full, or all but flat
        ("leisure battery at rest", "13.3 V", {"lithium"}),  # not at rest, or well charged
        ("battery charging", "13.3 V", {"agm"}),  # charging, or at rest
        ("battery charging", "14.7 V", {"agm"}),  # 3.65 V a lithium cell is 14.6 V
        ("battery charging", "14.4 V", {"agm", "lithium"}),
    ],
)
def test_a_lithium_battery_has_limits_of_its_own(workshop, title, value, usual):
    checks = {"sale": {"by": "B", "on": "2026-02-10", "readings": {title: value}}}
    for kind in ("agm", "lithium"):
        battery = {"leisure_battery": {"capacity": "100 Ah", "type": kind}, "hook_up": {"inlet": "16 A"}}
        found = workshop.findings("reading-unusual", workshop.vehicle(equipment=battery, checks=checks))
        assert (found == ()) == (kind in usual), kind


@pytest.mark.parametrize("value", ["not measured", "yes", "900 mbar", "30 V"])
def test_what_is_no_figure_or_cannot_be_is_left_to_the_other_rules(workshop, value):
    checks = {"sale": {"by": "B", "on": "2026-02-10", "readings": {"gas pressure": value}}}
    assert workshop.findings("reading-unusual", workshop.vehicle(checks=checks)) == ()


@pytest.mark.parametrize("reading", [r for r in load_trade().readings if r.usual], ids=lambda r: r.name)
def test_every_limit_has_its_source_and_says_what_to_do(reading):
    assert reading.source and reading.advice
    assert "common practice" in reading.source or any(word in reading.source for word in ("EN ", "IEC "))
    least, greatest = reading.usual
    assert reading.possible[0] <= least < greatest <= reading.possible[1]
