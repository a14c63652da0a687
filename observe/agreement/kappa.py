"""Kappa of two observers, unweighted and weighted, with its large-sample interval."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from observe.agreement.estimate import Estimate, Question, too_few
from observe.agreement.intervals import normal
from observe.agreement.percent import NOBODY_SHARED
from observe.agreement.ratings import Ratings, Scale, Value, number
from observe.domain.troubles import BadInput

METHOD = "large sample (Fleiss, Cohen & Everitt 1969), normal, not cut at 1"
MOST_CATEGORIES = 1000
ONE_CATEGORY = "With one category only from one observer, kappa is 0 whatever the agreement."
POWERS = {"linear": 1, "quadratic": 2}


def cohen_kappa(ratings: Ratings, *, level: float = 0.95) -> Estimate:
    """Cohen's kappa of two observers over the units that both rated.

    Undefined without such a unit, with other than two observers, and when every
    rating is the same. Sources: Cohen J (1960), Educational and Psychological
    Measurement 20:37-46; interval: Fleiss JL, Cohen J, Everitt BS (1969),
    Psychological Bulletin 72:323-327, equation 13, not truncated. Under ten pairs
    no interval is given.
    """
    asked = Question(ratings, "cohen_kappa", "unweighted", level, ratings.shared)
    reason = _obstacle(ratings)
    if reason:
        return asked.undefined(reason)
    return _answer(asked, 1 - np.eye(len(ratings.categories), dtype=np.int64))


def weighted_kappa(
    ratings: Ratings, *, weights: str = "quadratic", level: float = 0.95
) -> Estimate:
    """Cohen's weighted kappa: disagreement counts by distance, "linear" or "quadratic".

    On the ordinal scale the distance is between places in the declared order; on the
    interval scale between the values. Undefined as `cohen_kappa`, and on the nominal
    scale. Raises BadInput for other weights. Sources: Cohen J (1968), Psychological
    Bulletin 70:213-220; interval: Fleiss, Cohen & Everitt (1969), equation 8.
    """
    if weights not in POWERS:
        raise BadInput(
            f"There are no weights {weights!r}.",
            where="weights",
            remedy=f"Use one of: {', '.join(POWERS)}.",
        )
    interval = ratings.scale is Scale.INTERVAL
    form = f"{weights}, by value" if interval else weights
    asked = Question(ratings, "weighted_kappa", form, level, ratings.shared)
    if ratings.scale is Scale.NOMINAL:
        return asked.undefined("weights need an order, and the scale is nominal.")
    reason = _obstacle(ratings)
    if reason:
        return asked.undefined(reason)
    steps = _whole_steps(ratings.categories) if interval else list(range(len(ratings.categories)))
    return _answer(asked, _distances(steps, POWERS[weights]))


@dataclass(frozen=True, slots=True)
class KappaOfTable:
    """Kappa of one table. value None: chance agreement is complete. error: standard error."""

    value: Fraction | None
    error: float


def kappa_of_table(table: NDArray[np.int64], distance: NDArray[Any]) -> KappaOfTable:
    """Kappa with any whole-number disagreement weights, and its standard error.

    table: shape (q, q), counts, first observer in rows. distance: shape (q, q), whole
    numbers, 0 on the diagonal; need not be symmetric. Kappa is 1 - D/E with D and E
    the observed and chance-expected mean distance, exact. The standard error is that
    of Fleiss, Cohen & Everitt (1969), equation 8, for kappa other than 0, written in
    distances: the spread over pairs of -d/E + D (row mean + column mean)/E^2.
    """
    n = int(table.sum())
    rows, columns = table.sum(axis=1), table.sum(axis=0)
    row_sum, column_sum = distance @ columns, rows @ distance
    observed = int((table * distance).sum())
    expected = int(rows @ row_sum)
    if not expected:
        return KappaOfTable(None, 0.0)
    value = 1 - Fraction(n * observed, expected)
    ratio = n * observed / expected
    here = np.nonzero(table)
    means = (row_sum[here[0]] + column_sum[here[1]]).astype(np.float64) * n / expected
    spread = ratio * means - distance[here].astype(np.float64) * n * n / expected
    centred = spread - ratio
    variance = float((table[here] * centred**2).sum()) / n / n
    flat = float(np.abs(centred).max()) <= 1e-12 * max(1.0, float(np.abs(spread).max()))
    return KappaOfTable(value, 0.0 if flat else math.sqrt(variance))


def _obstacle(ratings: Ratings) -> str:
    """Why two observers' kappa cannot even be tabulated; empty if it can."""
    if not ratings.shared:
        return NOBODY_SHARED
    if len(ratings.observers) != 2:
        return f"it compares two observers, and there are {len(ratings.observers)}."
    if len(ratings.categories) > MOST_CATEGORIES:
        return f"there are {len(ratings.categories)} categories, more than {MOST_CATEGORIES}."
    return ""


def _answer(asked: Question, distance: NDArray[Any]) -> Estimate:
    found = kappa_of_table(asked.ratings.table(), distance)
    if found.value is None:
        return asked.undefined("every rating is the same, so agreement by chance is complete.")
    value = float(found.value)
    first, second = asked.ratings.pairs
    if np.all(first == first[0]) or np.all(second == second[0]):
        why = too_few(asked.used) or "not estimable: one observer used one category only."
        return asked.point(value, why, ONE_CATEGORY)
    why = too_few(asked.used)
    if not why and not found.error:
        at = " at perfect agreement" if found.value == 1 else ""
        why = f"not estimable: the standard error is 0 in this sample{at}."
    if why:
        return asked.point(value, why)
    limits = normal(value, found.error, asked.level)
    past = "The upper limit lies above 1 and is printed as computed." if limits[1] > 1 else ""
    return asked.between(value, limits, METHOD, past)


def _whole_steps(values: tuple[Value, ...]) -> list[int]:
    """Values of an interval scale as whole multiples of their greatest common step."""
    numbers = [number(value) or Fraction(0) for value in values]
    common = math.lcm(*(size.denominator for size in numbers))
    lowest = min(numbers)
    whole = [int((size - lowest) * common) for size in numbers]
    step = math.gcd(*whole) or 1
    return [size // step for size in whole]


def _distances(steps: list[int], power: int) -> NDArray[Any]:
    """|i - j| to a power, shape (q, q); Python's whole numbers where 64 bits may not do."""
    small = max(steps) ** power < 2**20
    place = np.array(steps, dtype=np.int64 if small else object)
    distance: NDArray[Any] = np.abs(place[:, None] - place[None, :]) ** power
    return distance
