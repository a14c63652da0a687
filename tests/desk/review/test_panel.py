"""Figures as a panel prints them."""

import pytest

from observe.desk.review.panel import coefficient, points


@pytest.mark.parametrize(
    ("value", "said"),
    [(0.481, ".48"), (-0.12, "−.12"), (1.0, "1.00"), (-0.001, ".00"), (0.999, "1.00"), (None, "…")],
)
def test_coefficients_have_two_decimals_and_no_zero_before(value: float | None, said: str) -> None:
    assert coefficient(value) == said


@pytest.mark.parametrize(("value", "said"), [(2.34, "+2.3"), (-0.6, "−0.6"), (-0.01, "0.0")])
def test_points_have_a_sign(value: float, said: str) -> None:
    assert points(value) == said
