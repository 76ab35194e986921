"""Rules on the three checks: each with a vehicle that passes and one that fails."""

from __future__ import annotations

import pytest


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
        ("Gas pressure", 30, 20),
        ("leisure battery at rest", "12.7 V", "11.9 V"),
        ("leisure battery charging", "14,3 V", "12.6 V"),
    ],
)
def test_readings_are_usual(workshop, title, good, bad):
    """30 mbar by EN 1949; voltages are common practice, no source."""
    checks = [{"sale": {"by": "B", "on": "2026-02-10", "readings": {title: value}}} for value in (good, bad)]
    assert workshop.findings("reading-unusual", workshop.vehicle(checks=checks[0])) == ()
    (finding,) = workshop.findings("reading-unusual", workshop.vehicle(checks=checks[1]))
    assert title in finding.message and "is usual" in finding.hint


def test_words_are_no_reading(workshop):
    checks = {"sale": {"by": "B", "on": "2026-02-10", "readings": {"gas pressure": "not measured"}}}
    assert workshop.findings("reading-unusual", workshop.vehicle(checks=checks)) == ()
