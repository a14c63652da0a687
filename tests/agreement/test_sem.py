"""The standard error of measurement."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement.ratings import Ratings
from observe.agreement.sem import ONE_WAY, conditional_sem, sem, sem_of_observers, standard_error
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


def test_of_one_observer_where_each_unit_has_its_own() -> None:
    """Root of the within mean square, 6.26 in Shrout & Fleiss (1979), table 3."""
    found = sem_of_observers(scored(TABLE), form=ONE_WAY)
    assert found.value == pytest.approx(math.sqrt(6.26), abs=1e-3)


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(0, 100)), min_size=2, max_size=20))
def test_from_pairs_it_is_the_root_of_half_the_mean_squared_difference(
    pairs: list[tuple[int, int]],
) -> None:
    """Bland & Altman (1996), BMJ 313:744."""
    found = sem_of_observers(Ratings.from_table(pairs, scale="interval"), form=ONE_WAY)
    if found.value is not None:
        wanted = math.sqrt(sum((a - b) ** 2 for a, b in pairs) / (2 * len(pairs)))
        assert found.value == pytest.approx(wanted, abs=1e-9)
