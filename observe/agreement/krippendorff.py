"""Krippendorff's alpha in its four metrics, any number of observers, missing ratings allowed."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from observe.agreement import answering, counts
from observe.agreement.estimate import Estimate, Question
from observe.agreement.ratings import Ratings, Scale, Whole, number
from observe.agreement.weights import (
    UNWEIGHTED,
    Distance,
    Floats,
    Weights,
    distance,
    places,
    positioned,
    squares,
)
from observe.domain.troubles import BadInput

METHOD = (
    "Gwet (2014) variance, t with degrees of freedom one less than the units rated twice or"
    " more, upper limit cut at 1"
)
METRICS = tuple(str(scale) for scale in Scale)


def krippendorff_alpha(
    ratings: Ratings,
    *,
    metric: str | None = None,
    weights: Weights | None = None,
    level: float = 0.95,
) -> Estimate:
    """Krippendorff's alpha: 1 less observed over expected disagreement of pairable values.

    metric: "nominal", "ordinal" (ranks of the values that occur), "interval" or "ratio";
    without it, that of the scale. weights: instead of a metric, weights as of the other
    coefficients. Only units with two or more ratings count. Undefined without any, when
    these ratings are all the same, and for a metric that the values do not allow. The
    interval takes the ordinal metric's ranks as given. Raises BadInput for another metric.
    Source: Krippendorff K (2011), Computing Krippendorff's alpha-reliability, University
    of Pennsylvania, Departmental Papers (ASC) 43.
    """
    kind = _kind(ratings, metric)
    named = kind if weights is None else weights if isinstance(weights, str) else "custom"
    asked = Question(ratings, "krippendorff_alpha", named, level, ratings.shared)
    reason = answering.obstacle(ratings) or (
        _unfit(ratings, kind) if weights is None else answering.no_order(ratings, weights)
    )
    if reason:
        return asked.undefined(reason)
    codes, times = answering.said(ratings, ratings.packed)
    if weights is None:
        apart = alpha_distance(ratings, codes, kind, times)
    else:
        apart = distance(ratings, weights)
    found = counts.by_coincidence(codes, apart.both_ways(), times)
    if not found.defined[0]:
        return asked.undefined(_no_variation(ratings))
    values = int(ratings.per_unit[ratings.per_unit >= 2].sum())
    said = f"From {values} pairable values."
    notes = (said if ratings.shared < ratings.rated else "", answering.direction(apart))
    return answering.answered(asked, found, *notes, method=METHOD)


def alpha_distance(
    ratings: Ratings, codes: Whole, metric: str, times: Whole | None = None
) -> Distance:
    """The distances of a metric; the ordinal one has places of its own for each table.

    codes: shape (tables, units, observers), places among the categories of `ratings`;
    times: as of the kernels.
    """
    q = len(ratings.categories)
    if metric == "ordinal":
        return ordinal_distance(counts.coincidence_margins(codes, q, times))
    if metric == "interval":
        return positioned(metric, places(ratings.categories), squares, squared=True)
    if metric == "ratio":
        exact = [number(value) or Fraction(0) for value in ratings.categories]
        top = max(exact) or Fraction(1)
        return positioned(metric, np.array([float(size / top) for size in exact]), _by_ratio)
    return distance(ratings, UNWEIGHTED)


def ordinal_distance(margins: Floats) -> Distance:
    """The ordinal metric: squared difference of mid-ranks, scaled to 1; margins: (tables, q).

    The sum of the margins from one category to another, less half of both ends, is the
    difference of their mid-ranks.
    """
    ranks = np.cumsum(margins, axis=1) - margins / 2
    whole = np.maximum(margins.sum(axis=1, keepdims=True), 1)
    return positioned("ordinal", ranks / whole, squares, squared=True)


def _by_ratio(first: Floats, second: Floats) -> Floats:
    total = first + second
    return np.asarray(((first - second) / np.where(total > 0, total, 1.0)) ** 2)


def _kind(ratings: Ratings, metric: str | None) -> str:
    if metric is not None and metric not in METRICS:
        raise BadInput(
            f"There is no metric {metric!r}.",
            where="metric",
            remedy=f"Use one of: {', '.join(METRICS)}.",
        )
    return metric or str(ratings.scale)


def _unfit(ratings: Ratings, metric: str) -> str:
    """Why the values do not allow the metric; empty if they do."""
    if metric == "ordinal" and ratings.scale is Scale.NOMINAL and not _numbers(ratings):
        return "the ordinal metric needs an order, and the scale is nominal."
    if metric in {"interval", "ratio"} and not _numbers(ratings):
        return f"the {metric} metric needs numbers, and some categories are words."
    if metric == "ratio":
        below = [value for value in ratings.categories if (number(value) or Fraction(0)) < 0]
        if below:
            return f"the ratio metric has a true zero and no negative values; found {below[0]}."
    return ""


def _numbers(ratings: Ratings) -> bool:
    return all(number(value) is not None for value in ratings.categories)


def _no_variation(ratings: Ratings) -> str:
    codes = ratings.packed[ratings.per_unit >= 2]
    codes = codes[codes >= 0]
    if (codes == codes[0]).all():
        return "no variation: every rating of a unit rated twice or more is the same."
    return answering.NO_DISTANCE
