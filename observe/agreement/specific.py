"""Specific agreement: of those that one observer put into a category, how many did another."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from observe.agreement import answering
from observe.agreement.estimate import Estimate, Question, too_few
from observe.agreement.intervals import EXACT, exact, student
from observe.agreement.ratings import Ratings, Value, Whole
from observe.domain.printing import percent

MOST_CATEGORIES = 1000
BY_USERS = f"{EXACT}, from the units in which either used the category"
LINEARISED = "ratio of sums over units, linearised, t with n - 1 degrees of freedom, cut at 0 and 1"


def specific_agreement(ratings: Ratings, *, level: float = 0.95) -> dict[Value, Estimate]:
    """For each category, the share of its uses that another observer of the unit made too.

    Positive and negative agreement where there are two categories. Two ratings per unit:
    2 a / (2 a + b + c), with the exact interval of a among the a + b + c units in which
    either used the category, carried through 2 x / (1 + x). More: agreeing pairs over
    pairs in which the category was used, the interval from the spread between units.
    Undefined for a category that nobody used, and when no unit was rated twice. Sources:
    Cicchetti DV, Feinstein AR (1990), Journal of Clinical Epidemiology 43:551-558; de Vet
    HCW and others (2017), Journal of Clinical Epidemiology 83:85-89.
    """
    if len(ratings.categories) > MOST_CATEGORIES:
        reason = f"there are {len(ratings.categories):,} categories, more than {MOST_CATEGORIES:,}."
        return {
            category: _asked(ratings, category, level).undefined(reason)
            for category in ratings.categories
        }
    used, both = uses(ratings)
    return {
        category: _answer(ratings, category, used[:, place], both[:, place], level)
        for place, category in enumerate(ratings.categories)
    }


def uses(ratings: Ratings) -> tuple[Whole, Whole]:
    """Per unit rated twice or more and category: pairs that used it, and pairs that agreed on it.

    Both of shape (shared, q), in ordered pairs: each use with each other rating of the unit.
    """
    q = len(ratings.categories)
    codes = ratings.packed[ratings.per_unit >= 2]
    count = np.zeros((len(codes), q), dtype=np.int64)
    for column in codes.T:
        there = np.flatnonzero(column >= 0)
        count[there, column[there]] += 1
    given = (codes >= 0).sum(axis=1)[:, None]
    return count * (given - 1), count * (count - 1)


def specific_sentence(ratings: Ratings) -> str:
    """Specific agreement on two categories, in a sentence; else empty."""
    if len(ratings.categories) != 2 or not ratings.shared:
        return ""
    used, both = (part.sum(axis=0) for part in uses(ratings))
    parts = [
        f"{category}: {f'{percent_of(int(b), int(u))} %' if u else 'never used'}"
        for category, u, b in zip(ratings.categories, used, both, strict=True)
    ]
    return f"Specific agreement, {'; '.join(parts)}."


def percent_of(part: int, whole: int) -> str:
    """A share in per cent with one decimal, half up."""
    from fractions import Fraction

    return percent(Fraction(part, whole))


def _asked(ratings: Ratings, category: Value, level: float) -> Question:
    return Question(ratings, "specific_agreement", str(category), level, ratings.shared)


def _answer(ratings: Ratings, category: Value, used: Whole, both: Whole, level: float) -> Estimate:
    asked = _asked(ratings, category, level)
    reason = answering.obstacle(ratings)
    if not reason and not used.any():
        reason = f"nobody used {category} on a unit rated twice or more."
    if reason:
        return asked.undefined(reason)
    units = int(np.count_nonzero(used))
    value = float(both.sum() / used.sum())
    if int(ratings.per_unit.max()) == 2 and ratings.cluster is None:
        low, high = exact(int(np.count_nonzero(both)), units, level)
        limits = (2 * low / (1 + low), 2 * high / (1 + high))
        note = f"{units:,} units in which either used {category}."
        return asked.between(value, limits, BY_USERS, note)
    return _linearised(asked, value, used, both)


def _linearised(asked: Question, value: float, used: Whole, both: Whole) -> Estimate:
    ratings = asked.ratings
    parts = (both - value * used) / used.mean()
    n, method = len(parts), LINEARISED
    why = too_few(n)
    if ratings.cluster is not None:
        owner = ratings.cluster[ratings.per_unit >= 2]
        sums = np.bincount(owner, parts)[np.unique(owner)]
        size, n, method = n, len(sums), answering.CLUSTERED
        why = why or too_few(n, "learner")
        spread = float((sums**2).sum()) * n / max(n - 1, 1) / size**2
    else:
        spread = float((parts**2).sum()) / max(n * (n - 1), 1)
    if not why and spread <= 1e-24:
        why = "not estimable: the standard error is 0 in this sample."
    if why:
        return asked.point(value, why)
    low, high = student(value, math.sqrt(spread), n - 1, asked.level)
    found = asked.between(value, (max(low, 0.0), high), method)
    return replace(found, clusters=None if ratings.cluster is None else n)
