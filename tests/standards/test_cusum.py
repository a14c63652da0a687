"""CUSUM against worked designs and a worked chart, and its error rates in simulation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.cusum import Design, Verdict, cusum

# Forty attempts at 0.20 against 0.40, alpha = beta = 0.1 (Bolsin and Colson 2000, formulas).
FORTY = [
    *(0, 1, 0, 0, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0),
    *(0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0),
]
MIDDLE = Design(0.2, 0.4)


@pytest.mark.parametrize(
    ("rates", "s", "h1", "h0"),
    [  # Checked in R 4.2.2; 2.94 for 5 %/10 % and 2.71 for 10 %/20 % are often printed.
        ((0.05, 0.1, 0.1, 0.1), 0.07235837684, 2.940554374, 2.940554374),
        ((0.1, 0.2, 0.1, 0.1), 0.1452443543, 2.709511291, 2.709511291),
        ((0.2, 0.4, 0.1, 0.1), 0.2933049474, 2.240170316, 2.240170316),
        ((0.1, 0.25, 0.05, 0.2), 0.1659562329, 2.523719014, 1.418284352),
        ((0.05, 0.15, 0.01, 0.1), 0.09193432684, 3.719349164, 1.894910642),
    ],
)
def test_designs(rates: tuple[float, ...], s: float, h1: float, h0: float) -> None:
    design = Design(*rates)
    assert (design.s, design.h1, design.h0) == pytest.approx((s, h1, h0), abs=1e-8)


def test_a_chart_of_forty_attempts() -> None:
    found = cusum(FORTY, MIDDLE)
    assert found.values[:4] == pytest.approx(
        (-0.2933049474, 0.4133901052, 0.1200851578, -0.1732197896)
    )
    assert found.values[-1] == pytest.approx(-4.732197896)
    assert (found.upper, found.lower) == (None, 29)
    assert found.verdict is Verdict.ACCEPTABLE
    assert found.sentence == "Shown acceptable at attempt 29."


@pytest.mark.parametrize(("rates", "more"), [((0.2, 0.4), 8), ((0.1, 0.2), 19)])
def test_with_few_attempts_nothing_can_be_shown(rates: tuple[float, float], more: int) -> None:
    """From the start 8 and 19 successes in a row are needed (by the formulas)."""
    found = cusum([], Design(*rates))
    assert found.more == more
    assert f"{more} more successes needed" in found.sentence
    assert cusum([0] * more, Design(*rates)).lower == more
    assert cusum([0] * (more - 1), Design(*rates)).lower is None


def test_failures_meet_the_upper_line() -> None:
    found = cusum([1, 1, 1, 1], MIDDLE)
    assert found.verdict is Verdict.UNACCEPTABLE
    assert found.upper == 4


def test_after_a_line_the_chart_goes_on_or_begins_again() -> None:
    failures = [1] * 4 + [0] * 40
    on, again = cusum(failures, MIDDLE), cusum(failures, MIDDLE, restart=True)
    assert on.verdict is Verdict.UNACCEPTABLE
    assert again.verdict is Verdict.ACCEPTABLE
    assert again.lower is not None
    assert on.lower is not None
    assert again.lower < on.lower


@pytest.mark.parametrize(
    "rates", [(0.4, 0.2), (0.2, 0.2), (0.0, 0.2), (0.2, 1.0), (0.2, 0.4, 0.0), (0.2, 0.4, 0.1, 0.6)]
)
def test_designs_that_cannot_be(rates: tuple[float, ...]) -> None:
    with pytest.raises(BadInput):
        Design(*rates)


@pytest.mark.parametrize(
    ("rate", "wrong"), [(0.2, Verdict.UNACCEPTABLE), (0.4, Verdict.ACCEPTABLE)]
)
def test_error_rates_are_kept(rate: float, wrong: Verdict) -> None:
    """Wald (1945): the first line met is the wrong one in about alpha or beta of the cases."""
    draw = np.random.default_rng(8)
    found = [cusum(list(draw.random(400) < rate), MIDDLE).verdict for _ in range(1500)]
    share = sum(one is wrong for one in found) / len(found)
    assert share <= 0.1 + 3 * (0.1 * 0.9 / 1500) ** 0.5
    assert sum(one is Verdict.OPEN for one in found) < 15


@given(st.lists(st.booleans(), max_size=60))
def test_failures_go_up_and_successes_go_down(failures: list[bool]) -> None:
    found = cusum(failures, MIDDLE)
    before = 0.0
    for failure, value in zip(failures, found.values, strict=True):
        assert (value > before) is failure
        before = value
    if found.lower is None:
        assert cusum([*failures, *[False] * found.more], MIDDLE).lower is not None
