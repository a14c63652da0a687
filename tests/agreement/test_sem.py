"""The standard error of measurement."""

from __future__ import annotations

import math

import pytest

from observe.agreement.sem import conditional_sem, sem, standard_error
from observe.domain.troubles import BadInput
from tests.agreement.test_icc import TABLE, scored


def test_it_is_the_spread_that_reliability_leaves() -> None:
    """SD times the root of one less reliability (Harvill 1991, ITEMS 9)."""
    assert standard_error(10, 0.91) == pytest.approx(3.0)
    assert standard_error(10, 1) == 0


def test_of_a_sum_score() -> None:
    """Total variance 44.9667 and alpha .9093 of Shrout & Fleiss' table 2."""
    found = sem(scored(TABLE))
    assert found.value == pytest.approx(math.sqrt(44.96666667 * (1 - 0.9093155424)), abs=1e-5)


def test_one_learners_error_is_greatest_in_the_middle() -> None:
    """Lord (1957): root of x (n - x) / (n - 1); none at either end."""
    assert conditional_sem(20, 40) == pytest.approx(math.sqrt(20 * 20 / 39))
    assert conditional_sem(0, 40) == conditional_sem(40, 40) == 0
    for score, count in ((-1, 40), (41, 40), (1, 1)):
        with pytest.raises(BadInput):
            conditional_sem(score, count)
