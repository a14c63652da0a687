"""Percent agreement: how often observers say the same, chance not considered."""

from __future__ import annotations

from observe.agreement.estimate import Estimate, Question
from observe.agreement.intervals import EXACT, exact
from observe.agreement.pairwise import pairwise
from observe.agreement.ratings import Ratings, Value

NOBODY_SHARED = "no unit was rated by two or more observers."


def percent_agreement(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """The share of pairs of ratings of one unit that are the same, from 0 to 1.

    Two ratings per unit: agreeing units over units rated twice, with the exact
    interval. More: the share of agreeing pairs within each unit, averaged over
    units (Gwet 2014); its pairs share observers, so no exact interval is given.
    Missing ratings are left out. Undefined when no unit was rated twice.
    """
    most = int(ratings.per_unit.max(initial=0))
    form = "pairs of observers, averaged over units" if most > 2 else _form(len(ratings.observers))
    asked = Question(ratings, "percent_agreement", form, level, ratings.shared)
    if not ratings.shared:
        return asked.undefined(NOBODY_SHARED)
    found = pairwise(ratings)
    if most > 2:
        why = "not given: pairs of ratings within a unit are not independent trials."
        return asked.point(found.observed, why)
    agreeing = int(found.agreed[found.shared].sum())
    counts = f"Agreeing pairs: {agreeing:,} of {ratings.shared:,}."
    return asked.between(
        agreeing / ratings.shared,
        exact(agreeing, ratings.shared, level),
        EXACT,
        counts,
        _specific_sentence(ratings),
    )


def specific_agreement(ratings: Ratings) -> dict[Value, float | None]:
    """For each category, the share of its uses by either of two observers that both made.

    2 n_kk / (n_k. + n_.k); None for a category that neither used. Source: Cicchetti
    DV, Feinstein AR (1990), Journal of Clinical Epidemiology 43:551-558. Raises
    Refused unless there are exactly two observers.
    """
    table = ratings.table()
    used = table.sum(axis=0) + table.sum(axis=1)
    return {
        category: 2 * int(table[place, place]) / int(used[place]) if used[place] else None
        for place, category in enumerate(ratings.categories)
    }


def _form(observers: int) -> str:
    return "two observers" if observers <= 2 else f"two of {observers} observers per unit"


def _specific_sentence(ratings: Ratings) -> str:
    """Specific agreement of two observers on two categories, in a sentence; else empty."""
    if len(ratings.observers) != 2 or len(ratings.categories) != 2:
        return ""
    parts = [
        f"{category}: {'never used' if share is None else f'{share * 100:.1f} %'}"
        for category, share in specific_agreement(ratings).items()
    ]
    return f"Specific agreement, {'; '.join(parts)}."
