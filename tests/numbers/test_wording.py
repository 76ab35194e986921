"""Figures rounded as people say them."""

from __future__ import annotations

import pytest

from guidegen.numbers.wording import days_said, figure, listed, minutes_said, precise, within


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
        (1.2, "1 day"),
        (1.9, "1.5 days"),
        (3.4, "3 days"),
        (8.9, "8 days"),
    ],
)
def test_days_are_rounded_down(days, said):
    """Nobody is left in the dark by a rounding."""
    assert days_said(days) == said


def test_lists_and_names():
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed(["a", "b"], "or") == "a or b"
    assert (within("Kettle"), within("TV")) == ("kettle", "TV")
