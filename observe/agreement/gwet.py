"""Chance-corrected agreement of two or more observers, missing ratings allowed.

All four are (observed - expected) / (1 - expected) with one observed agreement, the
mean share of agreeing pairs within a unit; they differ in what chance would give.
Source of estimates and variances: Gwet KL (2014), Handbook of Inter-Rater
Reliability, 4th ed., Advanced Analytics, chapters 2, 3 and 5.
"""

from __future__ import annotations

import math

import numpy as np

from observe.agreement.estimate import Estimate, Question, too_few
from observe.agreement.intervals import student
from observe.agreement.pairwise import Pairwise, Real, pairwise
from observe.agreement.percent import NOBODY_SHARED
from observe.agreement.ratings import Ratings

METHOD = "Gwet (2014) variance, t with n - 1 degrees of freedom, upper limit cut at 1"
SAME = "every rating is the same, so agreement by chance is complete."


def scott_pi(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Scott's pi of two observers: chance from the shares that they have in common.

    Category shares come from every rated unit, also those rated once. Undefined with
    other than two observers, without a unit rated twice, and when every rating is the
    same. Source: Scott WA (1955), Public Opinion Quarterly 19:321-325.
    """
    asked = Question(ratings, "scott_pi", "two observers", level, ratings.rated, single_used=True)
    count = len(ratings.observers)
    if ratings.shared and count != 2:
        return asked.undefined(f"it compares two observers, and there are {count}.")
    return _by_shares(asked)


def fleiss_kappa(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Fleiss' kappa: Scott's pi for any number of observers, also one that varies.

    Where units have unequal numbers of ratings this is the generalised form of Gwet
    (2014), as `form` says. Undefined as `scott_pi`, but for the number of observers.
    Source: Fleiss JL (1971), Psychological Bulletin 76:378-382.
    """
    given = ratings.per_unit[ratings.per_unit > 0]
    equal = not len(given) or bool(np.all(given == given[0]))
    form = "equal numbers of ratings" if equal else "generalised, unequal numbers of ratings"
    return _by_shares(
        Question(ratings, "fleiss_kappa", form, level, ratings.rated, single_used=True)
    )


def brennan_prediger(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Agreement corrected by 1/q, q the number of categories known.

    Undefined without a unit rated twice, and when fewer than two categories are known.
    Source: Brennan RL, Prediger DJ (1981), Educational and Psychological Measurement
    41:687-699.
    """
    asked = Question(
        ratings, "brennan_prediger", "unweighted", level, ratings.rated, single_used=True
    )
    reason = _obstacle(ratings) or _few_categories(ratings)
    if reason:
        return asked.undefined(reason)
    found = pairwise(ratings)
    expected = 1 / len(ratings.categories)
    return _answer(asked, found, expected, np.full(found.n, expected), "the interval counts")


def gwet_ac1(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Gwet's AC1: chance from the spread of the categories, sum of p(1 - p) over q - 1.

    Undefined without a unit rated twice, and when fewer than two categories are known.
    Source: Gwet KL (2008), British Journal of Mathematical and Statistical Psychology
    61:29-48.
    """
    asked = Question(ratings, "gwet_ac1", "unweighted", level, ratings.rated, single_used=True)
    reason = _obstacle(ratings) or _few_categories(ratings)
    if reason:
        return asked.undefined(reason)
    found = pairwise(ratings)
    weight = (1 - found.shares) / (len(ratings.categories) - 1)
    return _answer(asked, found, float(found.shares @ weight), found.expected_by_unit(weight))


def _by_shares(asked: Question) -> Estimate:
    ratings = asked.ratings
    reason = _obstacle(ratings)
    if not reason and np.all(ratings.code == ratings.code[0]):
        reason = SAME
    if reason:
        return asked.undefined(reason)
    found = pairwise(ratings)
    expected = float(found.shares @ found.shares)
    return _answer(asked, found, expected, found.expected_by_unit(found.shares))


def _answer(
    asked: Question,
    found: Pairwise,
    expected: float,
    by_unit: Real,
    rest: str = "category shares come from",
) -> Estimate:
    value = (found.observed - expected) / (1 - expected)
    basis = _basis(found, rest)
    error = _error(found, value, expected, by_unit)
    why = too_few(asked.ratings.shared)
    if not why and not error:
        at = " at perfect agreement" if found.observed == 1 else ""
        why = f"not estimable: the standard error is 0 in this sample{at}."
    if why:
        return asked.point(value, why, basis)
    limits = student(value, error, found.n - 1, asked.level)
    return asked.between(value, limits, METHOD, basis)


def _error(found: Pairwise, value: float, expected: float, by_unit: Real) -> float:
    """Standard error over units; `by_unit` is each unit's part in the chance agreement.

    Gwet (2014), chapter 5: units rated once speak for the category shares only. 0
    when every unit says the same.
    """
    if found.n < 2:
        return 0.0
    more = np.where(found.shared, found.agreed - expected, 0.0)
    own = found.n / int(found.shared.sum()) * more / (1 - expected)
    own -= 2 * (1 - value) * (by_unit - expected) / (1 - expected)
    centred = own - value
    if np.abs(centred).max() <= 1e-12 * max(1.0, float(np.abs(own).max())):
        return 0.0
    return math.sqrt(float((centred**2).sum()) / found.n / (found.n - 1))


def _basis(found: Pairwise, rest: str) -> str:
    shared = int(found.shared.sum())
    if shared == found.n:
        return ""
    return (
        f"Agreement comes from units rated twice or more ({shared}); {rest} all rated ({found.n})."
    )


def _obstacle(ratings: Ratings) -> str:
    return "" if ratings.shared else NOBODY_SHARED


def _few_categories(ratings: Ratings) -> str:
    if len(ratings.categories) >= 2:
        return ""
    return "only one category is known; declare all the categories that the form has."
