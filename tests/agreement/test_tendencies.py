"""Drift, contrast and marks all alike."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from observe.agreement.tendencies import alike, contrast, drift


def test_a_drift_by_hand() -> None:
    """Ten differences, least squares: slope -0.10788, SE 0.01476, p 8.3e-5."""
    found = drift([0.5, 0.2, 0.4, 0.1, -0.1, 0, -0.3, -0.4, -0.2, -0.6])
    assert found.value == pytest.approx(-0.10788, abs=1e-5)
    assert found.se == pytest.approx(0.01476, abs=1e-5)
    assert found.p == pytest.approx(8.3e-5, abs=1e-6)


@given(st.lists(st.integers(-50, 50), min_size=5, max_size=40))
def test_it_is_the_line_of_another_package(values: list[int]) -> None:
    found = drift([float(one) for one in values])
    other = stats.linregress(range(1, len(values) + 1), values)
    assert found.value == pytest.approx(other.slope, abs=1e-9)
    if found.p is not None:
        assert found.se == pytest.approx(other.stderr, abs=1e-9)
        assert found.p == pytest.approx(other.pvalue, abs=1e-9)


def test_who_is_drawn_away_from_the_one_before_has_a_contrast_below_0() -> None:
    draw = np.random.default_rng(4)
    quality = draw.normal(70, 10, 60)
    drawn = -0.3 * (np.roll(quality, 1) - 70) + draw.normal(0, 1, 60)
    found = contrast(list(quality), list(drawn))
    assert found.value == pytest.approx(-0.3, abs=0.05)
    assert found.n == 59


@pytest.mark.parametrize("values", [[], [1.0], [1.0, 2.0, 3.0, 4.0]])
def test_few_scores_have_no_slope(values: list[float]) -> None:
    found = drift(values)
    assert found.value is None
    assert found.undefined.startswith("Not estimable")


def test_a_straight_line_has_no_error_and_no_p() -> None:
    found = drift([1.0, 2.0, 3.0, 4.0, 5.0])
    assert found.value == pytest.approx(1.0)
    assert found.se == 0
    assert found.p is None


def test_learners_who_were_all_alike_have_no_contrast() -> None:
    assert contrast([70.0] * 9, [float(n) for n in range(9)]).value is None


def test_rows_of_four_or_more_that_are_alike_are_counted() -> None:
    assert alike([[3, 3, 3, 3], [3, 3, 3, 4], [2, 2]]) == 0.5
    assert alike([[1, 1]]) is None
