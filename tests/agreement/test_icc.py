"""Six intraclass correlations against Shrout & Fleiss (1979), Psychological Bulletin 86:420."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.agreement.icc import all_forms, icc, icc_forms
from observe.agreement.ratings import Ratings, Scale

# Table 2 of the paper: six targets by four judges.
TABLE = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
# Table 4 prints two decimals; the intervals after their formulas, by an independent computation.
FORMS = {
    "ICC(1,1)": (0.17, 0.1657417684, -0.1329323249, 0.7225600623),
    "ICC(2,1)": (0.29, 0.2897637795, 0.01878651337, 0.7610843696),
    "ICC(3,1)": (0.71, 0.7148407148, 0.342464765, 0.94585826),
    "ICC(1,k)": (0.44, 0.4427971337, -0.8844421552, 0.9124154203),
    "ICC(2,k)": (0.62, 0.6200505476, 0.0711368153, 0.9272320402),
    "ICC(3,k)": (0.91, 0.9093155424, 0.6756747138, 0.9858916782),
}


def scored(table: list[list[float | None]] | list[list[int]]) -> Ratings:
    return Ratings.from_table(table, scale=Scale.INTERVAL)


@pytest.mark.parametrize("form", FORMS)
def test_the_published_table(form: str) -> None:
    printed, value, low, high = FORMS[form]
    found = icc(scored(TABLE), form=form)
    assert found.value is not None
    assert round(found.value, 2) == printed
    assert (found.value, found.low, found.high) == pytest.approx((value, low, high), abs=1e-6)
    assert (found.form, found.used, found.observers) == (form, 6, 4)


def test_all_six_at_once_are_the_same() -> None:
    found = {one.form: one.value for one in icc_forms(scored(TABLE))}
    assert found == {form: icc(scored(TABLE), form=form).value for form in FORMS}


@pytest.mark.parametrize("table", [[[1, 2]], [[3, 3], [3, 3]], [[1], [2]], [[1, None], [None, 2]]])
def test_what_cannot_be_estimated_says_why(table: list[list[float | None]]) -> None:
    for found in icc_forms(scored(table)):
        assert found.value is None
        assert found.undefined


@settings(max_examples=60)
@given(st.integers(3, 12), st.integers(2, 5), st.integers(0, 2**32 - 1))
def test_order_of_units_and_a_shift_of_all_scores_change_nothing(
    units: int, observers: int, seed: int
) -> None:
    draw = np.random.default_rng(seed)
    table = draw.normal(size=(units, observers)).round(3)
    forms = all_forms(table[None])
    for other in (table[::-1], table + 7.5, table * 2):
        assert np.allclose(all_forms(other[None])[0], forms[0], atol=1e-9, equal_nan=True)
