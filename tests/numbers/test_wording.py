"""Figures rounded as people say them."""

from __future__ import annotations

import pytest

from guidegen.numbers.wording import (
    about_days,
    days_said,
    figure,
    listed,
    minutes_said,
    precise,
    warm_up_said,
    within,
)


@pytest.mark.parametrize(
    ("value", "said"), [(12.0, "12"), (0.75, "0.8"), (2300.0, "2300"), (100.04, "100"), (0.0, "0")]
)
def test_figure(value, said):
    assert figure(value) == said


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0.25, "0.25"),
        (0.7424, "0.742"),
        (44.93, "44.9"),
        (282.94, "283"),
        (3680.4, "3680"),
        (11.0, "11"),
        (0.0, "0"),
    ],
)
def test_three_figures_and_no_needless_zeros(value, said):
    assert precise(value) == said


@pytest.mark.parametrize("value", [0.0333, 0.317, 2.245, 17.25, 154.3, 1234.5])
def test_three_figures_are_within_half_a_hundredth(value):
    assert float(precise(value)) == pytest.approx(value, rel=0.005)


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0.2, "1 minute"), (15.6, "16 minutes"), (38.8, "40 minutes"), (119, "120 minutes"), (150, "2.5 hours")],
)
def test_minutes(minutes, said):
    assert minutes_said(minutes) == said


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (0.5, "12 hours"),
        (0.05, "1 hour"),
        (1 / 24, "1 hour"),
        (0.9 / 24, "50 minutes"),
        (0.1 / 24, "a few minutes"),
        (1.2, "1 day"),
        (1.9, "1.5 days"),
        (3.4, "3 days"),
        (8.9, "8 days"),
    ],
)
def test_days_are_rounded_down(days, said):
    """Nobody is left in the dark by a rounding."""
    assert days_said(days) == said


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (3.93, "nearly 4 days"),
        (3.75, "about 3.5 days"),
        (1.0, "about 1 day"),
        (0.96, "about 23 hours"),
        (8.8, "nearly 9 days"),
    ],
)
def test_days_that_are_all_but_whole_are_said_to_be_nearly_so(days, said):
    assert about_days(days) == said


def test_half_the_power_is_seen_to_take_twice_as_long():
    assert [warm_up_said(m) for m in (18.36, 36.7, 73.4)] == ["18 minutes", "37 minutes", "75 minutes"]


def test_lists_and_names():
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed(["a", "b"], "or") == "a or b"
    assert (within("Kettle"), within("TV")) == ("kettle", "TV")
