"""Interval methods against printed limits and against what defines them."""

from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.agreement.intervals import exact, normal, student


@pytest.mark.parametrize(
    ("successes", "trials", "low", "high"),
    [(8, 8, 0.63058, 1.0), (18, 20, 0.68302, 0.98765), (0, 8, 0.0, 0.36942)],
)
def test_exact_limits(successes: int, trials: int, low: float, high: float) -> None:
    """Clopper-Pearson: 8 of 8 from .63058; 18 of 20 .68302 to .98765; 0 of 8 mirrors 8 of 8."""
    assert exact(successes, trials, 0.95) == pytest.approx((low, high), abs=5e-6)


@given(
    st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    st.sampled_from([0.8, 0.9, 0.95, 0.99]),
)
def test_at_each_exact_limit_the_tail_holds_half_of_the_rest(
    outcome: tuple[int, int], level: float
) -> None:
    successes, trials = outcome
    low, high = exact(successes, trials, level)
    at_least = sum(
        comb(trials, k) * low**k * (1 - low) ** (trials - k) for k in range(successes, trials + 1)
    )
    at_most = sum(
        comb(trials, k) * high**k * (1 - high) ** (trials - k) for k in range(successes + 1)
    )
    assert 0 <= low <= successes / trials <= high <= 1
    assert successes == 0 or at_least == pytest.approx((1 - level) / 2)
    assert successes == trials or at_most == pytest.approx((1 - level) / 2)


def test_normal_limits_are_not_cut() -> None:
    assert normal(0.9, 0.1, 0.95) == pytest.approx((0.7040036, 1.0959964))


def test_student_limits_are_wider_and_cut_at_one() -> None:
    """t with 11 degrees of freedom at 95 %: 2.200985 (any table of t)."""
    assert student(0.5, 0.1, 11, 0.95) == pytest.approx((0.2799015, 0.7200985))
    assert student(0.9, 0.1, 11, 0.95)[1] == 1.0
