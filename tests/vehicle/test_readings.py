"""Readings: which a vehicle asks for, and which values can be."""

from __future__ import annotations

import pytest

from guidegen.trade.load import load_trade
from guidegen.trade.records import holds
from guidegen.vehicle.readings import (
    close_names,
    is_unusual,
    judge_reading,
    reading_named,
    readings_of,
    usual_words,
)

READINGS = load_trade().readings


def named(name):
    found = reading_named(name, READINGS)
    assert found, name
    return found


@pytest.mark.parametrize("reading", READINGS, ids=lambda r: f"{r.name} {r.usual}")
def test_what_is_usual_is_possible_and_has_a_unit(reading):
    if reading.usual:
        assert reading.unit
        assert reading.usual[0] < reading.usual[1]
        for value in reading.usual:
            assert judge_reading(reading, f"{value:g} {reading.unit}") == ""
            assert not is_unusual(reading, f"{value:g} {reading.unit}")
    if reading.possible and reading.usual:
        assert reading.possible[0] <= reading.usual[0] and reading.usual[1] <= reading.possible[1]
    if reading.possible:
        assert "cannot be" in judge_reading(reading, f"{reading.possible[1] * 10:g} {reading.unit}")


def test_each_name_is_asked_for_once_and_the_first_that_holds_counts():
    lead, lithium = frozenset({"battery"}), frozenset({"battery", "battery.lithium"})
    for facts in (lead, lithium):
        names = [r.name for r in readings_of(facts, load_trade())]
        assert len(names) == len(set(names))
        assert all(holds(r.when, facts) for r in readings_of(facts, load_trade()))
    rest = "leisure battery at rest"
    assert reading_named(rest, readings_of(lead, load_trade())).usual[0] < 12.8
    assert reading_named(rest, readings_of(lithium, load_trade())).usual[0] >= 12.8


def test_answers_are_yes_or_no_where_nothing_is_measured():
    polarity = named("polarity right")
    assert judge_reading(polarity, "yes") == judge_reading(polarity, True) == ""
    assert judge_reading(polarity, "no") == "" and is_unusual(polarity, "no")
    assert judge_reading(polarity, "12 V") == "write yes or no"


def test_a_unit_may_be_left_out_but_not_be_another():
    rest = named("leisure battery at rest")
    assert judge_reading(rest, "12,6") == judge_reading(rest, 12.6) == ""
    assert "not the unit" in judge_reading(rest, "12.6 A")
    assert is_unusual(rest, "11.9 V") and not is_unusual(rest, "12.6 V")
    assert judge_reading(rest, "  ") == "nothing is written"


def test_a_second_figure_follows_its_word():
    tyre = named("tyre, rear offside")
    assert judge_reading(tyre, "4.5 bar made 2319") == ""
    assert judge_reading(tyre, "4.5 bar") == ""
    assert "not a figure" in judge_reading(tyre, "4.5 bar made last year")
    assert judge_reading(tyre, "4.5 bar made 5320") == ""  # 2020 had 53 weeks
    for wrong in ("5419", "0019", "319", "12319"):
        assert "no week and year" in judge_reading(tyre, f"4.5 bar made {wrong}")


def test_names_nearly_right_are_found():
    assert close_names("leisure batery at rest", READINGS)[0] == "leisure battery at rest"
    assert close_names("colour of the curtains", READINGS) == ()


def test_what_is_printed_beside_a_reading():
    assert usual_words(named("gas pressure")) == "25 to 35 mbar"
    assert usual_words(named("RCD trips")) == "0 to 40 ms, or yes"
    assert usual_words(named("fridge at start")) == "°C"
