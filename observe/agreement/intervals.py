"""Interval methods that more than one coefficient uses."""

from __future__ import annotations

from statistics import NormalDist

from scipy import special

EXACT = "exact (Clopper-Pearson)"


def exact(successes: int, trials: int, level: float) -> tuple[float, float]:
    """Clopper-Pearson limits of a proportion from independent trials.

    Source: Clopper CJ, Pearson ES (1934), Biometrika 26:404-413.
    """
    tail = (1 - level) / 2
    failures = trials - successes
    low = float(special.betaincinv(successes, failures + 1, tail)) if successes else 0.0
    high = float(special.betaincinv(successes + 1, failures, 1 - tail)) if failures else 1.0
    return low, high


def normal(value: float, error: float, level: float) -> tuple[float, float]:
    """Limits from a standard error and the normal distribution, not cut at 1."""
    half = NormalDist().inv_cdf((1 + level) / 2) * error
    return value - half, value + half


def student(value: float, error: float, freedom: int, level: float) -> tuple[float, float]:
    """Limits from a standard error and Student's t; the upper one is cut at 1."""
    half = float(special.stdtrit(freedom, (1 + level) / 2)) * error
    return value - half, min(value + half, 1.0)
