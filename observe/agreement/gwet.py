"""Chance-corrected agreement of two or more observers, missing ratings allowed.

All are (observed - expected) / (1 - expected) with one observed agreement, the mean share
of agreeing pairs within a unit; they differ in what chance would give. Each takes weights:
a name from `weights.NAMES` or a square of disagreement weights. Units rated once tell of
the shares of categories and of nothing else.
Source of estimates and variances: Gwet KL (2014), Handbook of Inter-Rater Reliability, 4th
ed., Advanced Analytics, chapters 2, 3 and 5.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from observe.agreement import answering, counts
from observe.agreement.estimate import Estimate, Question
from observe.agreement.fleiss import null_error
from observe.agreement.ratings import Ratings, Whole
from observe.agreement.weights import UNWEIGHTED, Distance, Weights, distance
from observe.domain.troubles import BadInput

Kernel = Callable[[Whole, Distance, Whole | None], counts.Answers]

SHARES = "category shares come from"
INTERVAL = "the interval counts"


def scott_pi(ratings: Ratings, *, weights: Weights = UNWEIGHTED, level: float = 0.95) -> Estimate:
    """Scott's pi of two observers: chance from the shares that they have in common.

    Category shares come from every rated unit, also those rated once. Undefined with
    other than two observers, without a unit rated twice, and when every rating is the
    same. Source: Scott WA (1955), Public Opinion Quarterly 19:321-325.
    """
    asked = _asked(ratings, "scott_pi", weights, level)
    reason = answering.not_two(ratings)
    return asked.undefined(reason) if reason else _by_shares(asked, weights)


def fleiss_kappa(
    ratings: Ratings, *, weights: Weights = UNWEIGHTED, level: float = 0.95
) -> Estimate:
    """Fleiss' kappa: Scott's pi for any number of observers, also one that varies.

    Where units have unequal numbers of ratings this is the generalised form of Gwet
    (2014), as `form` says. Where they are equal and unweighted, `details` has the
    standard error if kappa is 0, for a test only (Fleiss, Nee & Landis 1979). Undefined
    as `scott_pi`, but for the number of observers. Source: Fleiss JL (1971),
    Psychological Bulletin 76:378-382.
    """
    return _fleiss(ratings, weights, level)


def _fleiss(
    ratings: Ratings, weights: Weights, level: float, found: counts.Answers | None = None
) -> Estimate:
    form = "" if _equal(ratings) else "generalised, unequal numbers of ratings"
    asked = _asked(ratings, "fleiss_kappa", weights, level, form)
    error = null_error(ratings) if weights == UNWEIGHTED else None
    details = {} if error is None else {"standard error if 0": error}
    return _by_shares(asked, weights, details, found)


def brennan_prediger(
    ratings: Ratings, *, weights: Weights = UNWEIGHTED, level: float = 0.95
) -> Estimate:
    """Agreement corrected by 1/q, q the number of categories known.

    Undefined without a unit rated twice, and when fewer than two categories are known.
    Source: Brennan RL, Prediger DJ (1981), Educational and Psychological Measurement
    41:687-699.
    """
    asked = _asked(ratings, "brennan_prediger", weights, level)
    return _by_number(asked, weights, counts.by_number, INTERVAL)


def gwet_ac1(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Gwet's AC1: chance from the spread of the categories, sum of p(1 - p) over q - 1.

    Undefined without a unit rated twice, and when fewer than two categories are known.
    Source: Gwet KL (2008), British Journal of Mathematical and Statistical Psychology
    61:29-48.
    """
    asked = _asked(ratings, "gwet_ac1", UNWEIGHTED, level)
    return _by_number(asked, UNWEIGHTED, counts.by_spread, SHARES)


def gwet_ac2(ratings: Ratings, *, weights: Weights = "quadratic", level: float = 0.95) -> Estimate:
    """Gwet's AC2: AC1 with weights, for ordered categories.

    Undefined as `gwet_ac1`, and for named weights on the nominal scale. Source: Gwet
    (2014), chapter 3.
    """
    asked = _asked(ratings, "gwet_ac2", weights, level)
    return _by_number(asked, weights, counts.by_spread, SHARES)


