"""A panel of judges: leans, and who stands apart."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.standards.panel import Seen, outlying


def test_a_lean_compares_with_the_others_on_the_same_items() -> None:
    values = np.array([[0.5, 0.7], [0.6, np.nan], [0.7, 0.5]])
    seen = Seen(values, np.ones(2))
    assert seen.leans == pytest.approx([(-0.15 + 0.2) / 2, 0.0, (0.15 - 0.2) / 2])
    assert seen.totals[1] is None
    assert seen.missing == 1


def test_outliers_need_five_and_a_lone_far_one_among_equals_is_found() -> None:
    """The modified z of Iglewicz & Hoaglin (1993), with its form for a median distance of 0."""
    assert outlying([0.0, 0.0, 0.0, 9.0]) == (False,) * 4
    assert outlying([0.0, 0.0, 0.0, 0.0, 0.0, 9.0])[-1]
    assert outlying([0.1] * 6) == (False,) * 6
    assert outlying([1.0, 2.0, 3.0, 4.0, 5.0, None]) == (False,) * 6


@given(st.lists(st.integers(-20, 20), min_size=5, max_size=12), st.integers(-9, 9))
def test_who_stands_apart_does_not_depend_on_where_zero_is(values: list[int], by: int) -> None:
    assert outlying([float(v) for v in values]) == outlying([float(v + by) for v in values])
