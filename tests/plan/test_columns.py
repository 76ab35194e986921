"""Things in a column stand as near to where they are wanted as the others allow."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression

from guidegen.plan.columns import spaced

things = st.lists(st.tuples(st.floats(1, 20), st.floats(-50, 250)), min_size=1, max_size=8)


@settings(max_examples=80, deadline=None)
@given(things)
def test_as_near_as_the_isotonic_regression_of_scipy_where_there_is_room(rows):
    """scipy.optimize.isotonic_regression judges: the same least squares, the lengths taken out."""
    sizes, wanted = [size for size, _ in rows], [middle for _, middle in rows]
    found = spaced(sizes, wanted, -1e6, 1e6, 2.0)
    before = np.concatenate([[0.0], np.cumsum([size + 2.0 for size in sizes[:-1]])])
    best = isotonic_regression(np.array(wanted) - np.array(sizes) / 2 - before).x + before
    assert found == pytest.approx(list(best), abs=1e-6)


@settings(max_examples=80, deadline=None)
@given(things)
def test_none_leaves_the_column_or_touches_the_next(rows):
    sizes, wanted = [size for size, _ in rows], [middle for _, middle in rows]
    found = spaced(sizes, wanted, 0.0, 200.0, 2.0)
    assert found is not None
    assert found[0] >= -1e-9 and found[-1] + sizes[-1] <= 200 + 1e-9
    for start, size, following in zip(found, sizes, found[1:], strict=False):
        assert following >= start + size + 2.0 - 1e-9


def test_too_many_have_no_room():
    assert spaced([60.0, 60.0], [10.0, 20.0], 0.0, 100.0, 1.0) is None
    assert spaced([], [], 0.0, 1.0, 1.0) == []
