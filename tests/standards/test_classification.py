"""Accuracy and consistency of a cut (Livingston and Lewis 1995)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.classification import Classification, classification

# 120 scores of 0 to 100, made up with a seed; the numbers below are those of R betafunctions 1.9.0
# (LL.CA, true model 2P), which stops with an error at four parameters on these very data.
SCORES = [
    *(94, 39, 75, 63, 65, 67, 46, 67, 60, 100, 73, 66, 67, 62, 57, 65, 76, 67, 81, 68),
    *(70, 89, 77, 64, 68, 76, 93, 67, 67, 82, 59, 66, 81, 77, 71, 78, 36, 82, 58, 50),
    *(73, 78, 65, 57, 70, 69, 87, 79, 72, 83, 68, 59, 77, 77, 67, 61, 73, 40, 78, 76),
    *(50, 71, 58, 79, 46, 59, 79, 84, 44, 64, 74, 63, 89, 56, 74, 57, 87, 70, 66, 49),
    *(90, 79, 79, 84, 74, 62, 60, 60, 86, 52, 63, 66, 73, 77, 55, 49, 70, 85, 79, 73),
    *(66, 74, 67, 80, 60, 72, 69, 77, 73, 100, 88, 88, 46, 66, 63, 76, 43, 84, 83, 54),
]


def judged(parameters: int = 0) -> Classification:
    return classification(SCORES, 60, 0.82, parameters=parameters)


def test_the_numbers_of_another_program() -> None:
    found = judged()
    assert found.mean == pytest.approx(69.51666667)
    assert found.variance == pytest.approx(165.1761905)
    assert found.effective == pytest.approx(66.71849551, abs=1e-6)
    assert (found.length, found.pass_at, found.parameters) == (67, 40, 2)
    assert (found.true.a, found.true.b) == pytest.approx((10.29446233, 4.514162454), abs=1e-6)
    assert found.accuracy == pytest.approx(0.9042801643, abs=1e-7)
    assert found.false_pass == pytest.approx(0.04832148471, abs=1e-7)
    assert found.false_fail == pytest.approx(0.04739835097, abs=1e-7)
    assert found.consistency == pytest.approx(0.8675726017, abs=1e-7)
    assert found.chance == pytest.approx(0.6740891403, abs=1e-7)
    assert found.kappa == pytest.approx(0.5936698812, abs=1e-7)


def test_four_parameters_that_cannot_be_fitted_are_said() -> None:
    assert any("Four parameters could not be fitted" in note for note in judged(4).notes)
    assert not any("Four parameters" in note for note in judged(2).notes)


def test_four_parameters_are_found_again_where_they_made_the_scores() -> None:
    """A long test on a beta from 0.25 to 0.95: its ends come back near enough to matter."""
    draw = np.random.default_rng(11)
    true = 0.25 + 0.7 * draw.beta(2.0, 1.5, 20_000)
    scores = 100 * draw.binomial(200, true) / 200
    share = float(np.var(true) / np.var(scores / 100))
    found = classification(list(scores), 60, share)
    assert found.parameters == 4
    assert found.true.low == pytest.approx(0.25, abs=0.05)
    assert found.true.high == pytest.approx(0.95, abs=0.03)


def test_the_rates_are_those_of_a_simulation_of_the_same_model() -> None:
    found = judged()
    draw = np.random.default_rng(5)
    true = draw.beta(found.true.a, found.true.b, 400_000)
    once, twice = (draw.binomial(found.length, true) >= found.pass_at for _ in range(2))
    error = 4 / math.sqrt(400_000)
    assert float((once & (true < 0.6)).mean()) == pytest.approx(found.false_pass, abs=error)
    assert float((~once & (true >= 0.6)).mean()) == pytest.approx(found.false_fail, abs=error)
    assert float((once == twice).mean()) == pytest.approx(found.consistency, abs=error)


def test_one_learner_is_surer_the_further_from_the_cut() -> None:
    found = judged()
    chances = [found.sure(score) for score in range(0, 101, 10)]
    assert chances == sorted(chances)
    assert chances[0] < 0.001
    assert chances[-1] > 0.999
    assert 0.4 < found.sure(58) < 0.6


@pytest.mark.parametrize(
    ("scores", "cut", "reliability", "said"),
    [
        (SCORES[:9], 60, 0.8, "too few"),
        (SCORES, 0, 0.8, "does not lie inside"),
        (SCORES, 60, 1.0, "not between 0 and 1"),
        ([*SCORES, 101], 60, 0.8, "outside the scale"),
        ([50] * 20, 60, 0.8, "Every score is the same"),
        ([0, 100] * 10, 60, 0.1, "vary more than any test"),
    ],
)
def test_what_cannot_be_judged_is_told(
    scores: list[float], cut: float, reliability: float, said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        classification(scores, cut, reliability)


@settings(max_examples=40)
@given(st.integers(0, 10_000), st.floats(0.4, 0.95), st.integers(35, 80))
def test_shares_are_shares_and_add_up(seed: int, reliability: float, cut: int) -> None:
    draw = np.random.default_rng(seed)
    scores = [float(one) for one in np.clip(draw.normal(60, 12, 60).round(), 0, 100)]
    try:
        found = classification(scores, cut, reliability)
    except BadInput:
        return
    for share in (found.accuracy, found.false_pass, found.false_fail, found.consistency):
        assert -1e-9 <= share <= 1 + 1e-9
    assert found.accuracy + found.false_pass + found.false_fail == pytest.approx(1, abs=1e-6)
    assert found.consistency >= 0.5 - 1e-9
