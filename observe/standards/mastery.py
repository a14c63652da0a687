"""Mastery of a cohort: after how many attempts learners reached their first success.

Learners who have not reached it are counted as long as they tried (Kaplan EL, Meier P (1958),
Journal of the American Statistical Association 53:457-481). Intervals lie on the scale of the log
of minus the log of who is left, so that none leaves 0 to 1 (Kalbfleisch JD, Prentice RL (1980),
The Statistical Analysis of Failure Time Data, Wiley).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Z = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Reached:
    """One attempt of a cohort.

    trying: learners who made it without a success before; reached: who had one then; share: of
    all by now, with its standard error (Greenwood). low, high: 95 % interval of the share; None
    where nobody or everybody has reached it, which leaves no error to go by.
    """

    attempt: int
    trying: int
    reached: int
    share: float
    se: float
    low: float | None
    high: float | None


def mastery(series: Sequence[Sequence[bool]]) -> tuple[Reached, ...]:
    """The curve of a cohort. series: of each learner in order, True for a success."""
    first = [next((n for n, one in enumerate(some, 1) if one), None) for some in series]
    ends = [at or len(some) for at, some in zip(first, series, strict=True)]
    left, sum_, found = 1.0, 0.0, []
    for attempt in range(1, max(ends, default=0) + 1):
        trying = sum(end >= attempt for end in ends)
        now = sum(at == attempt for at in first)
        left *= 1 - now / trying
        sum_ += now / (trying * (trying - now)) if trying > now else math.inf
        se = 0.0 if left <= 0 else left * math.sqrt(sum_)
        found.append(Reached(attempt, trying, now, 1 - left, se, *_interval(left, sum_)))
    return tuple(found)


def _interval(left: float, sum_: float) -> tuple[float | None, float | None]:
    """Limits of 1 - left. sum_: Greenwood's sum, the variance of the log of left."""
    if not 0 < left < 1:
        return None, None
    wide = math.exp(Z * math.sqrt(sum_) / -math.log(left))
    return 1 - left ** (1 / wide), 1 - left**wide
