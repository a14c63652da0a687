"""What belongs to Fleiss' kappa alone: its test against 0, and kappa category by category."""

from __future__ import annotations

import math

import numpy as np

from observe.agreement.ratings import Ratings, Value
from observe.agreement.weights import Floats


def null_error(ratings: Ratings) -> float | None:
    """The standard error of Fleiss' kappa where kappa is 0: for a test, not an interval.

    None where units have unequal numbers of ratings, or every rating is the same. Source:
    Fleiss JL, Nee JC, Landis JR (1979), Psychological Bulletin 86:974-977.
    """
    counted = _counted(ratings)
    if counted is None:
        return None
    shares, units, width, _ = counted
    spread = shares * (1 - shares)
    total = float(spread.sum())
    if not total:
        return None
    inner = total**2 - float((spread * (1 - 2 * shares)).sum())
    scale = math.sqrt(2 / (units * width * (width - 1)))
    return scale / total * math.sqrt(max(inner, 0.0))


def category_kappas(ratings: Ratings) -> dict[Value, float | None]:
    """Fleiss' kappa of each category against all others together; None for one never used.

    Empty where units have unequal numbers of ratings. Source: Fleiss JL (1971),
    Psychological Bulletin 76:378-382.
    """
    counted = _counted(ratings)
    if counted is None:
        return {}
    shares, units, width, disputed = counted
    spread = shares * (1 - shares)
    below = units * width * (width - 1) * np.where(spread > 0, spread, 1.0)
    values = 1 - disputed / below
    return {
        category: float(value) if some else None
        for category, value, some in zip(ratings.categories, values, spread > 0, strict=True)
    }


def _counted(ratings: Ratings) -> tuple[Floats, int, int, Floats] | None:
    """Shares of categories, units, ratings per unit, and pairs that dispute each category."""
    given = ratings.per_unit[ratings.per_unit > 0]
    if not len(given) or given[0] < 2 or (given != given[0]).any():
        return None
    width, q = int(given[0]), len(ratings.categories)
    keys, count = np.unique(ratings.unit * q + ratings.code, return_counts=True)
    disputed = np.bincount(keys % q, count * (width - count), minlength=q)
    shares = np.bincount(ratings.code, minlength=q) / len(ratings.code)
    return shares, len(given), width, disputed.astype(np.float64)
