"""Sample sizes against published numbers and other programs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from observe.domain.troubles import BadInput
from observe.standards.sample_size import bonett, donner, for_phi, walter


@pytest.mark.parametrize(
    ("icc", "observers", "width", "n", "raw"),
    [  # Bonett (2002); 51 is quoted with the formula, the rest by the formula in R 4.2.2.
        (0.8, 2, 0.2, 51, 50.78530632),
        (0.8, 3, 0.2, 36, 35.62434884),
        (0.7, 2, 0.2, 101, 100.9163439),
        (0.9, 4, 0.1, 37, 36.05971417),
        (0.6, 5, 0.3, 33, 32.57849882),
    ],
)
def test_bonett(icc: float, observers: int, width: float, n: int, raw: float) -> None:
    found = bonett(icc, width, observers)
    assert found.n == n
    assert found.raw == pytest.approx(raw, abs=1e-5)


def test_bonett_adds_with_two_observers_and_a_high_icc() -> None:
    assert bonett(0.8, 0.2, 2).details == {"n_adjusted": 55}
    assert "take 55" in bonett(0.8, 0.2, 2).note
    assert bonett(0.6, 0.2, 2).details == {}


@pytest.mark.parametrize(
    ("least", "expected", "observers", "tails", "n", "raw"),
    [  # Walter et al. (1998), by R ICC.Sample.Size 1.1; trade figures 39, 18 and 117 by formula.
        (0.6, 0.8, 2, 1, 39, 38.60634886),
        (0.6, 0.8, 2, 2, 49, 48.74201005),
        (0.5, 0.75, 2, 1, 36, 35.44735789),
        (0.5, 0.75, 3, 1, 24, 23.09137829),
        (0.7, 0.85, 3, 1, 30, 29.20476165),
    ],
)
def test_walter(
    least: float, expected: float, observers: int, tails: int, n: int, raw: float
) -> None:
    found = walter(least, expected, observers, tails=tails)
    assert found.n == n
    assert found.raw == pytest.approx(raw, abs=1e-5)


@pytest.mark.parametrize(
    ("least", "expected", "prevalence", "n", "raw"),
    [  # Donner and Eliasziw (1992), by R kappaSize 1.2.
        (0.4, 0.6, 0.3, 191, 190.4554695),
        (0.4, 0.6, 0.5, 165, 164.8264744),
        (0.6, 0.8, 0.2, 192, 191.8069985),
        (0.4, 0.7, 0.1, 180, 179.5690792),
    ],
)
def test_donner(least: float, expected: float, prevalence: float, n: int, raw: float) -> None:
    found = donner(least, expected, prevalence)
    assert found.n == n
    assert found.raw == pytest.approx(raw, abs=1e-4)
    assert "prevalence" in found.note


def test_phi_by_the_formula_of_spearman_and_brown() -> None:
    """A single observation of .65 takes 3 for .80 (2.15) and 5 for .90 (4.85)."""
    one, two = (for_phi(0.65, 0.35, target=target) for target in (0.8, 0.9))
    assert (one.n, two.n) == (3, 5)
    assert (one.raw, two.raw) == pytest.approx((2.1538, 4.8462), abs=1e-4)
    assert for_phi(1.0, 0.0).n == 1


@pytest.mark.parametrize(
    "ask",
    [
        lambda: bonett(1.0, 0.2, 2),
        lambda: bonett(0.8, 0.0, 2),
        lambda: bonett(0.8, 0.2, 1),
        lambda: bonett(0.8, 0.2, 2, level=1.0),
        lambda: walter(0.8, 0.6, 2),
        lambda: walter(0.6, 0.8, 2, tails=3),
        lambda: walter(0.6, 0.8, 2, power=0.01),
        lambda: donner(0.4, 0.4, 0.3),
        lambda: donner(0.4, 0.6, 0.0),
        lambda: for_phi(0.0, 1.0),
        lambda: for_phi(1.0, -1.0),
        lambda: for_phi(1.0, 1.0, target=1.0),
    ],
)
def test_what_cannot_be_asked_is_told(ask: object) -> None:
    with pytest.raises(BadInput) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.remedy


@given(st.floats(0.05, 0.94), st.floats(0.02, 0.5), st.integers(2, 8))
def test_a_narrower_interval_takes_more_and_every_number_is_rounded_up(
    icc: float, width: float, observers: int
) -> None:
    found, narrower = bonett(icc, width, observers), bonett(icc, width / 2, observers)
    assert narrower.raw > found.raw
    assert found.n >= found.raw - 1e-6


@given(st.floats(0.1, 5), st.floats(0.0, 9), st.floats(0.1, 0.95))
def test_the_number_for_phi_is_the_least_that_does(
    universe: float, error: float, target: float
) -> None:
    n = for_phi(universe, error, target=target).n
    assert universe / (universe + error / n) >= target - 1e-6
    if n > 1:
        assert universe / (universe + error / (n - 1)) < target + 1e-6
