"""From the arithmetic of one table to an answer: the value, its interval, or why there is none."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from observe.agreement.counts import Answers, patterns
from observe.agreement.estimate import Estimate, Question, too_few
from observe.agreement.intervals import normal, student
from observe.agreement.ratings import Ratings, Scale, Whole
from observe.agreement.weights import UNWEIGHTED, Distance, Weights, check_name

ROUNDED_OFF = 1e-15
GWET = "Gwet (2014) variance, t with n - 1 degrees of freedom, upper limit cut at 1"
CLUSTERED = "linearised, units of one learner together, t with learners - 1 degrees of freedom"
SAME = "every rating is the same, so agreement by chance is complete."
NOBODY_SHARED = "no unit was rated by two or more observers."
ONE_CATEGORY = "only one category is known; declare all the categories that the form has."
NO_DISTANCE = "the categories that were used do not differ by these weights."
NO_ORDER = "weights need an order, and the scale is nominal."
MEAN_OF_BOTH = (
    "Weights differ by direction; observers have no order here, so the mean of both"
    " directions counts."
)


def answered(  # An answer has a value, an interval of either kind, and remarks.
    asked: Question,
    found: Answers,
    *notes: str,
    method: str = GWET,
    large_sample: bool = False,
    lowest: float | None = None,
    withheld: str = "",
    details: dict[str, float] | None = None,
) -> Estimate:
    """The estimate of a table that has a value; `found` holds this one table.

    method: of the interval: t and cut at 1, or, where `large_sample`, normal and not cut.
    lowest: the lower limit is cut there. withheld: why there is no interval anyway.
    """
    value = float(found.value[0])
    value = 0.0 if abs(value) < ROUNDED_OFF else value
    error, clusters = _error(asked.ratings, found)
    why = withheld or too_few(asked.ratings.shared)
    if not why and clusters is not None:
        why = too_few(clusters, "learner")
    if not why and not error:
        at = " at perfect agreement" if found.observed[0] == 0 else ""
        why = f"not estimable: the standard error is 0 in this sample{at}."
    if why:
        estimate = asked.point(value, why, *notes)
    elif clusters is None and large_sample:
        limits = normal(value, error, asked.level)
        past = "The upper limit lies above 1 and is printed as computed." if limits[1] > 1 else ""
        estimate = asked.between(value, limits, method, past, *notes)
    else:
        freedom = int(found.n[0]) if clusters is None else clusters
        low, high = student(value, error, freedom - 1, asked.level)
        low = low if lowest is None else max(low, lowest)
        estimate = asked.between(
            value, (low, high), method if clusters is None else CLUSTERED, *notes
        )
    made = {
        "observed agreement": 1 - float(found.observed[0]),
        "chance agreement": 1 - float(found.expected[0]),
        "standard error": error,
    }
    return replace(estimate, details=MappingProxyType(made | (details or {})), clusters=clusters)


def said(ratings: Ratings, codes: Whole) -> tuple[Whole, Whole | None]:
    """What the kernels are to take: few ways of saying it and how often, or `codes` as they are.

    codes: shape (units, observers). Units of a learner must keep their places.
    """
    few = None
    if ratings.clusters is None:
        few = patterns(codes[None], len(ratings.categories))
    return few or (codes[None], None)


def obstacle(ratings: Ratings) -> str:
    """Why nothing can be compared at all; empty if something can."""
    return "" if ratings.shared else NOBODY_SHARED


def not_two(ratings: Ratings) -> str:
    """Why there is no answer about two observers; empty if there may be one."""
    count = len(ratings.observers)
    if not ratings.shared:
        return NOBODY_SHARED
    return "" if count == 2 else f"it compares two observers, and there are {count}."


def no_order(ratings: Ratings, weights: Weights) -> str:
    """Why these weights say nothing here; empty if they do. BadInput for an unknown name."""
    if not isinstance(weights, str):
        return ""
    check_name(weights)
    nominal = ratings.scale is Scale.NOMINAL
    return NO_ORDER if nominal and weights != UNWEIGHTED else ""


def no_chance(ratings: Ratings) -> str:
    """Why a table with pairs still has no value: nothing differs that chance could tell of."""
    same = len(ratings.code) and bool((ratings.code == ratings.code[0]).all())
    return SAME if same else NO_DISTANCE


def few_categories(ratings: Ratings) -> str:
    """Why chance cannot be had from the number of categories; empty if it can."""
    return ONE_CATEGORY if len(ratings.categories) < 2 else ""


def direction(distance: Distance) -> str:
    """What to say of weights that differ by direction where observers have no order."""
    return "" if distance.symmetric else MEAN_OF_BOTH


def basis(ratings: Ratings, rest: str) -> str:
    """What agreement and chance rest on where these are not the same units; else empty."""
    if ratings.shared == ratings.rated:
        return ""
    return (
        f"Agreement comes from units rated twice or more ({ratings.shared});"
        f" {rest} all rated ({ratings.rated})."
    )


def _error(ratings: Ratings, found: Answers) -> tuple[float, int | None]:
    if ratings.cluster is None:
        return float(found.error[0]), None
    errors, clusters = found.clustered(ratings.cluster)
    return float(errors[0]), int(clusters[0])
