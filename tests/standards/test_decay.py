"""A programme's forgetting curve from a published trial."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.decay import decay

# Resuscitation skill 2, 4 and 6 months after training, randomised trial of 42 (Pediatric Critical
# Care Medicine 2015): counts from the published 92, 71 and 56 %.
TRIAL = [(2.0, 11, 12), (4.0, 10, 14), (6.0, 9, 16)]


def test_the_trial() -> None:
    found = decay(TRIAL)
    assert found.rate == pytest.approx(0.083459, abs=1e-6)
    assert found.half_life == pytest.approx(8.305, abs=1e-3)
    assert found.months(0.9) == pytest.approx(1.262, abs=1e-3)
    assert found.months(0.8) == pytest.approx(2.674, abs=1e-3)
    assert (found.n, found.passed) == (42, 30)
    assert found.low is not None
    assert found.rate is not None
    assert found.high is not None
    assert found.low < found.rate < found.high


@pytest.mark.parametrize(
    ("retests", "said"),
    [
        ([(2.0, 3, 5)], "10 are needed"),
        ([(2.0, 12, 12)], "all of 12"),
        ([(2.0, 0, 12)], "none of 12"),
    ],
)
def test_what_says_nothing_is_not_estimable(
    retests: list[tuple[float, int, int]], said: str
) -> None:
    found = decay(retests)
    assert found.rate is None
    assert said in found.undefined
    assert found.half_life is None


@pytest.mark.parametrize(
    "one", [(0.0, 1, 2), (2.0, 3, 2), (2.0, -1, 2), (1e30, 1, 2), (float("nan"), 1, 2)]
)
def test_what_cannot_be_is_told(one: tuple[float, int, int]) -> None:
    with pytest.raises(BadInput):
        decay([one])


def test_the_interval_holds_the_rate_about_as_often_as_it_says() -> None:
    draw = np.random.default_rng(2)
    held = []
    for _ in range(400):
        table = [(t, int(draw.binomial(30, np.exp(-0.1 * t))), 30) for t in (2.0, 4.0, 8.0)]
        found = decay(table)
        held.append((found.low or 0) <= 0.1 <= (found.high or 0))
    assert 0.92 <= np.mean(held) <= 0.98


@given(st.integers(1, 29), st.floats(0.5, 24))
def test_one_time_alone_gives_the_share_itself(passed: int, months: float) -> None:
    found = decay([(months, passed, 30)])
    assert found.rate == pytest.approx(-np.log(passed / 30) / months, rel=1e-6)
