"""The logistic curve; its fit against scikit-learn's without a penalty."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from observe.standards.logistic import fitted, no_curve
from tests.standards.data import QUALIFIED, SCORES


def test_the_curve_as_in_r_with_the_delta_error_by_hand() -> None:
    """R 4.2.2 glm on the made-up table of forty."""
    x, q = np.array(SCORES, dtype=float), np.array(QUALIFIED, dtype=float)
    curve = fitted(x, q)
    assert curve is not None
    assert curve.intercept == pytest.approx(-37.38071866, abs=1e-5)
    assert curve.slope == pytest.approx(0.6269621656, abs=1e-7)
    chance = 1 / (1 + np.exp(-(curve.intercept + curve.slope * x)))
    design = np.stack([np.ones(len(x)), x], axis=1)
    spread = np.linalg.inv(design.T @ (design * (chance * (1 - chance))[:, None]))
    gradient = np.array([1, curve.half]) / curve.slope
    assert curve.se == pytest.approx(float(gradient @ spread @ gradient) ** 0.5, rel=1e-5)


@given(
    st.lists(st.integers(0, 30), min_size=2, max_size=20),
    st.lists(st.integers(0, 30), min_size=2, max_size=20),
)
def test_at_the_fit_the_score_equations_are_zero(first: list[int], second: list[int]) -> None:
    qualified, others = np.array(first, dtype=float), np.array(second, dtype=float)
    assume(not no_curve(qualified, others))
    x = np.concatenate([qualified, others])
    q = np.repeat([1.0, 0.0], [len(first), len(second)])
    curve = fitted(x, q)
    assume(curve is not None)
    if curve is None:
        return
    left = q - 1 / (1 + np.exp(-(curve.intercept + curve.slope * x)))
    assert abs(left.sum()) < 1e-6
    assert abs(left @ x) < 1e-4
    assert curve.intercept + curve.slope * curve.half == pytest.approx(0, abs=1e-6)
