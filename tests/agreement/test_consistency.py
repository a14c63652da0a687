"""Cronbach's alpha with Feldt's interval; KR-20; alpha if an item is left out."""

from __future__ import annotations

import pytest

from observe.agreement.consistency import (
    alpha_if_deleted,
    cronbach_alpha,
    kr20,
    standardised_alpha,
)
from observe.agreement.icc import icc
from observe.agreement.ratings import Ratings, Scale
from tests.agreement.test_icc import TABLE, scored


def test_alpha_is_the_mean_of_consistent_judges() -> None:
    """Shrout & Fleiss (1979), table 2: alpha of the judges is their ICC(3,k), .91, with the same
    interval; the values after Feldt, Woodruff & Salih (1987), by an independent computation."""
    found = cronbach_alpha(scored(TABLE))
    assert found.value == pytest.approx(0.9093155424, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((0.6756747138, 0.9858916782), abs=1e-6)
    assert found.value == pytest.approx(icc(scored(TABLE), form="ICC(3,k)").value or 0)


def test_alpha_without_each_item() -> None:
    found = [*alpha_if_deleted(scored(TABLE)).values()]
    expected = [0.8833922261, 0.8665048544, 0.8715486194, 0.9178743961]
    assert found == pytest.approx(expected, abs=1e-6)
    assert standardised_alpha(scored(TABLE)) == pytest.approx(0.9269436463, abs=1e-6)


def test_kr20_is_alpha_of_right_and_wrong() -> None:
    """Kuder & Richardson (1937): for items scored 0 and 1 the two are one formula."""
    rows = [[1, 1, 1], [1, 1, 0], [1, 0, 0], [0, 0, 0], [1, 1, 1], [0, 1, 0]]
    ratings = Ratings.from_table(rows, scale=Scale.INTERVAL)
    right = [sum(row[item] for row in rows) / len(rows) for item in range(3)]
    totals = [sum(row) for row in rows]
    mean = sum(totals) / len(totals)
    spread = sum((one - mean) ** 2 for one in totals) / len(totals)
    expected = 3 / 2 * (1 - sum(p * (1 - p) for p in right) / spread)
    assert kr20(ratings).value == pytest.approx(expected)
    assert cronbach_alpha(ratings).value == pytest.approx(expected)


@pytest.mark.parametrize("rows", [[[1], [2]], [[1, 2]], [[2, 2], [2, 2]], [[1, 3], [3, 1]]])
def test_what_cannot_be_estimated_says_why(rows: list[list[int]]) -> None:
    found = cronbach_alpha(Ratings.from_table(rows, scale=Scale.INTERVAL))
    assert found.value is None
    assert found.undefined
