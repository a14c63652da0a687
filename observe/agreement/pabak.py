"""Kappa adjusted for prevalence and bias, with the two indices it adjusts for."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from observe.agreement import answering, counts
from observe.agreement.estimate import Estimate, Question
from observe.agreement.intervals import EXACT, exact
from observe.agreement.ratings import Ratings
from observe.agreement.weights import distance


def pabak(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Prevalence- and bias-adjusted kappa of two observers on two categories: 2 po - 1.

    The interval is the exact one of percent agreement, carried through 2 po - 1. The
    note, and unrounded `details`, have the prevalence index (a - d)/n and the bias index
    (b - c)/n with their signs, a and d the pairs where both chose the first or the second
    category, b those where only the first observer chose the first. Undefined with other
    than two observers or two categories, and when no unit was rated twice. Source: Byrt T,
    Bishop J, Carlin JB (1993), Journal of Clinical Epidemiology 46:423-429.
    """
    asked = Question(ratings, "pabak", "two categories", level, ratings.shared)
    reason = _obstacle(ratings)
    if reason:
        return asked.undefined(reason)
    table = ratings.table()
    n = asked.used
    agreeing = int(table.trace())
    prevalence = int(table[0, 0] - table[1, 1]) / n
    bias = int(table[0, 1] - table[1, 0]) / n
    note = (
        f"Prevalence index {prevalence:.2f}, bias index {bias:.2f}"
        f" ({ratings.categories[0]} counted as first)."
    )
    details = {"prevalence index": prevalence, "bias index": bias}
    if ratings.clusters is not None:
        found = counts.by_number(ratings.packed[None], distance(ratings))
        return answering.answered(asked, found, note, lowest=-1.0, details=details)
    low, high = exact(agreeing, n, level)
    estimate = asked.between(
        (2 * agreeing - n) / n,
        (2 * low - 1, 2 * high - 1),
        f"{EXACT}, from percent agreement",
        note,
    )
    details["observed agreement"] = agreeing / n
    return replace(estimate, details=MappingProxyType(details))


def _obstacle(ratings: Ratings) -> str:
    reason = answering.not_two(ratings)
    if not reason and len(ratings.categories) != 2:
        reason = f"it is for two categories, and there are {len(ratings.categories)}."
    return reason
