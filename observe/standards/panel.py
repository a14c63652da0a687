"""A panel of judges: means, totals, how far each leans, who stands apart, the jackknife."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from statistics import fmean, median

import numpy as np

from observe.standards.scores import Flags, Floats

FEWEST_FOR_OUTLIERS = 5
FAR = 3.5


class Seen:
    """Judgements of one round: shares, shape (judges, items), NaN where missing.

    points: what each item can earn, shape (items,).
    """

    def __init__(self, values: Floats, points: Floats) -> None:
        self.values = values
        self.points = points
        self.there: Flags = ~np.isnan(values)
        self.filled = np.where(self.there, values, 0.0)

    @cached_property
    def per_item(self) -> tuple[int, ...]:
        """How many judged each item."""
        return tuple(int(count) for count in self.there.sum(axis=0))

    @cached_property
    def per_judge(self) -> tuple[int, ...]:
        """How many items each judge judged."""
        return tuple(int(count) for count in self.there.sum(axis=1))

    @property
    def missing(self) -> int:
        """Judgements that are not there."""
        return int((~self.there).sum())

    @cached_property
    def means(self) -> tuple[float | None, ...]:
        """The mean share of each item over the judges present; None without one."""
        return tuple(
            float(total) / count if count else None
            for total, count in zip(self.filled.sum(axis=0), self.per_item, strict=True)
        )

    @cached_property
    def deviations(self) -> tuple[float | None, ...]:
        """The SD of each item's shares; None under two judges."""
        columns = (
            self.values[self.there[:, place], place] for place in range(self.values.shape[1])
        )
        return tuple(
            float(np.std(column, ddof=1)) if len(column) > 1 else None for column in columns
        )

    @cached_property
    def totals(self) -> tuple[float | None, ...]:
        """Each judge's sum in points; None where a judgement is missing."""
        sums, items = self.filled @ self.points, len(self.points)
        return tuple(
            float(total) if count == items else None
            for total, count in zip(sums, self.per_judge, strict=True)
        )

    @property
    def sd(self) -> float | None:
        """The SD of the totals of judges without a gap; None under two of them."""
        whole = [total for total in self.totals if total is not None]
        return float(np.std(whole, ddof=1)) if len(whole) > 1 else None

    @property
    def cut(self) -> float:
        """The sum over items of points times the mean share; every item must be judged."""
        counts = self.there.sum(axis=0)
        return float((self.filled.sum(axis=0) / counts) @ self.points)

    @cached_property
    def leans(self) -> tuple[float | None, ...]:
        """How far each judge lies above the others on the same items, on average, in shares."""
        sums, counts = self.filled.sum(axis=0), self.there.sum(axis=0)
        found: list[float | None] = []
        for row, there in zip(self.filled, self.there, strict=True):
            shared = there & (counts > 1)
            others = (sums - row)[shared] / (counts[shared] - 1)
            found.append(float((row[shared] - others).mean()) if shared.any() else None)
        return tuple(found)

    def jackknife(self) -> float | None:
        """The standard error over judges, each left out in turn; None where that cannot be.

        Exactly 0 where rounding alone is left. Without gaps it is SD/√n of the totals.
        """
        judges = len(self.values)
        counts = self.there.sum(axis=0)
        if judges < 2 or (counts < 2).any():
            return None
        rest = (self.filled.sum(axis=0) - self.filled) / (counts - self.there)
        without = rest @ self.points
        spread = float(((without - without.mean()) ** 2).sum())
        error = math.sqrt((judges - 1) / judges * spread)
        return 0.0 if error <= 1e-12 * float(self.points.sum()) else error


def outlying(values: Sequence[float | None]) -> tuple[bool, ...]:
    """Which values stand far from the rest: a modified z over 3.5, of five values or more.

    z is 0.6745 times the distance from the median over the median such distance; where
    that is 0, the distance over 1.2533 times the mean one. Source: Iglewicz B, Hoaglin DC
    (1993), How to Detect and Handle Outliers.
    """
    known = [value for value in values if value is not None]
    if len(known) < FEWEST_FOR_OUTLIERS:
        return (False,) * len(values)
    middle = median(known)
    away = [abs(value - middle) for value in known]
    unit = median(away) / 0.6745
    if unit <= 1e-12:
        unit = 1.253314 * fmean(away)
    return tuple(
        value is not None and unit > 1e-12 and abs(value - middle) / unit > FAR for value in values
    )