def of_many(tables: Sequence[Ratings], name: str, *, level: float = 0.95) -> tuple[Estimate, ...]:
    """AC1, Brennan-Prediger or Fleiss' kappa of many tables, such as all steps of a form.

    Each is what the function of this name says of it alone; tables that are alike in form go
    through the arithmetic together. Raises BadInput for another name.
    """
    if name not in _MANY:
        raise BadInput(
            f"Not of many tables at once: {name}.", remedy=f"Use one of: {', '.join(_MANY)}."
        )
    kernel = _MANY[name]
    alike: dict[tuple[int, int, int], list[int]] = {}
    for place, one in enumerate(tables):
        if one.clusters is None and one.shared and len(one.categories) > 1:
            alike.setdefault((len(one.categories), *one.packed.shape), []).append(place)
    found: dict[int, counts.Answers] = {}
    for (q, *_), places in alike.items():
        codes = np.stack([tables[place].packed for place in places])
        few = counts.patterns(codes, q)
        rows, times = few or (codes, None)
        answers = kernel(rows, distance(tables[places[0]], UNWEIGHTED).both_ways(), times)
        found |= {place: answers.one(at) for at, place in enumerate(places)}
    return tuple(_of_one(one, name, level, found.get(place)) for place, one in enumerate(tables))


def _of_one(ratings: Ratings, name: str, level: float, found: counts.Answers | None) -> Estimate:
    if name == "fleiss_kappa":
        return _fleiss(ratings, UNWEIGHTED, level, found)
    asked = _asked(ratings, name, UNWEIGHTED, level)
    rest = SHARES if name == "gwet_ac1" else INTERVAL
    return _by_number(asked, UNWEIGHTED, _MANY[name], rest, found)


_MANY: dict[str, Kernel] = {
    "gwet_ac1": counts.by_spread,
    "brennan_prediger": counts.by_number,
    "fleiss_kappa": counts.by_shares,
}


def _asked(
    ratings: Ratings, coefficient: str, weights: Weights, level: float, form: str = ""
) -> Question:
    named = weights if isinstance(weights, str) else "custom"
    if named != UNWEIGHTED and ratings.scale.is_of_numbers and isinstance(weights, str):
        named = f"{named}, by value"
    whole = f"{named}; {form}" if form else named
    return Question(ratings, coefficient, whole, level, ratings.rated, single_used=True)


def _equal(ratings: Ratings) -> bool:
    """Whether every rated unit has as many ratings."""
    given = ratings.per_unit[ratings.per_unit > 0]
    return not len(given) or bool(np.all(given == given[0]))


def _by_shares(
    asked: Question,
    weights: Weights,
    details: dict[str, float] | None = None,
    found: counts.Answers | None = None,
) -> Estimate:
    """The answer; found: what the arithmetic says, where it was asked already."""
    ratings = asked.ratings
    reason = answering.obstacle(ratings) or answering.no_order(ratings, weights)
    if reason:
        return asked.undefined(reason)
    apart = distance(ratings, weights)
    if found is None:
        codes, times = answering.said(ratings, ratings.packed)
        found = counts.by_shares(codes, apart.both_ways(), times)
    if not found.defined[0]:
        return asked.undefined(answering.no_chance(ratings))
    notes = (answering.basis(ratings, SHARES), answering.direction(apart))
    return answering.answered(asked, found, *notes, details=details)


def _by_number(
    asked: Question,
    weights: Weights,
    kernel: Kernel,
    rest: str,
    found: counts.Answers | None = None,
) -> Estimate:
    """The answer; found: what the arithmetic says, where it was asked already."""
    ratings = asked.ratings
    reason = (
        answering.obstacle(ratings)
        or answering.few_categories(ratings)
        or answering.no_order(ratings, weights)
    )
    if reason:
        return asked.undefined(reason)
    apart = distance(ratings, weights)
    if found is None:
        codes, times = answering.said(ratings, ratings.packed)
        found = kernel(codes, apart.both_ways(), times)
    notes = (answering.basis(ratings, rest), answering.direction(apart))
    return answering.answered(asked, found, *notes)
