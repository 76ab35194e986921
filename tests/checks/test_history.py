"""Rules on the history of checks: each with a vehicle that passes and one that fails."""

from __future__ import annotations

from typing import Any

import pytest

A = {"by": "A. Sample", "on": "2026-02-01"}
B = {"by": "B. Example", "on": "2026-02-10"}
GAS = {"gas": {}, "leisure_battery": {"capacity": "100 Ah", "type": "agm"}, "hook_up": {"inlet": "16 A"}}


def read(title: str, value: Any) -> dict[str, Any]:
    return {"first": {**A, "readings": {title: value}}}


def test_no_check_is_skipped(workshop):
    good = workshop.vehicle(checks={"first": A, "sale": B})
    bad = workshop.vehicle(checks={"sale": A, "handover": B})
    assert workshop.findings("check-skipped", good) == ()
    (finding,) = workshop.findings("check-skipped", bad)
    assert "not the first check" in finding.message
    assert len(workshop.findings("check-skipped", workshop.vehicle(checks={"handover": B}))) == 1


def test_a_second_person_looks(workshop):
    good = workshop.vehicle(checks={"first": A, "sale": B, "handover": {**A, "on": "2026-03-01"}})
    bad = workshop.vehicle(checks={"first": A, "sale": {**B, "by": "a. sample"}})
    assert workshop.findings("check-same-person", good) == ()
    assert len(workshop.findings("check-same-person", bad)) == 1


@pytest.mark.parametrize(
    ("title", "count"),
    [("gas pressure", 0), ("Gas-pressure", 0), ("gas presure", 1), ("colour of the curtains", 0)],
)
def test_a_slip_in_a_name_is_told_and_a_reading_of_ones_own_is_not(workshop, title, count):
    vehicle = workshop.vehicle(equipment=GAS, checks=read(title, "30 mbar"))
    assert len(workshop.findings("reading-name", vehicle)) == count


@pytest.mark.parametrize(
    ("title", "value", "count"),
    [
        # EN 437: 25 to 35 mbar at the appliance; EN 61008-1: an RCD trips within 300 ms. Ranges far beyond both.
        ("gas pressure", "30 mbar", 0),
        ("gas pressure", "3000 mbar", 1),
        ("gas pressure", "30 bar", 1),
        ("gas pressure", "fine", 1),
        ("leisure battery at rest", 12.7, 0),
        ("leisure battery at rest", "127 V", 1),
        ("RCD trips", True, 0),
        ("RCD trips", "28 ms", 0),
        ("polarity right", "maybe", 1),
        ("a reading of ours", "anything", 0),
    ],
)
def test_a_reading_that_cannot_be(workshop, title, value, count):
    vehicle = workshop.vehicle(equipment=GAS, checks=read(title, value))
    assert len(workshop.findings("reading-impossible", vehicle)) == count


def test_what_failed_at_the_last_check_is_told(workshop):
    failed = {**A, "readings": {"smoke alarm sounds": False}}
    mended = {**B, "readings": {"smoke alarm sounds": True}}
    bad = workshop.vehicle(checks={"first": failed})
    good = workshop.vehicle(checks={"first": failed, "sale": mended})
    assert "failed" in workshop.findings("reading-failed", bad)[0].message
    assert workshop.findings("reading-failed", good) == ()


def test_what_failed_stays_told_until_it_is_tried_again(workshop):
    failed = {**A, "readings": {"gas tight": False, "smoke alarm sounds, bedroom": False}}
    other = {**B, "readings": {"fridge on gas": "5 °C"}}
    vehicle = workshop.vehicle(equipment=GAS, checks={"first": failed, "sale": other})
    told = [finding.message for finding in workshop.findings("reading-failed", vehicle)]
    assert told == [
        "first check, gas tight: it failed",
        "first check, smoke alarm sounds, bedroom: it failed",
    ]


def test_no_checks_no_findings(workshop):
    found = {f.rule for f in workshop.all(workshop.vehicle())}
    assert not {rule for rule in found if rule.startswith(("check", "reading"))}


@pytest.mark.parametrize(
    ("until", "count"),
    [
        ("2026-02-01", 0),
        ("2026-01-31", 1),
        ("2026-02", 0),
        ("2026-01", 1),
        ("2026", 0),
        ("2025", 1),
        ("soon", 0),
        ("2026-13", 0),
    ],
)
def test_an_alarm_is_replaced_in_time(workshop, until, count):
    """Read on 1 February 2026: a year counts to its end, a month too."""
    checks = read("carbon monoxide alarm replace by", until)
    found = workshop.findings("reading-expired", workshop.vehicle(equipment=GAS, checks=checks))
    assert len(found) == count
    assert all("replaced before the vehicle goes out" in f.hint for f in found)


def test_only_dates_up_to_which_something_may_be_used_expire(workshop):
    checks = read("gas hoses dated", "2019")
    assert workshop.findings("reading-expired", workshop.vehicle(equipment=GAS, checks=checks)) == ()
