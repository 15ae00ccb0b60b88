"""Distance between two segments: known cases, and two independent ways to find it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import lsq_linear

from axlewright.readings.clearances.segments import distance

EXACT = 1e-12  # m; a few operations on numbers of size 1
# Found by least squares with bounds to 1e-12 of its own cost; a root of that near zero distance costs half the digits.
SEARCHED = 1e-6  # m

KNOWN = [
    # a, b, c, d, distance
    ((0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0), 1.0),  # parallel, side by side
    ((0, 0, 0), (1, 0, 0), (3, 0, 0), (5, 0, 0), 2.0),  # on one line, apart
    ((0, 0, 0), (2, 0, 0), (1, 0, 0), (5, 0, 0), 0.0),  # on one line, overlapping
    ((-1, 0, 0), (1, 0, 0), (0, -1, 2), (0, 1, 2), 2.0),  # crossing, one above the other
    ((-1, 0, 0), (1, 0, 0), (0, -1, 0), (0, 1, 0), 0.0),  # crossing in a point
    ((0, 0, 0), (1, 0, 0), (4, 4, 0), (4, 8, 0), 5.0),  # end to end: 3, 4, 5
    ((0, 0, 0), (1, 0, 0), (0.5, 1, 0), (0.5, 3, 0), 1.0),  # an end above the middle
    ((1, 2, 3), (1, 2, 3), (4, 6, 3), (4, 6, 3), 5.0),  # two points
    ((0.5, 3, 0), (0.5, 3, 0), (0, 0, 0), (1, 0, 0), 3.0),  # a point and a segment
    ((0, 0, 0), (1, 0, 0), (0.5, 3, 0), (0.5, 3, 0), 3.0),  # a segment and a point
]


@pytest.mark.parametrize(("a", "b", "c", "d", "expected"), KNOWN)
def test_known_cases(a, b, c, d, expected):
    """Elementary geometry: right angles, and the 3-4-5 triangle."""
    ends = [np.array(p, dtype=float)[:, None] for p in (a, b, c, d)]
    assert distance(*ends)[0] == pytest.approx(expected, abs=EXACT)


def test_a_batch_gives_each_its_own():
    ends = [np.array([case[i] for case in KNOWN], dtype=float).T for i in range(4)]
    np.testing.assert_allclose(distance(*ends), [case[4] for case in KNOWN], atol=EXACT)


def searched(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> float:
    """min |a + s (b - a) - c - t (d - c)| for s, t in [0, 1], by SciPy's bounded least squares."""
    return float(np.sqrt(2.0 * lsq_linear(np.stack([b - a, c - d], axis=1), c - a, (0.0, 1.0), tol=1e-14).cost))


coordinate = st.floats(-2.0, 2.0, allow_subnormal=False)
point = st.tuples(coordinate, coordinate, coordinate)


@given(point, point, point, point)
@example((0.0, 0.0, 0.0), (1.0, 1e-7, 0.0), (0.0, 1.0, 0.0), (1.0, 1.0, 0.0))  # nearly parallel
def test_it_is_the_least_that_a_search_finds(a, b, c, d):
    ends = [np.array(p) for p in (a, b, c, d)]
    found = distance(*(p[:, None] for p in ends))[0]
    assert found == pytest.approx(searched(*ends), abs=SEARCHED)
