"""Percent agreement: how often observers say the same, chance not considered."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from observe.agreement import answering, counts
from observe.agreement.estimate import Estimate, Question
from observe.agreement.intervals import EXACT, exact
from observe.agreement.ratings import Ratings
from observe.agreement.specific import specific_sentence
from observe.agreement.weights import UNWEIGHTED, Weights, distance

GWET = "Gwet (2014) variance, t with n - 1 degrees of freedom, cut at 0 and 1"


def percent_agreement(
    ratings: Ratings, *, weights: Weights = UNWEIGHTED, level: float = 0.95
) -> Estimate:
    """The share of pairs of ratings of one unit that are the same, from 0 to 1.

    Two ratings per unit: agreeing units over units rated twice, with the exact
    interval. More, or weighted: the mean agreement of pairs within each unit, averaged
    over units, with an interval from the spread between units (Gwet 2014), because pairs
    within a unit share observers. Missing ratings are left out. Undefined when no unit
    was rated twice.
    """
    most = int(ratings.per_unit.max(initial=0))
    form = "pairs of observers, averaged over units" if most > 2 else _form(len(ratings.observers))
    if weights != UNWEIGHTED:
        named = weights if isinstance(weights, str) else "custom"
        form = f"{named}; {form}"
    asked = Question(ratings, "percent_agreement", form, level, ratings.shared)
    reason = answering.obstacle(ratings) or answering.no_order(ratings, weights)
    if reason:
        return asked.undefined(reason)
    apart = distance(ratings, weights)
    codes, times = answering.said(ratings, ratings.packed)
    found = counts.percent(codes, apart.both_ways(), times)
    if most > 2 or weights != UNWEIGHTED:
        note = answering.direction(apart)
        return answering.answered(asked, found, note, method=GWET, lowest=0.0)
    agreeing = round(float(found.value[0]) * ratings.shared)
    notes = (f"Agreeing pairs: {agreeing:,} of {ratings.shared:,}.", specific_sentence(ratings))
    if ratings.clusters is not None:
        return answering.answered(asked, found, *notes, method=GWET, lowest=0.0)
    limits = exact(agreeing, ratings.shared, level)
    estimate = asked.between(agreeing / ratings.shared, limits, EXACT, *notes)
    details = {
        "observed agreement": agreeing / ratings.shared,
        "standard error": float(found.error[0]),
    }
    return replace(estimate, details=MappingProxyType(details))


def _form(observers: int) -> str:
    return "two observers" if observers <= 2 else f"two of {observers} observers per unit"
