"""Conger's kappa: Cohen's kappa for two or more observers, missing ratings allowed."""

from __future__ import annotations

from observe.agreement import answering, counts
from observe.agreement.estimate import Estimate, Question
from observe.agreement.ratings import Ratings
from observe.agreement.weights import UNWEIGHTED, Weights, distance

MOST_CELLS = 20_000_000
OWN_SHARES = "each observer's shares come from"


def conger_kappa(
    ratings: Ratings, *, weights: Weights = UNWEIGHTED, level: float = 0.95
) -> Estimate:
    """Conger's kappa: chance from the shares of each observer, averaged over pairs of them.

    Of two observers without gaps it is Cohen's kappa; with gaps each observer's shares
    come from all of their ratings, also of units nobody else rated, which Cohen's kappa
    leaves out. Undefined without a unit rated twice, with one observer, and when every
    rating is the same. Sources: Conger AJ (1980), Psychological Bulletin 88:322-328;
    variance: Gwet (2014), Handbook of Inter-Rater Reliability, 4th ed., chapter 5.
    """
    named = weights if isinstance(weights, str) else "custom"
    asked = Question(ratings, "conger_kappa", named, level, ratings.rated, single_used=True)
    reason = (
        answering.obstacle(ratings) or answering.no_order(ratings, weights) or _too_large(ratings)
    )
    if reason:
        return asked.undefined(reason)
    apart = distance(ratings, weights)
    codes, times = answering.said(ratings, ratings.codes)
    found = counts.by_observers(codes, apart.both_ways(), times)
    if not found.defined[0]:
        return asked.undefined(answering.no_chance(ratings))
    notes = (answering.basis(ratings, OWN_SHARES), answering.direction(apart))
    return answering.answered(asked, found, *notes)


def _too_large(ratings: Ratings) -> str:
    width = len(ratings.observers)
    if width * max(len(ratings.categories), ratings.units) <= MOST_CELLS:
        return ""
    return f"{width} observers with so many categories or units are more than are computed."
