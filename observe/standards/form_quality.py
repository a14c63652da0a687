"""A form's score against the observers' overall grade, and between observers.

Source: Pell G, Fuller R, Homer M, Roberts T (2010), AMEE Guide 49, Medical Teacher 32:802-811.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from observe.standards.regression import fitted, spread_out


@dataclass(frozen=True, slots=True)
class Grades:
    """Score on grade by least squares.

    r_squared: share of the score's variance that goes with the grade. discrimination: points from
    one grade to the next. n: learners. undefined: why there is neither; else empty.
    """

    r_squared: float | None
    discrimination: float | None
    n: int
    undefined: str = ""


def on_grades(pairs: Sequence[tuple[float, float]]) -> Grades:
    """The regression of scores on grades. pairs: of score and grade."""
    if len(pairs) < 3:
        return Grades(None, None, len(pairs), "Not estimable: fewer than 3 graded learners.")
    scores, grades = np.asarray(pairs, dtype=np.float64).T
    if not spread_out(grades[None, :])[0]:
        return Grades(None, None, len(pairs), "Not estimable: everybody has the same grade.")
    line = fitted(grades, scores, float(grades.mean()))
    if line.r_squared is None:
        return Grades(None, 0.0, len(pairs), "Not estimable: every score is the same.")
    return Grades(line.r_squared, line.slope, len(pairs))


def between(pairs: Sequence[tuple[float, str]]) -> float | None:
    """The share of variance between observers, by a one-way random model; None where there is none.

    pairs: of score and observer. Below 0 counts as 0. Source for unequal numbers: Searle SR,
    Casella G, McCulloch CE (1992), Variance Components, chapter 3.
    """
    groups: dict[str, list[float]] = {}
    for score, observer in pairs:
        groups.setdefault(observer, []).append(score)
    n, k = len(pairs), len(groups)
    if k < 2 or n <= k:
        return None
    mean = sum(score for score, _ in pairs) / n
    outer = sum(len(some) * (sum(some) / len(some) - mean) ** 2 for some in groups.values())
    inner = sum((one - sum(some) / len(some)) ** 2 for some in groups.values() for one in some)
    within = inner / (n - k)
    size = (n - sum(len(some) ** 2 for some in groups.values()) / n) / (k - 1)
    component = max((outer / (k - 1) - within) / size, 0.0)
    return component / (component + within) if component + within > 0 else None
