"""Kappa adjusted for prevalence and bias, with the two indices it adjusts for."""

from __future__ import annotations

from observe.agreement.estimate import Estimate, Question
from observe.agreement.intervals import EXACT, exact
from observe.agreement.percent import NOBODY_SHARED
from observe.agreement.ratings import Ratings


def pabak(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Prevalence- and bias-adjusted kappa of two observers on two categories: 2 po - 1.

    The interval is the exact one of percent agreement, carried through 2 po - 1. The
    note has the prevalence index (a - d)/n and the bias index (b - c)/n with their
    signs, a and d the pairs where both chose the first or the second category, b those
    where only the first observer chose the first. Undefined with other than two
    observers or two categories, and when no unit was rated twice. Source: Byrt T,
    Bishop J, Carlin JB (1993), Journal of Clinical Epidemiology 46:423-429.
    """
    asked = Question(ratings, "pabak", "two categories", level, ratings.shared)
    reason = _obstacle(ratings)
    if reason:
        return asked.undefined(reason)
    table = ratings.table()
    n = asked.used
    agreeing = int(table.trace())
    low, high = exact(agreeing, n, level)
    prevalence = int(table[0, 0] - table[1, 1]) / n
    bias = int(table[0, 1] - table[1, 0]) / n
    return asked.between(
        (2 * agreeing - n) / n,
        (2 * low - 1, 2 * high - 1),
        f"{EXACT}, from percent agreement",
        f"Prevalence index {prevalence:.2f}, bias index {bias:.2f}"
        f" ({ratings.categories[0]} counted as first).",
    )


def _obstacle(ratings: Ratings) -> str:
    if not ratings.shared:
        return NOBODY_SHARED
    if len(ratings.observers) != 2:
        return f"it compares two observers, and there are {len(ratings.observers)}."
    if len(ratings.categories) != 2:
        return f"it is for two categories, and there are {len(ratings.categories)}."
    return ""
