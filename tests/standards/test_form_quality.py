"""Score on grade and the share between observers (AMEE Guide 49)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from observe.standards.form_quality import between, on_grades


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 5)), min_size=3, max_size=40))
def test_the_line_is_that_of_another_package(pairs: list[tuple[int, int]]) -> None:
    found = on_grades([(float(a), float(b)) for a, b in pairs])
    scores, grades = np.asarray(pairs, dtype=float).T
    if np.ptp(scores) == 0 or np.ptp(grades) == 0:
        assert found.r_squared is None
        return
    other = stats.linregress(grades, scores)
    assert found.discrimination == pytest.approx(other.slope, abs=1e-9)
    assert found.r_squared == pytest.approx(other.rvalue**2, abs=1e-9)


@pytest.mark.parametrize(
    "pairs",
    [
        [],
        [(1.0, 2.0), (2.0, 3.0)],
        [(1.0, 2.0), (2.0, 2.0), (3.0, 2.0)],
        [(1.0, 0.1), (2.0, 0.1), (3.0, 0.1)],
        [(0.1, 1.0), (0.1, 2.0), (0.1, 4.0)],
    ],
)
def test_what_says_nothing(pairs: list[tuple[float, float]]) -> None:
    assert on_grades(pairs).undefined.startswith("Not estimable")


def test_the_share_between_observers_by_hand() -> None:
    """Means 11 and 21, each value 1 away: within 2, between 100, so the component is 49."""
    pairs = [(10.0, "A"), (12.0, "A"), (20.0, "B"), (22.0, "B")]
    assert between(pairs) == pytest.approx(49 / 51)


def test_observers_who_are_alike_share_nothing() -> None:
    assert between([(10.0, "A"), (12.0, "A"), (12.0, "B"), (10.0, "B")]) == 0
    assert between([(10.0, "A"), (12.0, "A")]) is None
    assert between([(10.0, "A"), (10.0, "A"), (10.0, "B"), (10.0, "B")]) is None
