"""Kappa of two observers, unweighted and weighted, with its large-sample interval."""

from __future__ import annotations

from observe.agreement import answering, counts
from observe.agreement.estimate import Estimate, Question, too_few
from observe.agreement.ratings import Ratings
from observe.agreement.weights import UNWEIGHTED, Distance, Weights, distance

METHOD = "large sample (Fleiss, Cohen & Everitt 1969), normal, not cut at 1"
ONE_CATEGORY = "With one category only from one observer, kappa is 0 whatever the agreement."
MOST_TESTED = 4000


def cohen_kappa(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Cohen's kappa of two observers over the units that both rated.

    Undefined without such a unit, with other than two observers, and when every
    rating is the same. `details` has both standard errors; that of kappa 0 is for a
    test only. Sources: Cohen J (1960), Educational and Psychological Measurement
    20:37-46; interval: Fleiss JL, Cohen J, Everitt BS (1969), Psychological Bulletin
    72:323-327, equation 13, not truncated. Under ten pairs no interval is given.
    """
    asked = Question(ratings, "cohen_kappa", UNWEIGHTED, level, ratings.shared)
    reason = answering.not_two(ratings)
    if reason:
        return asked.undefined(reason)
    return _answer(asked, distance(ratings))


def weighted_kappa(
    ratings: Ratings, *, weights: Weights = "quadratic", level: float = 0.95
) -> Estimate:
    """Cohen's weighted kappa: disagreement counts by distance.

    weights: "linear", "quadratic", another name of `weights.NAMES`, or a square of
    disagreement weights with the first observer's category in rows, which need not be
    symmetric. On the ordinal scale named weights go by place in the declared order, on
    the interval and ratio scales by value. Undefined as `cohen_kappa`, and for named
    weights on the nominal scale. Raises BadInput for other weights. Sources: Cohen J
    (1968), Psychological Bulletin 70:213-220; interval: Fleiss, Cohen & Everitt (1969),
    equation 8; standard error if 0: equation 9.
    """
    form = weights if isinstance(weights, str) else "custom"
    by_value = isinstance(weights, str) and ratings.scale.is_of_numbers
    form = f"{form}, by value" if by_value and form != UNWEIGHTED else form
    asked = Question(ratings, "weighted_kappa", form, level, ratings.shared)
    reason = answering.no_order(ratings, weights) or answering.not_two(ratings)
    if reason:
        return asked.undefined(reason)
    return _answer(asked, distance(ratings, weights))


def _answer(asked: Question, apart: Distance) -> Estimate:
    ratings = asked.ratings
    codes, times = answering.said(ratings, ratings.codes)
    found = counts.by_margins(codes, apart, times)
    if not found.defined[0]:
        return asked.undefined(answering.no_chance(ratings))
    rows, columns = counts.margins(codes, apart.q, times)
    details = {}
    if max((rows > 0).sum(), (columns > 0).sum()) <= MOST_TESTED:
        details["standard error if 0"] = counts.null_error(
            rows[0] / found.n[0], columns[0] / found.n[0], int(found.n[0]), apart
        )
    alone = (rows > 0).sum() == 1 or (columns > 0).sum() == 1
    why = "not estimable: one observer used one category only." if alone else ""
    return answering.answered(
        asked,
        found,
        ONE_CATEGORY if alone and apart.rule is None and apart.matrix is None else "",
        method=METHOD,
        large_sample=True,
        withheld=too_few(asked.used) or why,
        details=details,
    )
