"""Agreement unit by unit, for any number of observers and with missing ratings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from observe.agreement.ratings import Ratings, Whole

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Pairwise:
    """Units rated at least once (n of them), what was said of each, and how far it agrees.

    given: shape (n,), ratings per unit, 1 or more.
    unit, code, count: shape (entries,), one entry per unit and category used there.
    agreed: shape (n,), share of the unit's pairs of ratings that agree; 0 where
        there is one rating only.
    shares: shape (q,), mean over units of the share of each category.
    """

    given: Whole
    unit: Whole
    code: Whole
    count: Whole
    agreed: Real
    shares: Real

    @property
    def n(self) -> int:
        """Units rated at least once."""
        return len(self.given)

    @property
    def shared(self) -> NDArray[np.bool_]:
        """Which units have two or more ratings; shape (n,)."""
        return self.given >= 2

    @property
    def observed(self) -> float:
        """Mean share of agreeing pairs over the units with two or more ratings."""
        return float(self.agreed[self.shared].mean())

    def expected_by_unit(self, weight: Real) -> Real:
        """Mean of a per-category weight over each unit's own ratings; shape (n,)."""
        return np.bincount(self.unit, self.count * weight[self.code], minlength=self.n) / self.given


def pairwise(ratings: Ratings) -> Pairwise:
    """Gather ratings by unit and category; units that nobody rated are left out."""
    q = max(len(ratings.categories), 1)
    keys, count = np.unique(ratings.unit * q + ratings.code, return_counts=True)
    _, unit = np.unique(keys // q, return_inverse=True)
    code = keys % q
    given = np.bincount(unit, count).astype(np.int64)
    agreeing = np.bincount(unit, count * (count - 1), minlength=len(given))
    agreed = agreeing / np.maximum(given * (given - 1), 1)
    shares = np.bincount(code, count / given[unit], minlength=q) / max(len(given), 1)
    return Pairwise(given, unit, code, count.astype(np.int64), agreed, shares)
