"""Numbers without quotes where text is meant: telephone numbers and stock numbers are printed as written."""

from __future__ import annotations

import pytest

from guidegen.vehicle.source import scalar
from guidegen.vehicle.written import Words


@pytest.mark.parametrize(
    "written", ["000.5550120", "+44000555199", "7.50", "012.50", "+5", "-0", "0522", "44", "1.5"]
)
def test_a_text_that_reads_as_a_number_stays_as_it_is_written(written):
    assert Words.read(scalar(written)) == written


@pytest.mark.parametrize(("written", "number"), [("+5", 5), ("2.50", 2.5), ("7", 7), ("-3.10", -3.1)])
def test_where_a_number_is_meant_it_is_one(written, number):
    assert scalar(written) == number
