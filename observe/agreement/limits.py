"""Limits of agreement: how far two observers' scores of one unit lie apart."""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
from scipy import special

from observe.agreement.answering import NOBODY_SHARED
from observe.agreement.estimate import Estimate
from observe.agreement.ratings import Ratings
from observe.agreement.scores import Asked, Floats, complete, obstacle, rounding

ROWS = ("bias", "lower limit", "upper limit")
COVERAGE = 0.95
STEADY = 40
METHOD_BIAS = "Student's t"
METHOD_LIMIT = "Student's t, variance of a limit 3 s²/n (Bland & Altman 1986)"
SLOPE = "Student's t, least squares (Bland & Altman 1999)"


class Differences(NamedTuple):
    """First less second observer, for each table; shape (...), but `pairs`.

    bias: mean difference. spread: its standard deviation, n - 1; 0 below rounding.
    """

    pairs: int
    bias: Floats
    spread: Floats


def bland_altman(ratings: Ratings, *, level: float = 0.95) -> tuple[Estimate, Estimate, Estimate]:
    """Bias and 95 % limits of agreement of two observers, first less second.

    In the scores' unit. The limits are bias ± 1.96 standard deviations of the
    differences (the normal quantile, not 2 as in 1986); `level` is that of the three
    intervals. Undefined with other than two observers or under two pairs. Source: Bland
    JM, Altman DG (1986), Lancet i:307-310.
    """
    scores = complete(ratings)
    used = len(scores.table)
    asked = [Asked(ratings, "bland_altman", row, level, used) for row in ROWS]
    reason = _two(ratings) or obstacle(ratings, scores)
    if reason:
        first, second, third = (question.undefined(reason, *scores.notes) for question in asked)
        return first, second, third
    found = differences(scores.table)
    bias, spread = float(found.bias), float(found.spread)
    half = NormalDist().inv_cdf((1 + COVERAGE) / 2) * spread
    values = (bias, bias - half, bias + half)
    notes = (*_reading(ratings, spread, used), *scores.notes)
    if spread == 0:
        same = "all pairs are identical" if bias == 0 else "all pairs differ by the same"
        why = f"not estimable: {same}, so the standard deviation of the differences is 0."
        first, second, third = (
            question.point(value, why, *notes)
            for question, value in zip(asked, values, strict=True)
        )
        return first, second, third
    t = float(special.stdtrit(used - 1, (1 + level) / 2))
    errors = (spread / math.sqrt(used), *(spread * math.sqrt(3 / used),) * 2)
    methods = (METHOD_BIAS, METHOD_LIMIT, METHOD_LIMIT)
    extra = (_shape(scores.table), _grows(ratings, level))
    first, second, third = (
        question.between(value, (value - t * error, value + t * error), method, *notes, *extra)
        for question, value, error, method in zip(asked, values, errors, methods, strict=True)
    )
    return first, second, third


def proportional_bias(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """How much the difference grows per unit of the pair's mean: a slope, 0 for not at all.

    A slope other than 0 says that the observers' scores spread differently (Pitman's
    test) or differ more for better performances. Undefined under three pairs, or when
    all means are the same. Source: Bland JM, Altman DG (1999), Statistical Methods in
    Medical Research 8:135-160, section 3.2.
    """
    scores = complete(ratings)
    used = len(scores.table)
    asked = Asked(ratings, "bland_altman", "proportional bias", level, used)
    reason = _two(ratings) or obstacle(ratings, scores, least=3)
    if reason:
        return asked.undefined(reason, *scores.notes)
    noise = float(rounding(scores.table))
    difference = scores.table[:, 0] - scores.table[:, 1]
    means = scores.table.mean(axis=1)
    means, difference = means - means.mean(), difference - difference.mean()
    across = float(means @ means)
    if across <= used * noise**2:
        reason = "the pairs' means are all the same, so nothing can grow with them."
        return asked.undefined(reason, *scores.notes)
    slope = float(means @ difference) / across
    rest = difference - slope * means
    left = float(rest @ rest)
    if left <= used * (noise * (1 + abs(slope))) ** 2:
        why = "not estimable: the differences lie exactly on a line."
        return asked.point(slope, why, *scores.notes)
    half = float(special.stdtrit(used - 2, (1 + level) / 2)) * math.sqrt(left / (used - 2) / across)
    return asked.between(slope, (slope - half, slope + half), SLOPE, *scores.notes)


def repeatability(ratings: Ratings) -> float | None:
    """The standard deviation of two readings of one learner by one observer, bias taken for none.

    √(Σ d² / n) of the differences; twice it is the coefficient of repeatability. None with other
    than two readings or without a pair. Source: Bland JM, Altman DG (1986), Lancet i:307-310.
    """
    scores = complete(ratings)
    if _two(ratings) or not len(scores.table):
        return None
    apart = scores.table[:, 0] - scores.table[:, 1]
    return float(np.sqrt((apart**2).mean()))


def differences(scores: Floats) -> Differences:
    """Bias and spread of pairs; scores: shape (..., units, 2), two units or more."""
    apart = scores[..., 0] - scores[..., 1]
    bias = apart.mean(axis=-1)
    n = apart.shape[-1]
    spread = np.sqrt(((apart - bias[..., None]) ** 2).sum(axis=-1) / (n - 1))
    noise = rounding(scores)
    return Differences(
        n,
        np.where(np.abs(bias) <= noise, 0.0, bias),
        np.where(spread <= 2 * noise, 0.0, spread),
    )


def _two(ratings: Ratings) -> str:
    if not ratings.shared:
        return NOBODY_SHARED
    if len(ratings.observers) != 2:
        return f"it compares two observers, and there are {len(ratings.observers)}."
    return ""


def _reading(ratings: Ratings, spread: float, used: int) -> tuple[str, ...]:
    first, second = ratings.observers
    said = [
        (
            f"{first} less {second}; standard deviation of the differences {spread:.4g};"
            " limits at 1.96 of these."
        )
    ]
    if used < STEADY:
        said.append(f"Limits from {used} pairs are unsteady; {STEADY} or more are advised.")
    return tuple(said)


def _shape(table: Floats) -> str:
    """A warning where the differences lean to one side; empty if they do not."""
    apart = table[:, 0] - table[:, 1]
    n = len(apart)
    if n < 8:
        return ""
    apart = apart - apart.mean()
    lean = float((apart**3).mean() / (apart**2).mean() ** 1.5) * math.sqrt(n * (n - 1)) / (n - 2)
    error = math.sqrt(6 * n * (n - 1) / ((n - 2) * (n + 1) * (n + 3)))
    if abs(lean) <= NormalDist().inv_cdf(0.975) * error:
        return ""
    return f"The differences are skewed ({lean:.2f}): normal limits may not hold 95 % of them."


def _grows(ratings: Ratings, level: float) -> str:
    """A warning where the difference changes with the size; empty if it does not show."""
    found = proportional_bias(ratings, level=level)
    if found.value is None or found.low is None or found.high is None:
        return ""
    if found.low <= 0 <= found.high:
        return ""
    return (
        f"Proportional bias: the difference changes by {found.value:.3g}"
        f" ({found.low:.3g} to {found.high:.3g}) for each point of the pair's mean."
    )
